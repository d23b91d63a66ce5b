"""How fast kept sound is heard again: ``hear_again.py [--sessions N] [--computers 10 --cores 4]``.

A job is recorded by the demo's own voice, and its session is heard again, first cold, then N times
as others like it. Told is processor time, which a busy machine does not change much: phrases a
second of one core, seconds of sound a second, and what 10 000 hours of sound would take. One thread
is used, as by a worker.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")

from voiceassist.app.again.hearer import heard_again
from voiceassist.app.again.tape import Tape, tape_of
from voiceassist.app.settings.settings import Settings
from voiceassist.record.folder import sessions

DEMO = Path(__file__).parents[2] / "audio_fixtures" / "demo"
HOURS = 10_000


def recorded(home: Path) -> Tape:
    """A session of the demo's recordings, with their sound."""
    files = [str(file) for file in sorted(DEMO.glob("*.wav"))]
    asked = ["run", "heater-fan-module", "--silent", "--keep-sound", "on"]
    subprocess.run(
        [sys.executable, "-m", "voiceassist", *asked, "--records", str(home), "--audio", *files],
        check=False,
        capture_output=True,
    )
    (folder,) = sessions(home)
    return tape_of(folder)


def measured(tape: Tape, times: int) -> tuple[int, float, float]:
    """Phrases, seconds of sound, and of processor time."""
    began, phrases, sound_s = time.process_time(), 0, 0.0
    for _ in range(times):
        found = heard_again(Settings(), tape)
        assert not found.why_not, found.why_not
        phrases += len(found.phrases)
        sound_s += sum(phrase.sound_s for phrase in found.phrases)
    return phrases, sound_s, time.process_time() - began


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sessions", type=int, default=10)
    parser.add_argument("--computers", type=int, default=10)
    parser.add_argument("--cores", type=int, default=4)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as home:
        tape = recorded(Path(home))
    cold, warm = measured(tape, 1), measured(tape, asked.sessions)
    for name, (phrases, sound_s, spent_s) in {"cold": cold, "warm": warm}.items():
        rates = f"{phrases / spent_s:.1f} phrases and {sound_s / spent_s:.1f} s of sound a second"
        print(f"{name}: {phrases} phrases, {sound_s:.0f} s of sound in {spent_s:.2f} s: {rates}")
    rate = warm[1] / warm[2]
    cores = asked.computers * asked.cores
    print(f"{HOURS} h of sound / {rate:.1f} = {HOURS / rate:.0f} h of one core;", end=" ")
    print(f"/ ({asked.computers} computers x {asked.cores} cores) = {HOURS / rate / cores:.1f} h")


if __name__ == "__main__":
    main()
