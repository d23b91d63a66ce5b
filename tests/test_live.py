"""A session by microphone and loudspeaker, through a real sound server."""

import json
import queue
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from conftest import SoundServer

PHRASES = Path(__file__).parents[1] / "audio_fixtures" / "demo"
#: After the assistant's last word: devices play later than asked, and the microphone is deaf
#: for a short tail.
_PAUSE_S = 1.5
_PATIENCE_S = 8
_LONGEST_S = 120

pytestmark = pytest.mark.slow

Line = dict[str, object]


class Technician:
    """Somebody who speaks when the assistant has finished, and again when it did not hear."""

    def __init__(self, server: "SoundServer", process: "subprocess.Popen[str]") -> None:
        self._server = server
        self._lines: queue.Queue[Line | None] = queue.Queue()
        self._process = process
        self.found: list[Line] = []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        for text in self._process.stdout:
            self._lines.put(json.loads(text))
        self._lines.put(None)

    def leave(self) -> None:
        """End the session as a power cut would."""
        self._process.kill()
        self._reader.join(10)
        self._process.communicate()

    def _understood(self) -> bool:
        last = [line for line in self.found if line["event"] == "heard"][-1:]
        return bool(last and last[0]["meanings"])

    def listen(self, patience_s: float) -> bool:
        """Listen to one turn of the assistant; False when none comes in time."""
        turn: list[Line] = []
        while True:
            try:
                line = self._lines.get(timeout=0.5 if turn else patience_s)
            except queue.Empty:
                break
            assert line is not None, "the session ended early"
            turn.append(line)
        self.found += turn
        if not turn:
            return False
        spoken = [line for line in turn if "start_s" in line and line["event"] != "heard"]
        time.sleep(float(str(spoken[-1]["end_s"])) - float(str(spoken[0]["start_s"])) + _PAUSE_S)
        return True

    def say(self, name: str) -> None:
        """Say a recorded phrase until it is heard."""
        for _ in range(3):
            path = str(PHRASES / f"{name}.wav")
            self._server.start("paplay", "-d", "mouth", path).communicate(timeout=20)
            if self.listen(_PATIENCE_S) and self._understood():
                return
        raise AssertionError(f"{name} was not heard")


def test_steps_are_done_by_voice_through_microphone_and_loudspeaker(
    sound_server: "SoundServer", tmp_path: Path
) -> None:
    sound_server.environment["VOICEASSIST_RATE_WPM"] = "300"
    process = sound_server.start(
        sys.executable, "-m", "voiceassist", "run", "heater-fan-module", "--json",
        "--detail", "brief", "--records", str(tmp_path / "records"),
    )  # fmt: skip
    watchdog = threading.Timer(_LONGEST_S, process.kill)
    watchdog.start()
    technician = Technician(sound_server, process)
    try:
        assert technician.listen(30)
        for name in ("01-affirm", "02-done", "03-battery", "05-affirm", "06-done"):
            technician.say(name)
    finally:
        watchdog.cancel()
        technician.leave()
    heard = [line["words"] for line in technician.found if line.get("meanings")]
    assert heard == ["affirm", "done", "twelve point eight volts", "affirm", "done"]
    verdicts = [line["verdict"] for line in technician.found if line["event"] == "verdict"]
    assert verdicts == ["pass"]
    assert technician.found[-1]["step"] == "feed"
