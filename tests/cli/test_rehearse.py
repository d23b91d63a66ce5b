"""``voiceassist rehearse``: a whole rehearsal by typed lines, and what becomes of its record."""

from pathlib import Path

import pytest
from prove.shop import LAMP
from running import Done, call, lines

from voiceassist.app.rehearsal.asked import Settled, write_sealed


@pytest.fixture
def lamp(tmp_path: Path) -> str:
    path = tmp_path / "side-lamp.yaml"
    path.write_text(LAMP, encoding="utf-8")
    return str(path)


def rehearse(tmp_path: Path, *arguments: str, said: tuple[str, ...] = ()) -> Done:
    return call(
        "rehearse", *arguments, "--records", str(tmp_path / "records"),
        typed="".join(f"{line}\n" for line in said), XDG_CACHE_HOME=str(tmp_path / "cache"),
    )  # fmt: skip


def records(tmp_path: Path, *arguments: str) -> Done:
    return call("records", *arguments, "--records", str(tmp_path / "records"))


TYPED = ("--typed", "--silent", "--seed", "4")
BROKEN = ("--fault", "broken-wire")
FREE = ("switch the side lights on", "voltage from lamp feed to frame", "it is the feed side",
        "finish")  # fmt: skip


def test_nobody_leads_and_the_cause_is_named(tmp_path: Path, lamp: str) -> None:
    done = rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, said=FREE)
    assert done.returncode == 0, done.stderr
    assert "no vehicle is touched" in done.stdout
    assert "The meter shows 0" in done.stdout
    assert "The fault was: broken wire. You found it." in done.stdout
    assert "Your mark is 100 of 100." in done.stdout


def test_the_procedure_leads_and_the_trainee_brings_everything_about(
    tmp_path: Path, lamp: str
) -> None:
    said = ("affirm", "read the meter", "twelve point six", "switch the side lights on",
            "read the meter", "zero volts", "negative", "finish", "affirm")  # fmt: skip
    done = rehearse(tmp_path, lamp, *BROKEN, *TYPED, "--json", said=said)
    told = lines(done)
    shown = [line["text"] for line in told if line["event"] == "rehearsed"]
    assert any(text.startswith("The meter shows 12.") for text in shown)
    (mark,) = [line for line in told if line["event"] == "mark"]
    assert mark["found"]
    assert mark["fault"] == "broken-wire"
    assert [test["step"] for test in mark["tests"]] == ["battery", "feed"]
    assert mark["tests"][-1]["likely"][0]["finding"] == "feed-side"
    assert told[-1]["outcome"] == "rehearsed"


_NEW_LAMP = "  new-lamp: {do: fit the new lamp and plug it in, sets: {lamp plug: in}}"
_REPAIRED = LAMP.replace(
    "correction: change it}", "correction: change it, repair: [new-lamp], prove-with: [feed]}"
).replace("findings:\n", f"repairs:\n{_NEW_LAMP}\nfindings:\n", 1)


def test_work_that_is_told_as_done_is_done_at_the_vehicle(tmp_path: Path) -> None:
    path = tmp_path / "side-lamp.yaml"
    path.write_text(_REPAIRED, encoding="utf-8")
    hunted = ("affirm", "read the meter", "twelve point six", "switch the side lights on",
              "read the meter", "twelve point five", "read the meter", "zero millivolts",
              "affirm",  # the lights are on
              "switch the side lights off", "unplug the lamp", "read the meter", "over range",
              "affirm reading", "affirm", "done", "what do i see",
              "switch the side lights on")  # fmt: skip
    done = rehearse(tmp_path, str(path), "--fault", "lamp-gone", *TYPED, "--json", said=hunted)
    told = [line["text"] for line in lines(done) if line["event"] == "rehearsed"]
    assert told[-2] == "The side lamp is off."  # the lights are off still
    # Resumed, the vehicle is as it was left: the new lamp lights.
    on = call(
        "run", "--resume", *TYPED[:2], "--json", "--records", str(tmp_path / "records"),
        typed="what do i see\n", XDG_CACHE_HOME=str(tmp_path / "cache"),
    )  # fmt: skip
    told = [line["text"] for line in lines(on) if line["event"] == "rehearsed"]
    assert told[-1] == "The side lamp is bright."


