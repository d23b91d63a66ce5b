"""What the README shows is true."""

import re
from pathlib import Path

from voiceassist.procedure.read import inspect

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def block(kind: str, after: str = "") -> str:
    found = re.search(rf"```{kind}\n(.*?)```", README[README.index(after) :], re.DOTALL)
    assert found is not None
    return found[1]


def test_the_procedure_in_the_readme_is_without_fault() -> None:
    procedure, faults = inspect(block("yaml"))
    assert not faults
    assert procedure is not None


def test_the_two_lines_are_one_line_each() -> None:
    for mark in ("<!-- demo -->", "<!-- tests -->"):
        assert block("sh", mark).count("\n") == 1


def test_every_command_is_in_the_readme() -> None:
    commands = (Path(__file__).parents[1] / "voiceassist" / "cli" / "main.py").read_text("utf-8")
    for name in re.findall(r"app\.command\(\)\((\w+)\.", commands):
        assert f"voiceassist {name}" in README, name
