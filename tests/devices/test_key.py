"""A key to talk, on a terminal of our own (a pseudo-terminal)."""

import os
import select
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from voiceassist.devices import key as key_module
from voiceassist.devices.key import TalkKey
from voiceassist.errors import DeviceError

termios = pytest.importorskip("termios", reason="this system has no terminals of that kind")
HOUSE = Path(__file__).parents[2]


class Terminal:
    """Both ends of a terminal."""

    def __init__(self) -> None:
        self.keyboard, file = os.openpty()
        self.stream = os.fdopen(file)

    def type(self, text: str) -> None:
        os.write(self.keyboard, text.encode())
        assert select.select([self.stream], [], [], 5)[0], "it does not arrive"

    def echoes(self) -> bool:
        return bool(termios.tcgetattr(self.stream)[3] & termios.ECHO)


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    made = Terminal()
    yield made
    made.stream.close()
    os.close(made.keyboard)


@pytest.mark.parametrize("typed", [" ", "a", "\n", "\x1b[15~"])
def test_any_key_is_one_press_at_once_and_without_the_enter_key(
    terminal: Terminal, typed: str
) -> None:
    key = TalkKey(terminal.stream)
    assert not key.pressed()
    terminal.type(typed)
    assert key.pressed()
    assert not key.pressed()
    key.close()


def test_a_key_held_down_is_one_press_and_the_next_one_counts_again(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    now_s = [100.0]
    monkeypatch.setattr(key_module, "time", SimpleNamespace(monotonic=lambda: now_s[0]))
    key = TalkKey(terminal.stream)
    presses = 0
    for _ in range(6):
        terminal.type(" ")
        presses += key.pressed()
        now_s[0] += 0.5  # keyboards wait that long, at most, before they begin to repeat
    assert presses == 1
    now_s[0] += 0.25
    terminal.type(" ")
    assert key.pressed()
    key.close()


def test_the_terminal_is_left_as_it_was(terminal: Terminal) -> None:
    before = termios.tcgetattr(terminal.stream)
    key = TalkKey(terminal.stream)
    assert not terminal.echoes()
    key.close()
    key.close()
    assert termios.tcgetattr(terminal.stream) == before
    assert not key.pressed()


def test_the_terminal_is_left_as_it_was_when_the_program_fails(terminal: Terminal) -> None:
    program = "from voiceassist.devices.key import TalkKey; key = TalkKey(); raise SystemExit(3)"
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdin=terminal.stream,
        env={**os.environ, "PYTHONPATH": str(HOUSE)},
        check=False,
    )
    assert done.returncode == 3
    assert terminal.echoes()


def test_a_terminal_that_was_closed_is_left_without_complaint() -> None:
    terminal = Terminal()
    key = TalkKey(terminal.stream)
    os.close(terminal.keyboard)
    assert not key.pressed()
    key.close()
    terminal.stream.close()


def test_without_a_terminal_it_says_what_would_do(tmp_path: Path) -> None:
    (tmp_path / "typed").write_text("")
    with (tmp_path / "typed").open() as file, pytest.raises(DeviceError) as caught:
        TalkKey(file)
    assert "there is no keyboard" in str(caught.value)
    assert "talk = open or talk = name" in str(caught.value)