def test_the_mark_tells_what_was_taken_off_and_for_what(tmp_path: Path, lamp: str) -> None:
    said = ("how sure is it", *FREE)
    done = rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, said=said)
    assert "Your mark is 98 of 100. Taken off: 2 for questions to the instructor." in done.stdout
    wrong = (*FREE[:2], "it is the earth side", "finish")
    done = rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, said=wrong)
    assert "Your mark is 50 of 100. Taken off: 50 for the cause that was not named." in done.stdout


def test_a_forgotten_change_shows_in_the_reading(tmp_path: Path, lamp: str) -> None:
    said = ("affirm", "read the meter", "twelve point six", "read the meter")
    good = rehearse(tmp_path, lamp, "--fault", "lamp-gone", *TYPED, "--json", said=said)
    shown = [line["text"] for line in lines(good) if line["event"] == "rehearsed"]
    assert shown[-1].endswith(" mV.")  # next to nothing: the lights were not switched on


def test_its_record_is_marked_as_a_rehearsal_everywhere_and_counts_as_no_job(
    tmp_path: Path, lamp: str
) -> None:
    rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, said=FREE)
    rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, "--set", "technician=Kim", said=FREE)
    assert records(tmp_path, "find", "--technician", "Kim").stdout.count("Rehearsal:") == 1
    listed = records(tmp_path, "list").stdout
    assert "Rehearsal: Side lamp does not light | a rehearsal, not a job" in listed
    assert "Rehearsal: Side lamp" in records(tmp_path, "show", "last").stdout
    report = next((tmp_path / "records").glob("*/report.txt"))
    assert "Rehearsal: Side lamp" in report.read_text(encoding="utf-8")
    assert records(tmp_path, "totals").stdout.startswith("0 jobs")
    assert records(tmp_path, "find", "--outcome", "rehearsed").stdout.count("Rehearsal:") == 2
    assert records(tmp_path, "verify").returncode == 0


@pytest.mark.parametrize("mode", [(), ("--free",)])
def test_it_goes_on_where_it_was_left_with_the_vehicle_as_it_stood(
    tmp_path: Path, lamp: str, mode: tuple[str, ...]
) -> None:
    before = ("switch the side lights on",)
    cut = rehearse(tmp_path, lamp, *mode, "--fault", "lamp-gone", *TYPED, said=before)
    assert cut.returncode == 1
    again = call(
        "run", "--resume", "--typed", "--silent", "--records", str(tmp_path / "records"),
        typed="voltage from lamp feed to frame\nwhat do i see\n",
        XDG_CACHE_HOME=str(tmp_path / "cache"),
    )  # fmt: skip
    assert "The meter shows 12." in again.stdout
    assert "The side lamp is off." in again.stdout
    assert "does not fit here" not in again.stdout


def test_a_reading_that_was_told_otherwise_than_the_meter_showed_it_is_told_in_the_mark(
    tmp_path: Path, lamp: str
) -> None:
    said = ("affirm", "read the meter", "twelve point two", "switch the side lights on",
            "read the meter", "nine point four volts", "negative", "finish", "affirm")  # fmt: skip
    done = rehearse(tmp_path, lamp, *BROKEN, *TYPED, "--json", said=said)
    (mark,) = [line for line in lines(done) if line["event"] == "mark"]
    (battery, feed) = mark["misread"]
    assert battery.startswith("At battery you told 12.2 V, where the meter showed 12.")
    assert feed.startswith("At feed you told 9.4 V, where the meter showed ")
    assert feed.endswith(" mV.")
    assert feed in mark["text"]


