"""What the README shows is true."""

import os
import re
import shlex
import stat
import tomllib
from decimal import Decimal
from fnmatch import fnmatch
from itertools import takewhile
from pathlib import Path

import languages
import PIL.Image
import pytest
from bench import BOOK, FAN, METER
from distributed.cli import dask_scheduler, dask_worker
from make_settings import written
from prove.shop import LAMP
from pydantic import BaseModel
from running import call
from shelf import END, head, heard, job, kept

from voiceassist import resources
from voiceassist.app.desk.grammar import how_to_say_it
from voiceassist.app.rehearsal.rehearsal import PRACTISED
from voiceassist.app.settings.settings import ABOUT, Settings
from voiceassist.archive.find import OPEN
from voiceassist.cli.main import main
from voiceassist.cli.screen.bars import limit_bar
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Correction, Identifier, Meaning, Reading, Series, Spread
from voiceassist.measure.units import unit
from voiceassist.page.session_report import _FACTS
from voiceassist.procedure.parts.cautions import built_in
from voiceassist.procedure.read import inspect, read_procedure
from voiceassist.procedure.shape.procedure import CautionShape, FindingShape, ProcedureShape
from voiceassist.procedure.shape.step import StepShape
from voiceassist.prove.proof_text import failures
from voiceassist.prove.prove import prove
from voiceassist.record.folder import JOURNAL, STUB, TRANSCRIPT_TXT, TRANSCRIPT_VTT
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.read_journal import read
from voiceassist.record.removal import SOUND_STUB
from voiceassist.record.scale import Scale
from voiceassist.session.session import SessionSetup
from voiceassist.sound.advice import Findings, Trial, advised
from voiceassist.sound.soundcheck import Echo, MeasuredPhrase
from voiceassist.speak.sayings import Sayings

LANGUAGE = languages.shipped()

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def block(kind: str, after: str = "") -> str:
    found = re.search(rf"```{kind}\n(.*?)```", README[README.index(after) :], re.DOTALL)
    assert found is not None
    return found[1]


def test_the_procedure_in_the_readme_is_without_fault() -> None:
    procedure, faults = inspect(block("yaml"))
    assert not faults
    assert procedure is not None


WRITING = (Path(__file__).parents[1] / "procedures" / "WRITING.md").read_text(encoding="utf-8")


def test_the_procedure_in_the_writing_guide_is_without_fault() -> None:
    found = re.search(r"```yaml\n(.*?)```", WRITING, re.DOTALL)
    assert found is not None
    procedure, faults = inspect(found[1])
    assert not faults
    assert procedure is not None


def test_the_small_procedure_in_the_writing_guide_fails_its_proof_as_the_guide_says() -> None:
    whole = re.findall(r"```yaml\n(.*?)```", WRITING, re.DOTALL)[0]
    parts = re.findall(r"```yaml-part\n((?:circuit|faults):.*?)```", WRITING, re.DOTALL)
    procedure = read_procedure("".join([whole, parts[0], parts[-1]]), "small.yaml")
    found = [each.message for each in failures(procedure, prove(SessionSetup(procedure, BOOK), 20))]
    for wrong in ("a good vehicle is condemned as 'lamp'", "'burnt-fuse-holder' is called 'lamp'"):
        assert any(wrong in each for each in found), found


@pytest.mark.parametrize("shape", [ProcedureShape, StepShape, FindingShape, CautionShape])
def test_the_writing_guide_tells_of_every_key(shape: type[BaseModel]) -> None:
    keys = [field.alias or name for name, field in shape.model_fields.items()]
    assert [key for key in keys if f"`{key}`" not in WRITING and f"`{key}:" not in WRITING] == []


def test_the_writing_guide_tells_of_every_built_in_caution() -> None:
    assert [name for name in built_in() if f"`{name}`" not in WRITING] == []


def test_the_two_lines_are_one_line_each() -> None:
    for mark in ("<!-- demo -->", "<!-- tests -->"):
        assert block("sh", mark).count("\n") == 1


