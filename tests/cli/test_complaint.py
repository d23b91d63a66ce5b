"""``voiceassist run`` alone asks what is wrong, and begins what is about it."""

import json
from pathlib import Path
from typing import Any

from running import Done, call

BOTH = "the heater fan runs with the control off and the wiper stops on the glass"


def run(tmp_path: Path, *said: str, more: tuple[str, ...] = ()) -> Done:
    return call(
        "run", "--typed", "--silent", "--records", str(tmp_path / "records"), *more,
        typed="".join(f"{line}\n" for line in said),
    )  # fmt: skip


def heads(tmp_path: Path) -> list[dict[str, Any]]:
    files = (tmp_path / "records").glob("*/journal.jsonl")
    heads = [json.loads(file.read_text(encoding="utf-8").splitlines()[0]) for file in files]
    return sorted(heads, key=lambda head: int(head["sequence"]))


def test_a_complaint_begins_its_procedure_and_stands_in_the_record(tmp_path: Path) -> None:
    done = run(tmp_path, "the heater fan runs with the control off")
    assert done.stdout.lstrip().startswith("What is wrong with the vehicle?")
    assert "Heater fan runs with the control off, or at one speed." in done.stdout
    (head,) = heads(tmp_path)
    assert head["procedure"] == "heater-fan-module"
    assert head["facts"]["complaint"] == "the heater fan runs with the control off"
    assert "part" not in head


def test_several_are_asked_between(tmp_path: Path) -> None:
    done = run(tmp_path, "one headlamp is dim", "the second one")
    assert "First: One headlamp is dim or dark." in done.stdout
    assert "Second: One headlamp is dim or dark, at 24 V." in done.stdout
    assert [head["procedure"] for head in heads(tmp_path)] == ["dim-headlamp-lorry"]


def test_two_complaints_make_one_job_in_two_parts_linked_in_the_record(tmp_path: Path) -> None:
    done = run(
        tmp_path, BOTH, "finish", "affirm", "affirm", "affirm", more=("--set", "repair order=1042")
    )
    assert "Two complaints: first " in done.stdout
    first, second = heads(tmp_path)
    assert {first["procedure"], second["procedure"]} == {"heater-fan-module", "wiper-park"}
    names = [first["procedure"], second["procedure"]]
    assert first["part"] == {"number": 1, "of": 2, "after": "", "names": names}
    assert second["part"] == {"number": 2, "of": 2, "after": first["session"], "names": names}
    assert first["facts"] == second["facts"]
    verified = call("records", "verify", "--records", str(tmp_path / "records"))
    assert verified.returncode == 0


def test_the_second_part_waits_while_the_first_is_open(tmp_path: Path) -> None:
    done = run(tmp_path, BOTH)
    assert len(heads(tmp_path)) == 1
    assert "The job has another part, heater-fan-module. Go on with: " in done.stderr


def test_who_says_nothing_is_told_what_there_is(tmp_path: Path) -> None:
    done = run(tmp_path)
    assert done.returncode == 2
    assert done.stderr.splitlines()[-1].startswith("No procedure is named.")
    assert not (tmp_path / "records").exists() or not heads(tmp_path)


def test_the_wrong_job_is_left_for_the_choice_with_nothing_lost(tmp_path: Path) -> None:
    done = run(tmp_path, "one headlamp is dim", "the first", "no that is wrong job", "affirm",
               "the heater fan runs with the control off")  # fmt: skip
    assert "Is this the wrong job?" in done.stdout
    assert "Parked, as the wrong job. The readings are kept." in done.stdout
    assert done.stdout.count("What is wrong with the vehicle?") == 2
    first, second = heads(tmp_path)
    assert (first["procedure"], second["procedure"]) == ("dim-headlamp", "heater-fan-module")
    assert second["facts"]["complaint"] == "the heater fan runs with the control off"


def test_who_takes_it_back_that_it_is_the_wrong_job_goes_on(tmp_path: Path) -> None:
    done = run(tmp_path, "one headlamp is dim", "the first", "wrong job", "negative")
    assert "Parked" not in done.stdout
    assert done.stdout.count("What is wrong with the vehicle?") == 1


def test_the_wrong_job_and_no_other_ends_parked(tmp_path: Path) -> None:
    done = run(tmp_path, "one headlamp is dim", "the first", "wrong job", "affirm", "finish")
    assert len(heads(tmp_path)) == 1
    assert "Error" not in done.stderr