@pytest.mark.parametrize(
    "told", [("twelve point six",), ("nine point four", "correction twelve point six")]
)
def test_a_reading_that_is_rounded_or_corrected_is_not_misread(
    tmp_path: Path, lamp: str, told: tuple[str, ...]
) -> None:
    said = ("affirm", "read the meter", *told, "switch the side lights on",
            "read the meter", "zero volts", "negative", "finish", "affirm")  # fmt: skip
    done = rehearse(tmp_path, lamp, *BROKEN, *TYPED, "--json", said=said)
    (mark,) = [line for line in lines(done) if line["event"] == "mark"]
    assert mark["misread"] == []


def test_an_instructor_hands_out_a_fault_that_cannot_be_read(tmp_path: Path, lamp: str) -> None:
    sealed = tmp_path / "monday.rehearsal"
    made = rehearse(tmp_path, lamp, "--free", "--fault", "broken-earth", "--seal", str(sealed))
    assert made.returncode == 0, made.stderr
    assert "broken" not in sealed.read_text(encoding="utf-8")
    done = rehearse(tmp_path, "--sealed", str(sealed), "--typed", "--silent",
                    said=("it is the earth side", "finish"))  # fmt: skip
    assert "The fault was: broken earth. You found it." in done.stdout


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--fault", "no-such"), "side-lamp has no fault 'no-such'; use one of broken-wire"),
        (("--mark", "kind"), "--mark: 'kind' is no way to mark; use mild or strict"),
    ],
)
def test_what_cannot_be_practised_is_told_in_a_sentence(
    tmp_path: Path, lamp: str, arguments: tuple[str, ...], told: str
) -> None:
    done = rehearse(tmp_path, lamp, *arguments, "--typed", "--silent")
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_a_file_without_a_circuit_cannot_be_practised(tmp_path: Path) -> None:
    bare = tmp_path / "bare.yaml"
    bare.write_text(LAMP[: LAMP.index("circuit:")], encoding="utf-8")
    done = rehearse(tmp_path, str(bare), "--typed", "--silent")
    assert done.returncode == 2
    assert "no circuit with faults, so there is no vehicle to practise on" in done.stderr


def test_a_seal_that_is_none_is_refused_in_a_sentence(tmp_path: Path) -> None:
    odd = tmp_path / "odd"
    for text in ("", "voiceassist rehearsal !!", "voiceassist rehearsal abc", "hello"):
        odd.write_text(text, encoding="utf-8")
        done = rehearse(tmp_path, "--sealed", str(odd), "--typed", "--silent")
        assert done.returncode == 2, text
        assert "this is no sealed rehearsal; ask for another" in done.stderr


def test_nonsense_and_what_the_circuit_cannot_do_get_one_sentence(
    tmp_path: Path, lamp: str
) -> None:
    said = ("purple elephants", "ohms from lamp feed to frame", "mend it", "change the moon",
            "voltage from the moon to frame", "unplug the lamp and read the meter")  # fmt: skip
    done = rehearse(tmp_path, lamp, "--free", *BROKEN, *TYPED, said=said)
    assert "A lead can be held to" in done.stdout
    assert "One thing at a time: say the first, then the second." in done.stdout
    assert "Traceback" not in done.stdout + done.stderr
    assert "Name the cause first." in done.stdout


def test_a_sealed_fault_that_the_procedure_has_no_more_is_told_in_a_sentence(
    tmp_path: Path, lamp: str
) -> None:
    sealed = tmp_path / "old.rehearsal"
    write_sealed(sealed, lamp, Settled(fault="gone", seed=7))
    done = rehearse(tmp_path, "--sealed", str(sealed), "--typed", "--silent")
    assert done.returncode == 2
    assert "side-lamp has no fault 'gone'; use one of" in done.stderr
    assert len(done.stderr.splitlines()) == 1
