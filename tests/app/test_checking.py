"""Files checked as ``voiceassist check`` does it: with their neighbours, and by the language."""

from pathlib import Path

import pytest

from voiceassist.app.desk.check import Checker, FileReport, check_files
from voiceassist.errors import ResourceError
from voiceassist.procedure.faults import Severity

HOUSE = Path(__file__).parents[2]
SMALL = """\
procedure: NAME
title: The lamp does not light
for: an invented trailer
steps:
  one: STEP
findings:
  fine: {cause: all is well, correction: none}
"""


def written(folder: Path, name: str, step: str) -> Path:
    """A procedure file of one step."""
    path = folder / f"{name}.yaml"
    path.write_text(SMALL.replace("NAME", name).replace("STEP", step), encoding="utf-8")
    return path


def only(path: Path) -> FileReport:
    (report,) = check_files([str(path)])
    return report


def test_a_file_without_fault_tells_how_many_steps_it_has(tmp_path: Path) -> None:
    path = written(tmp_path, "single", "{do: look, then: fine}")
    assert list(only(path).lines()) == [f"{path}: no fault in 1 step; no circuit, so not proved"]
    two = path.read_text().replace("findings:", "  two: {do: look, then: fine}\nfindings:")
    path.write_text(two.replace("look, then: fine", "look", 1))
    assert list(only(path).lines()) == [f"{path}: no fault in 2 steps; no circuit, so not proved"]


def test_a_used_procedure_is_looked_for_beside_the_file(tmp_path: Path) -> None:
    written(tmp_path, "inner", "{do: look, then: fine}")
    outer = written(tmp_path, "outer", "{use: inner, go: {fine: fine}}")
    assert not only(outer).faults
    (tmp_path / "inner.yaml").unlink()
    assert [fault.path for fault in only(outer).faults] == ["steps.one.use"]


def test_a_shipped_procedure_can_be_used_from_anywhere(tmp_path: Path) -> None:
    go = "{no-fault: fine, feed-side: fine}"
    outer = written(tmp_path, "outer", f"{{use: heater-fan-module, go: {go}}}")
    assert not only(outer).has_errors


@pytest.mark.parametrize(
    ("answer", "reserved"),
    [
        ("say again", True),
        ("louder", True),
        ("done", True),
        ("yes please go back", False),
        ("nothing at all", False),
        ("one speed", False),
    ],
)
def test_an_answer_that_is_a_word_of_the_language_is_a_fault(
    tmp_path: Path, answer: str, reserved: bool
) -> None:
    step = f"{{ask: what is it like, answers: {{mine: {{say: [{answer}], go: fine}}}}}}"
    report = only(written(tmp_path, "asks", step))
    assert report.has_errors is reserved
    if reserved:
        assert "already is a command or a plain answer" in report.faults[0].message


def test_the_languages_own_words_are_told_from_others() -> None:
    checker = Checker()
    assert checker.shop.is_reserved("stand by")
    assert checker.shop.is_reserved("affirm")
    assert not checker.shop.is_reserved("the left one")


def test_a_picture_that_is_not_there_is_warned_of(tmp_path: Path) -> None:
    path = written(tmp_path, "shows", "{do: look, picture: wire.png, then: fine}")
    (fault,) = only(path).faults
    assert (fault.level, fault.path, fault.line) == (Severity.WARNING, "steps.one.picture", 5)
    (tmp_path / "wire.png").write_bytes(b"")
    assert not only(path).faults


def test_one_bad_file_does_not_stop_the_others(tmp_path: Path) -> None:
    good = written(tmp_path, "single", "{do: look, then: fine}")
    (tmp_path / "latin.yaml").write_bytes(b"procedure: caf\xe9\n")
    names = [str(tmp_path / "none.yaml"), str(tmp_path / "latin.yaml"), "no-such", str(good)]
    missing, latin, unknown, fine = check_files(names)
    for report, words in [
        (missing, "there is no such file"),
        (latin, "this is not UTF-8 text"),
        (unknown, "no shipped procedure called 'no-such'"),
    ]:
        (fault,) = report.faults
        assert fault.level is Severity.ERROR
        assert words in fault.message
    assert not fine.faults


def test_a_folder_with_one_bad_file_is_checked_whole(tmp_path: Path) -> None:
    written(tmp_path, "single", "{do: look, then: fine}")
    (tmp_path / "latin.yaml").write_bytes(b"procedure: caf\xe9\n")
    reports = list(check_files([str(tmp_path)]))
    assert [report.has_errors for report in reports] == [True, False]


def test_the_only_name_must_lead_somewhere(tmp_path: Path) -> None:
    with pytest.raises(ResourceError, match="there is no such file"):
        list(check_files([str(tmp_path / "none.yaml")]))
    with pytest.raises(ResourceError, match=r"there is no \.yaml file in this folder"):
        list(check_files([str(tmp_path)]))


def test_a_meter_file_is_checked_as_one(tmp_path: Path) -> None:
    ordinary = HOUSE / "procedures" / "meters" / "ordinary.yaml"
    report = only(ordinary)
    assert (report.name, report.faults) == ("ordinary", ())
    assert " ranges" in next(report.lines())
    spoilt = tmp_path / "mine.yaml"
    spoilt.write_text(ordinary.read_text("utf-8").replace("top: 6 V,", "top: 6 X,"), "utf-8")
    (fault,) = only(spoilt).faults
    assert (fault.level, fault.path) == (Severity.ERROR, "ranges[1].top")
