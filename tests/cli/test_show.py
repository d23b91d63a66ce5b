"""Lines for a person: whole words at a terminal, left as they are in a file or a pipe."""

import io

import pytest

from voiceassist.cli.show import People, warn

LONG = "Measure the voltage from the earth pin to the battery minus post."
PATH = "/tmp/a-folder-of-records/20260131-120000-heater-fan-module-0123ab"


class Terminal(io.StringIO):
    """Text written to a terminal."""

    def isatty(self) -> bool:
        return True


def shown(out: io.StringIO, text: str) -> list[str]:
    People(out)({"event": "ask", "text": text})
    return out.getvalue().splitlines()


def test_a_terminal_gets_lines_that_break_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert shown(Terminal(), LONG) == [
        "   Measure the voltage from the earth",
        "   pin to the battery minus post.",
    ]


def test_a_pipe_gets_each_sentence_on_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert shown(io.StringIO(), LONG) == [f"   {LONG}"]


def test_a_command_to_be_copied_is_never_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr("sys.stderr", terminal := Terminal())
    warn(f"Go on with: voiceassist run --resume --records {PATH}")
    assert terminal.getvalue().count("\n") == 1
