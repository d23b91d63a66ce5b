"""A live session through a sound server of its own: ``python tests/benchmarks/live.py``.

    --listener NAME    whose hearing is measured; the default one otherwise
    --turns N          how many turns are timed (40)
    --minutes N        how long the soak lasts (60); 0 leaves it out
    --only PART        "answer", "cut", "idle" or "soak"

Needs the packages pulseaudio, pulseaudio-utils, libasound2-plugins, libportaudio2, espeak-ng and
flite. Times are taken from recordings of both virtual devices: from the last sound of what was
said to the first sound of the answer, end-of-speech pause and all.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

HOUSE = Path(__file__).parents[2]
sys.path[:0] = [str(HOUSE), str(HOUSE / "tests")]

import numpy as np  # noqa: E402
from liveroom import Room, Tape, room  # noqa: E402
from soundserver import SoundServer, lacking, serving  # noqa: E402

from voiceassist.devices.wav import write_clip  # noqa: E402
from voiceassist.sound.samples import clip_of  # noqa: E402

DEMO = HOUSE / "audio_fixtures" / "demo"
#: Goals for the answer, with the pause that ends a phrase.
ANSWER_GOAL_S = {"ear": 0.6, "sphinx": 0.7, "": 0.6}
STOP_GOAL_S, IDLE_GOAL, GROWTH_GOAL_MB = 0.15, 0.25, 20.0
#: Questions that do not move the job, so that one can ask for ever.
ASKED = ("what is the limit", "where am i", "why", "say again", "how far", "read back")
#: Memory is judged from here on: libraries and caches have filled.
_WARM_S = 60.0


def figure(name: str, found: str, goal: str = "") -> None:
    print(f"{name:<58} {found:>14} {('goal ' + goal) if goal else '':>16}", flush=True)


def begun(server: SoundServer, folder: str, listener: str, *more: str) -> Room:
    named = ["--listener", listener] if listener else []
    return Room(
        server, "heater-fan-module", "--detail", "brief", "--rate", "300", "--tones", "off",
        "--records", folder, *named, *more,
    )  # fmt: skip


# --- answer ---


def answers(server: SoundServer, listener: str, turns: int) -> None:
    """End of speech to the first spoken sample, over whole demo jobs."""
    waits: list[Wait] = []
    tries = 0
    phrases = sorted(DEMO.glob("*.wav"))
    while len(waits) < turns:
        with tempfile.TemporaryDirectory() as folder:
            here = begun(server, folder, listener)
            try:
                here.await_turn()
                for phrase in phrases:
                    for _ in range(3):
                        tries += 1
                        found = here.say(phrase)
                        if found.heard is not None and found.heard["meanings"]:
                            break
                    if found.answer_s is not None and found.heard is not None:
                        line = found.heard
                        waits.append(Wait(found.answer_s - found.spoke_s,
                                          line["taken_s"], line["hearing_s"],
                                          line["early"]))  # fmt: skip
                    if len(waits) >= turns or here.process.poll() is not None:
                        break
            finally:
                here.close()
    tell_answers(waits, listener)
    figure("phrases said to get there", str(tries))


@dataclass(frozen=True, slots=True)
class Wait:
    """How long one answer took, in seconds.

    Parts:
        whole_s: from the last sound of the phrase to the first of the answer, on tape.
        taken_s: as the ears have it, from the end of the phrase to its being understood.
        hearing_s: what the listeners took, some of it while more speech was waited for.
        early: taken before the pause that ends a phrase was over.
    """

    whole_s: float
    taken_s: float
    hearing_s: float
    early: bool


def tell_answers(waits: Sequence[Wait], listener: str) -> None:
    goal = ANSWER_GOAL_S.get(listener, 1.1)
    name = listener or "default listeners"
    told = spread([wait.whole_s for wait in waits])
    figure(f"end of speech to first spoken sample, {name}", told, f"{goal * 1000:.0f} ms")
    figure("  (median, 95th percentile, turns)", str(len(waits)))
    figure("  of it until understood", spread([wait.taken_s for wait in waits]))
    figure("  of that the listeners' own time, part of it in the pause",
           spread([wait.hearing_s for wait in waits]))  # fmt: skip
    rest = [wait.whole_s - wait.taken_s for wait in waits]
    figure("  the rest: session, record, voice, devices", spread(rest))
    early = [wait.whole_s for wait in waits if wait.early]
    figure("  taken before the pause was over", f"{len(early)} of {len(waits)}")
    if early:
        figure("  these alone", spread(early))


def spread(seconds: Sequence[float]) -> str:
    """Median and 95th percentile, in milliseconds."""
    ordered = sorted(seconds)
    high = ordered[min(len(ordered) - 1, round(0.95 * len(ordered)))]
    return f"{statistics.median(seconds) * 1000:.0f} / {high * 1000:.0f} ms"


# --- cutting in ---

STOPPER = """
import sys, threading, time
from pathlib import Path
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.wav import read_clip
from voiceassist.sound.clip import Clip
clip = read_clip(Path(sys.argv[1]))
loudspeaker = Loudspeaker()
loudspeaker.play(Clip.silence(0.5))  # devices take their time to wake
for number in range(10):
    heard = []
    thread = threading.Thread(target=lambda: heard.append(loudspeaker.play(clip)))
    thread.start()
    time.sleep(1.0 + number * 0.037)
    at = time.monotonic()
    loudspeaker.stop()
    thread.join()
    print(at, heard[0], flush=True)
    time.sleep(0.7)
