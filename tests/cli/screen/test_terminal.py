"""The screen in a real terminal."""

import json
import os
import shlex
import shutil
import subprocess
import sys
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from voiceassist.cli.screen.letters import written_large

PHRASES = Path(__file__).parents[3] / "audio_fixtures" / "demo"
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("tmux") is None, reason="the package tmux is not installed"),
]


class Terminal:
    """A shell in a terminal of its own."""

    def __init__(self, folder: Path, width: int, height: int) -> None:
        self._name = f"screen-{uuid.uuid4().hex[:8]}"
        self._socket = ["tmux", "-L", self._name, "-f", os.devnull]
        size = ["-x", str(width), "-y", str(height)]
        self._run("new-session", "-d", *size, "sh", folder=folder, LC_ALL="C.UTF-8", TERM="xterm")

    def _run(self, *command: str, folder: Path | None = None, **variables: str) -> str:
        done = subprocess.run(
            [*self._socket, *command],
            check=True,
            capture_output=True,
            text=True,
            cwd=folder,
            env={**os.environ, **variables},
        )
        return done.stdout

    def type(self, command: str) -> None:
        """Type a line."""
        self._run("send-keys", "-l", command)
        self._run("send-keys", "Enter")

    def press(self, key: str) -> None:
        """Press a key by its name."""
        self._run("send-keys", key)

    def alternate(self) -> bool:
        """True while a program has the whole screen."""
        return self._run("display-message", "-p", "#{alternate_on}").strip() == "1"

    def text(self) -> str:
        """What it shows."""
        return self._run("capture-pane", "-p")

    def wait(self, holds: Callable[[str], bool], limit_s: float = 30) -> str:
        """What it shows once ``holds``."""
        due = time.monotonic() + limit_s
        while not holds(shown := self.text()):
            assert time.monotonic() < due, shown
            time.sleep(0.05)
        return shown

    def close(self) -> None:
        """End it and all that runs in it."""
        self._run("kill-server")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    opened = Terminal(tmp_path, 80, 24)
    yield opened
    opened.close()


#: Said so often that one can look at the picture before the session is over.
AGAIN = ("--audio", str(PHRASES / "07-say-again.wav")) * 20


def heater(*more: str) -> str:
    """The command of a session that hears its first phrases from files."""
    sounds = [str(PHRASES / f"{name}.wav") for name in ("01-affirm", "20-done", "03-battery")]
    command = [sys.executable, "-m", "voiceassist", "run", "heater-fan-module", "--silent"]
    command += ["--listener", "sphinx", "--records", "r", *more]
    return shlex.join([*command, *(part for sound in sounds for part in ("--audio", sound))])


def has(*parts: str) -> Callable[[str], bool]:
    return lambda shown: all(part in shown for part in parts)


def large(words: str) -> str:
    rows = written_large(words, 80)
    assert rows is not None
    return rows[1]


def test_a_session_is_shown_while_it_runs_and_the_terminal_given_back(terminal: Terminal) -> None:
    terminal.type("echo before; " + heater("--screen", "auto", *AGAIN))
    waiting = terminal.wait(has(large("warning"), "explodes"))
    assert "before" not in waiting
    assert "Battery gas explodes" in waiting
    after = terminal.wait(has("Record: "))
    assert not terminal.alternate()
    assert "before" in after
    assert "▀" not in after


def test_json_stays_clean_with_the_screen_on(terminal: Terminal, tmp_path: Path) -> None:
    terminal.type(heater("--screen", "on", "--json", *AGAIN) + " > out.jsonl; echo code $?")
    terminal.wait(has(large("warning")))
    terminal.wait(has("code 1"))
    text = (tmp_path / "out.jsonl").read_text(encoding="utf-8")
    assert all(line.startswith("{") and line.endswith("}") for line in text.splitlines())
    assert "\x1b" not in text
    assert len(text.splitlines()) > 10
    assert json.loads(text.splitlines()[-1])["event"] == "ask"


def test_a_recorded_job_shows_reading_limit_and_vehicle(terminal: Terminal) -> None:
    command = [sys.executable, "-m", "voiceassist", "demo", "--screen", "on", "--records", "r"]
    terminal.type("NO_COLOR=1 " + shlex.join(command))
    shown = terminal.wait(has("Heard: ", "PASS", "limit ", "┘", "Vehicle: ", "sure"))
    assert "Heater fan runs" in shown
    terminal.press("C-c")
    terminal.wait(has("Stopped."))
    assert not terminal.alternate()


def test_a_line_typed_at_a_terminal_stands_there_once(terminal: Terminal) -> None:
    command = [sys.executable, "-m", "voiceassist", "run", "heater-fan-module", "--typed"]
    terminal.type(shlex.join([*command, "--silent", "--records", "r"]))
    terminal.wait(has("Say affirm when understood.\n>"))
    terminal.type("affirm")
    shown = terminal.wait(has("Measure the voltage across the battery posts.\n>"))
    assert shown.count("> affirm") == 1
    assert [row for row in shown.splitlines() if row.strip() == "affirm"] == []
    terminal.press("C-d")
    terminal.wait(has("\n>\nThe input ended before the job did."))