def rows(after: str, text: str = README) -> list[list[str]]:
    """The cells of the table that follows a mark, its heading left out."""
    lines = text[text.index(after) :].splitlines()[1:]
    table = list(takewhile(lambda line: line.startswith("|"), lines))
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table[2:]]


def shown(meaning: Meaning) -> str:
    """A meaning as the README writes it."""
    match meaning:
        case Reading(value, unit, label):
            return " ".join(str(part) for part in (label, value, unit) if part not in {"", None})
        case Spread(low, high):
            return f"{shown(low)} to {shown(high)}"
        case Series(readings):
            return ", ".join(map(shown, readings))
        case Correction(inner):
            return f"correction: {shown(inner)}"
        case Identifier(name, text):
            return f"{name.replace('-', ' ')} {text}"
        case _:
            return LANGUAGE.say(meaning)


@pytest.mark.parametrize(("said", "taken"), rows("<!-- phrases -->"))
def test_a_phrase_in_the_readme_is_taken_for_what_it_says(said: str, taken: str) -> None:
    meanings = LANGUAGE.compose(Expectation.anything()).parse(said).meanings
    found = " or ".join(map(shown, meanings)) or "refused"
    assert (f"{found}: it asks" if len(meanings) > 1 else found) == taken


def test_the_table_of_forms_is_the_one_made_from_the_grammar() -> None:
    sayings = (Path(__file__).parents[1] / "SAYINGS.md").read_text(encoding="utf-8")
    made = how_to_say_it("en").strip()
    assert sayings.split("<!-- forms -->")[1].strip() == made, "see: voiceassist grammar forms"


@pytest.mark.parametrize(("words", "what"), rows("<!-- sayings -->"))
def test_what_a_newcomer_is_told_to_say_is_understood(words: str, what: str) -> None:
    step = Expectation(("voltage",), unit("V"))
    assert len(LANGUAGE.compose(step).parse(words).meanings) == 1
    assert what


SOUND_CHECKS = (
    Findings(48_000, -60.0, (Trial("", "", False, MeasuredPhrase(-45.0, -30.0, 0.0, 9.0)),)),
    Findings(48_000, -60.0, (Trial("", "", True, MeasuredPhrase(-5.0, 0.0, 0.1, 50.0)),)),
    Findings(48_000, -60.0, (Trial("", "", False, None),), Echo(-30.0, 0.2, 0.9), True),
    Findings(48_000, -60.0, (), None, True),
    Findings(48_000, -60.0, (), None, True, True),
)


def test_the_readme_tells_what_the_sound_check_says_and_leaves_nothing_out() -> None:
    said = [advice.text for found in SOUND_CHECKS for advice in advised(found)]
    told = [part for row in rows("<!-- soundcheck -->") for part in row[0].split(", ")]
    for part in told:
        assert any(part in text for text in said), part
    for text in said:
        assert any(part in text for part in told), text


def test_the_bar_in_the_readme_is_one_that_is_drawn() -> None:
    low, high, below, above = map(Decimal, ("12", "13", "12.1", "12.9"))
    scale = Scale((Decimal("12.5"),), low, high, below, above, "12 V", "13 V")
    assert tuple(block("", "<!-- bar -->").splitlines()) == limit_bar(scale, "12.5 V", 40)


