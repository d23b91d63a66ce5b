"""Starter files load as they stand, and never take the place of anything."""

from pathlib import Path

import pytest

from voiceassist import resources
from voiceassist.app.desk.check import check_files
from voiceassist.app.desk.starter_files import start
from voiceassist.errors import ResourceError, SettingsError
from voiceassist.procedure.read import read_procedure


@pytest.mark.parametrize("meter", [False, True])
def test_a_starter_is_without_fault(tmp_path: Path, meter: bool) -> None:
    path = start("side-lamp", folder=str(tmp_path), meter=meter)
    assert path == tmp_path / "side-lamp.yaml"
    (report,) = check_files([str(path)])
    assert (report.name, report.faults) == ("side-lamp", ())


@pytest.mark.parametrize(
    ("meter", "schema"), [(False, "procedure.schema.json"), (True, "meter.schema.json")]
)
def test_its_schema_lies_beside_it(tmp_path: Path, meter: bool, schema: str) -> None:
    path = start("mine", folder=str(tmp_path), meter=meter)
    assert path.read_text("utf-8").startswith(f"# yaml-language-server: $schema={schema}\n")
    shipped = resources.folder("procedures") / schema
    assert (tmp_path / schema).read_text("utf-8") == shipped.read_text("utf-8")


@pytest.mark.parametrize(
    "title",
    ["The lamp does not light", 'a "quoted": one # here', "백미등이 켜지지 않음", "NAME: TITLE"],
)
def test_the_title_is_kept_as_given(tmp_path: Path, title: str) -> None:
    path = start("mine", title=title, folder=str(tmp_path))
    procedure = read_procedure(path.read_text("utf-8"), "mine.yaml")
    assert (procedure.name, procedure.title) == ("mine", title)


def test_the_starter_explains_itself(tmp_path: Path) -> None:
    text = start("mine", folder=str(tmp_path)).read_text("utf-8")
    comments = [line for line in text.splitlines() if "#" in line]
    assert len(comments) >= 10


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "mine.yaml").write_text("precious")
    with pytest.raises(ResourceError, match="there is already such a file"):
        start("mine", folder=str(tmp_path))
    assert (tmp_path / "mine.yaml").read_text() == "precious"
    assert not (tmp_path / "procedure.schema.json").exists()


def test_a_schema_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "procedure.schema.json").write_text("{}")
    start("mine", folder=str(tmp_path))
    assert (tmp_path / "procedure.schema.json").read_text() == "{}"


@pytest.mark.parametrize("name", ["My Lamp", "..", "a/b", "", "x.yaml", "-x", "x: y", "a\nb"])
def test_a_name_that_is_none_is_refused_and_writes_nothing(tmp_path: Path, name: str) -> None:
    with pytest.raises(SettingsError, match=r"^NAME: "):
        start(name, folder=str(tmp_path))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("title", ["x" * 601, "\ud800"])
def test_a_title_that_cannot_be_used_is_refused(tmp_path: Path, title: str) -> None:
    with pytest.raises(SettingsError):
        start("mine", title=title, folder=str(tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(ResourceError, match="there is no such folder; make it first"):
        start("mine", folder=str(tmp_path / "none"))
    assert list(tmp_path.iterdir()) == []