"""


def cuts(server: SoundServer, listener: str) -> None:
    """How soon the loudspeaker is silent after a stop, and after somebody speaks."""
    with tempfile.TemporaryDirectory() as folder:
        hum = Path(folder) / "hum.wav"
        at = np.arange(10 * 16_000) * 2 * np.pi * 300 / 16_000
        write_clip(hum, clip_of(8000 * np.sin(at), 16_000))
        tape = Tape(server, "speaker.monitor")
        process = server.start(sys.executable, "-c", STOPPER, str(hum))
        stops: list[float] = []
        errors: list[float] = []
        assert process.stdout is not None
        for line in process.stdout:
            asked_s, heard_s = (float(part) for part in line.split())
            time.sleep(0.4)
            last_s = tape.last_loud_s()
            assert last_s is not None
            stops.append(last_s - asked_s)
            began_s = tape.first_loud_s(asked_s - 3.0, 0.1) or 0.0
            errors.append(heard_s - (last_s - began_s))
            tape.forget()
        process.communicate()
        tape.close()
    figure("loudspeaker: stop to silence, worst of 10", f"{max(stops) * 1000:.0f} ms",
           f"{STOP_GOAL_S * 1000:.0f} ms")  # fmt: skip
    figure("loudspeaker: error of what it says was heard, worst",
           f"{max(errors, key=abs) * 1000:+.0f} ms")  # fmt: skip
    speech_cuts(server, listener)


def speech_cuts(server: SoundServer, listener: str) -> None:
    waits: list[float] = []
    # A long "s" is not taken for speech yet, so the first is the slowest of them.
    names = ("07-say-again", "05-affirm", "17-why", "08-feed")
    phrases = [DEMO / f"{name}.wav" for name in names]
    with tempfile.TemporaryDirectory() as folder, room(
        server, "heater-fan-module", "--duplex", "full", "--tones", "off", "--records", folder,
        *(["--listener", listener] if listener else []),
    ) as here:  # fmt: skip
        for number in range(8):
            here.speaker.forget()
            here.mouth.forget()
            assert here.speaker.first_loud_s(0.0, 30) is not None
            time.sleep(1.5 + number * 0.05)
            server.say(phrases[number % len(phrases)])
            spoke_s = here.mouth.first_loud_s(0.0, 5)
            assert spoke_s is not None
            silent_s = first_silence_s(here.speaker, spoke_s)
            if silent_s is not None:
                waits.append(silent_s - spoke_s)
    figure(f"somebody speaks: loudspeaker silent after, median of {len(waits)}",
           f"{statistics.median(waits) * 1000:.0f} ms", "250 ms")  # fmt: skip
    figure("  (90 ms of it are waited to tell speech from a knock)",
           f"{max(waits) * 1000:.0f} ms worst")  # fmt: skip


def first_silence_s(tape: Tape, after_s: float, quiet_s: float = 0.3) -> float | None:
    """When the loudspeaker fell silent for ``quiet_s``, at or after ``after_s``."""
    now_s = time.monotonic()
    samples = np.abs(tape.samples(after_s, now_s).astype(np.int32))
    loud = samples[: len(samples) // 320 * 320].reshape(-1, 320).max(axis=1) > 400
    need = round(quiet_s / 0.02)
    for block in range(len(loud) - need):
        if not loud[block : block + need].any():
            return after_s + block * 0.02
    return None


# --- idle ---


def idle(server: SoundServer, listener: str) -> None:
    """Share of a core while nobody speaks."""
    with tempfile.TemporaryDirectory() as folder:
        here = begun(server, folder, listener)
        try:
            here.await_turn()
            time.sleep(5)
            before, at = cpu_s(here.process.pid), time.monotonic()
            time.sleep(20)
            used = (cpu_s(here.process.pid) - before) / (time.monotonic() - at)
        finally:
            here.close()
    figure("processor while nobody speaks", f"{used:.1%}", f"{IDLE_GOAL:.0%}")


def family(pid: int) -> list[int]:
    """The process and all its children's children."""
    found = [pid]
    for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
        found += family(int(child))
    return found