def test_every_records_command_in_the_readme_does_what_it_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setenv("VOICEASSIST_RECORDS", str(tmp_path / "records"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "records").mkdir()
    facts = {"repair order": "1042", "vehicle": "Quillback 26", "technician": "Kim"}
    said = [*job("8.4", "low")[1:-1], heard("connector green"), END]
    kept(tmp_path / "records", [head(facts=facts), *said])
    PIL.Image.new("RGB", (30, 20)).save(tmp_path / "pin.jpg")
    for line in block("sh", "<!-- records -->").splitlines():
        program, *arguments = shlex.split(line, comments=True)
        assert program == "voiceassist"
        journals = list(tmp_path.glob("records/*/journal.jsonl"))  # none when it is deleted
        on_paper = read(journals[0])[-1].hash if journals else ""
        with pytest.raises(SystemExit) as end:
            main([on_paper if each == "HASH" else each for each in arguments])
        assert end.value.code == 0, (line, capsys.readouterr())
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")
    for made in ("feed.svg", "month.svg", "jobs.csv", "order.pdf", "kim.html"):
        assert (tmp_path / made).is_file()


def test_every_line_for_a_cluster_in_the_readme_is_one_that_can_be_given(
    capsys: pytest.CaptureFixture[str],
) -> None:
    dask = {"scheduler": dask_scheduler.main, "worker": dask_worker.main}
    for line in block("sh", "<!-- cluster -->").splitlines():
        program, *arguments = shlex.split(line, comments=True)
        given = dask[arguments.pop(0)].main if program == "dask" else main
        with pytest.raises(SystemExit) as end:
            given([*arguments, "--help"])
        told = capsys.readouterr()
        assert end.value.code == 0, (line, told)
        assert all(a in told.out for a in arguments if a.startswith("--")), line


def chapter(heading: str) -> str:
    """The text under a heading."""
    return README.split(f"\n## {heading}\n")[1].split("\n## ")[0]


def test_every_way_a_job_can_end_is_in_the_readme_by_the_name_that_find_takes() -> None:
    text = chapter("Find it again, hand it out")
    told = text[text.index("A job ends as one of these") :].splitlines()[0]
    assert tuple(re.findall(r"\(`([a-z-]+)`\)|is `(open)`", told)) == (
        *((name, "") for name in OUTCOMES),
        ("", OPEN),
    )


def test_every_file_that_a_removal_or_a_torn_line_leaves_is_in_the_readme() -> None:
    cells = [row[0] for row in rows("<!-- kept -->", chapter("What is kept, and for how long"))]
    names = [name for cell in cells for name in re.findall(r"`([^`]+)`", cell)]
    for left in (
        STUB,
        SOUND_STUB,
        PRACTISED,
        f"{JOURNAL}.torn-7",
        JOURNAL,
        TRANSCRIPT_VTT,
        TRANSCRIPT_TXT,
    ):
        assert any(fnmatch(left, name) for name in names), left


def test_all_that_a_job_leaves_is_for_its_owner_alone_in_the_folder_of_data(tmp_path: Path) -> None:
    """Whatever the user's umask lets others read, and with every folder still to be made."""
    before = os.umask(0)
    try:
        typed = "no\naffirm\nfinish\nyes\n"
        done = call("run", "dim-headlamp", "--typed", "--silent", typed=typed, **homes(tmp_path))
        assert done.returncode == 0, done.stderr
        assert call("records", "list", **homes(tmp_path)).returncode == 0
    finally:
        os.umask(before)
    found = {path: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.rglob("*")}
    assert {mode for path, mode in found.items() if path.is_dir()} == {0o700}
    assert {mode for path, mode in found.items() if path.is_file()} == {0o600}
    assert {path.name for path in found} >= {JOURNAL, "report.html", "archive.db"}
    assert all(path.is_relative_to(tmp_path / "data") for path in found)


def test_every_extra_that_a_remedy_names_is_one_that_a_clone_has() -> None:
    """The package is ours at no registry: a bare name would bring somebody else's."""
    house = Path(__file__).parents[1]
    told = "".join(p.read_text("utf-8") for p in (house / "voiceassist").rglob("*.py"))
    told += README
    known = tomllib.loads((house / "pyproject.toml").read_text("utf-8"))["project"]
    named = re.findall(r"pip install [^\n]*?'\.\[(\w+)\]'", told)
    assert {"vosk", "postgres"} <= set(named) <= set(known["optional-dependencies"])
    assert not re.findall(r"pip install '?voiceassist", told)


def homes(folder: Path) -> dict[str, str]:
    """Variables that put all of a user's folders into one (XDG Base Directory Specification)."""
    names = ("DATA", "CONFIG", "CACHE", "STATE")
    own = {f"XDG_{name}_HOME": str(folder / name.lower()) for name in names}
    return {"HOME": str(folder / "home"), **own}


def test_every_check_and_drawing_in_the_readme_does_what_it_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))  # nothing is known from before
    monkeypatch.chdir(tmp_path)
    for line in block("sh", "<!-- check -->").splitlines():
        program, *arguments = shlex.split(line, comments=True)
        assert program == "voiceassist"
        if {"--draws", "--order"} & {*arguments}:
            (tmp_path / "lamp.yaml").write_text(
                LAMP, encoding="utf-8"
            )  # small, so that it is soon done
            arguments[arguments.index("heater-fan-module")] = "lamp.yaml"
        with pytest.raises(SystemExit) as end:
            main(arguments)
        assert end.value.code == 0, (line, capsys.readouterr())
    assert (tmp_path / "flow.svg").read_text("utf-8").startswith("<svg")
    assert (tmp_path / "circuit.svg").is_file()
    assert "flowchart TD" in capsys.readouterr().out


