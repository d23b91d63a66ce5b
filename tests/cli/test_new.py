"""``voiceassist new`` and ``voiceassist check`` as a user or a program calls them."""

import json
from contextlib import chdir
from pathlib import Path

import pytest
import running
from running import Done

HOUSE = Path(__file__).parents[2]


def call(*arguments: str, folder: Path) -> Done:
    """The same, in ``folder``."""
    with chdir(folder):
        return running.call(*arguments)


@pytest.mark.parametrize("more", [[], ["--meter"]])
def test_new_writes_a_file_that_check_passes(tmp_path: Path, more: list[str]) -> None:
    made = call("new", "side-lamp", *more, "--json", folder=tmp_path)
    assert made.returncode == 0, made.stderr
    assert json.loads(made.stdout) == {"file": "side-lamp.yaml"}
    checked = call("check", "side-lamp.yaml", "--json", folder=tmp_path)
    assert checked.returncode == 0, checked.stdout
    assert json.loads(checked.stdout)["problems"] == []


def test_new_takes_a_title_and_a_folder(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    made = call("new", "mine", "--title", "It hums", "--folder", "there", folder=tmp_path)
    assert made.returncode == 0
    assert 'title: "It hums"' in (tmp_path / "there" / "mine.yaml").read_text("utf-8")
    assert "voiceassist check" in made.stdout


def test_new_never_overwrites(tmp_path: Path) -> None:
    call("new", "mine", folder=tmp_path)
    again = call("new", "mine", folder=tmp_path)
    assert again.returncode == 2
    assert again.stderr == "mine.yaml: there is already such a file; choose another name\n"
    assert again.stdout == ""


def test_new_refuses_a_name_that_is_none(tmp_path: Path) -> None:
    done = call("new", "My Lamp", folder=tmp_path)
    assert done.returncode == 2
    assert "'My Lamp' is not a name" in done.stderr
    assert "Traceback" not in done.stderr


def test_check_goes_on_after_a_file_that_is_not_there(tmp_path: Path) -> None:
    call("new", "mine", folder=tmp_path)
    done = call("check", "none.yaml", "mine.yaml", "ordinary.yaml", "--json", folder=tmp_path)
    reports = [json.loads(line) for line in done.stdout.splitlines()]
    assert done.returncode == 1
    assert [bool(report["problems"]) for report in reports] == [True, False, True]
    assert reports[0]["problems"][0]["level"] == "error"


def test_new_has_help() -> None:
    done = call("new", "--help", folder=HOUSE)
    assert done.returncode == 0
    assert "--json" in done.stdout