def cpu_s(pid: int) -> float:
    total = 0
    for member in family(pid):
        parts = Path(f"/proc/{member}/stat").read_text().rpartition(")")[2].split()
        total += int(parts[11]) + int(parts[12])
    return total / 100


def resident_mb(pid: int) -> float:
    kilobytes = 0
    for member in family(pid):
        for line in Path(f"/proc/{member}/status").read_text().splitlines():
            if line.startswith("VmRSS"):
                kilobytes += int(line.split()[1])
    return kilobytes / 1024


def threads(pid: int) -> int:
    return len(list(Path(f"/proc/{pid}/task").iterdir()))


# --- soak ---


def spoken(folder: Path) -> list[Path]:
    """The questions, spoken."""
    found = []
    for number, words in enumerate(ASKED):
        path = folder / f"{number}.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", words, "-o", str(path)], check=True)
        found.append(path)
    return found


def noises(folder: Path) -> Iterator[Path]:
    """Knocks, hiss and hum, made from numbers."""
    random = np.random.default_rng(7)
    at = np.arange(2 * 16_000) / 16_000
    made = {
        "knock": 12_000 * np.exp(-at * 30) * random.normal(size=at.size),
        "hiss": 400 * random.normal(size=at.size),
        "hum": 900 * np.sin(2 * np.pi * 100 * at),
    }
    for name, samples in made.items():
        path = folder / f"{name}.wav"
        write_clip(path, clip_of(samples, 16_000))
        yield path


def soak(server: SoundServer, listener: str, minutes: float) -> None:
    """Speech and noise without end: nothing grows, nothing is lost."""
    with tempfile.TemporaryDirectory() as folder:
        questions, made = spoken(Path(folder)), list(noises(Path(folder)))
        here = begun(server, folder, listener)
        said = 0
        grown: list[tuple[float, float]] = []
        over = threading.Event()
        try:
            here.await_turn()
            for opening in ("01-affirm", "20-done"):
                here.say(DEMO / f"{opening}.wav")
            began = time.monotonic()
            beside = threading.Thread(target=disturb, args=(server, made, over))
            beside.start()
            at_start = threads(here.process.pid)
            while time.monotonic() - began < minutes * 60 and here.process.poll() is None:
                here.say(questions[said % len(questions)], patience_s=4)
                said += 1
                here.speaker.forget()
                here.mouth.forget()
                grown.append((time.monotonic() - began, resident_mb(here.process.pid)))
            at_end = threads(here.process.pid)
        finally:
            over.set()
            beside.join()
            here.close()
    tell_soak(here, said, grown, minutes)
    figure("  threads at the beginning and the end", f"{at_start}, {at_end}")


def tell_soak(here: Room, said: int, grown: Sequence[tuple[float, float]], minutes: float) -> None:
    kinds = Counter(str(line["event"]) for line in here.lines)
    understood = sum(bool(li["meanings"]) for li in here.lines if li["event"] == "heard")
    warm = [mb for at_s, mb in grown if at_s >= min(_WARM_S, minutes * 20)] or [0.0]
    figure(f"soak of {minutes:g} min: growth of memory",
           f"{max(warm[-5:]) - warm[0]:+.1f} MB", f"{GROWTH_GOAL_MB:.0f} MB")  # fmt: skip
    figure("  memory at its end", f"{warm[-1]:.0f} MB")
    figure("  questions said, heard, understood", f"{said}, {kinds['heard']}, {understood}")
    figure("  sound lost (times told)", str(kinds["overflow"]), "0")
    figure("  too noisy, device (times told)", f"{kinds['noise']}, {kinds['device']}")


def disturb(server: SoundServer, made: Sequence[Path], over: threading.Event) -> None:
    """A noise now and then, beside the speech."""
    number = 0
    while not over.wait(7.3):
        server.say(made[number % len(made)])
        number += 1


def main() -> None:
    about = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    about.add_argument("--listener", default="")
    about.add_argument("--turns", type=int, default=40)
    about.add_argument("--minutes", type=float, default=60)
    about.add_argument("--only", choices=["answer", "cut", "idle", "soak"])
    wish = about.parse_args()
    if reason := lacking():
        sys.exit(reason)
    with serving() as server:
        if wish.only in {None, "answer"}:
            answers(server, wish.listener, wish.turns)
        if wish.only in {None, "cut"}:
            cuts(server, wish.listener)
        if wish.only in {None, "idle"}:
            idle(server, wish.listener)
        if wish.only in {None, "soak"} and wish.minutes:
            soak(server, wish.listener, wish.minutes)


if __name__ == "__main__":
    main()