def test_the_failed_proof_in_the_readme_is_what_a_procedure_without_earth_tests_gives() -> None:
    text = FAN.replace(
        "    fail: feed-side\n\n  earth-lamp",
        "    fail: feed-side\n    then: command-slow\n\n  earth-lamp",
    )
    procedure = read_procedure(text, "fan.yaml")
    setup = SessionSetup(procedure, BOOK, meter=METER)
    found = [failure.message for failure in failures(procedure, prove(setup, 2))]
    assert block("", "<!-- proof -->").strip().replace("200", "2") in found


def test_the_table_of_settings_in_the_readme_is_made_from_them() -> None:
    assert written(README) == README, "run tests/make_settings.py"


def test_every_option_of_a_setting_is_one_of_its_command() -> None:
    shown = {
        "run": call("run", "--help").stdout,
        "records": call("records", "list", "--help").stdout,
    }
    assert [a.option for a in ABOUT.values() if f" {a.option}" not in shown[a.command]] == []


def test_every_way_to_talk_and_duplex_in_the_readme_is_one_that_can_be_set() -> None:
    shown = " ".join(use for _, use, _ in rows_of_hands_free())
    for option, value in re.findall(r"--(\w+) (\w+)", shown):
        Settings().changed({option: value}, "README.md")
    (name,) = re.findall(r'--name "([^"]+)"', README)
    LANGUAGE.compose(Expectation()).called(name)


def rows_of_hands_free() -> list[list[str]]:
    """The first table behind its heading."""
    lines = README[README.index("## Hands free") :].splitlines()
    start = next(at for at, line in enumerate(lines) if line.startswith("|"))
    table = takewhile(lambda line: line.startswith("|"), lines[start + 2 :])
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table]


def test_what_the_ears_say_in_the_readme_is_what_they_say() -> None:
    sentences = tomllib.loads(resources.grammar_files("en")["sentences.toml"])["ears"]
    told = [says for says, *_ in rows("<!-- ears -->")]
    assert all(any(part in text for text in sentences.values()) for part in told)
    # That it is back needs nothing done.
    untold = [name for name, text in sentences.items() if not any(part in text for part in told)]
    assert untold == ["back"]


def test_the_sayings_in_the_readme_are_spoken_as_it_says() -> None:
    sayings = Sayings.load(block("toml", "<!-- spoken -->"), "README.md")
    assert sayings("The BCM reads 35 kPa.") == "The body computer reads 35 kilopascals."


def test_every_fact_at_the_top_of_a_report_is_in_the_readme() -> None:
    given = README.partition("The facts at the top of a report")[2].partition("\n")[0]
    assert [name for name in (*_FACTS, "complaint") if f"`{name}`" not in given] == []


def test_every_command_is_in_the_readme() -> None:
    commands = (Path(__file__).parents[1] / "voiceassist" / "cli" / "main.py").read_text("utf-8")
    for name in re.findall(r"app\.command\(\)\((\w+)\.", commands):
        assert f"voiceassist {name}" in README, name


def test_every_shipped_procedure_is_in_the_readme() -> None:
    for path in (Path(__file__).parents[1] / "procedures").glob("*.yaml"):
        assert f"`{path.stem}`" in README, path.stem
