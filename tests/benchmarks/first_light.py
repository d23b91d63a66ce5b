"""Speed and size of a session: ``python tests/benchmarks/first_light.py``.

Prints each figure beside its goal. Sound is the recorded technician of the demo, so no
device is needed; one core is enough. Times are medians unless it says otherwise. Modules are
compiled beforehand, as those of an installed package are.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

HOUSE = Path(__file__).parents[2]
DEMO = HOUSE / "audio_fixtures" / "demo"


def seconds_of(program: str, times: int = 9) -> float:
    """Median time of a fresh interpreter running ``program``, less that of an empty one."""
    with tempfile.TemporaryDirectory() as compiled:
        around = {**os.environ, "PYTHONPYCACHEPREFIX": compiled, "PYTHONDONTWRITEBYTECODE": ""}

        def once(code: str) -> float:
            began = time.perf_counter()
            subprocess.run(
                [sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL, env=around
            )
            return time.perf_counter() - began

        once(program)
        empty = statistics.median(once("pass") for _ in range(times))
        return statistics.median(once(program) for _ in range(times)) - empty


def speech_libraries_at_start() -> list[str]:
    """Speech and sound libraries that are loaded by importing the command line."""
    names = "pocketsphinx vosk pyttsx3 sounddevice soundfile soxr numpy"
    program = (
        "import sys, voiceassist.cli.main; "
        f"print(*[n for n in {names.split()!r} if n in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True
    )
    return done.stdout.split()


READY = """
from voiceassist.app import build
from voiceassist.session.engine import Engine
from voiceassist.session.expect import of_step
from voiceassist.session.session import Desk
shop = build.Components(build.settings({}))
procedure = build.procedure("heater-fan-module").procedure
engine = Engine(Desk(procedure, shop.book))
listener = shop.hearing()
listener.prepare(shop.language.compose(of_step(procedure.step("battery"))))
"""


def inside() -> dict[str, float]:
    """Figures taken in this process."""
    from voiceassist.app import build
    from voiceassist.devices.wav import read_clip
    from voiceassist.session.engine import Engine
    from voiceassist.session.events import Begin, Heard
    from voiceassist.session.expect import of_step
    from voiceassist.session.session import Session, SessionSetup
    from voiceassist.sound.resample import resampled

    shop = build.Components(build.settings({}))
    procedure = build.procedure("heater-fan-module").procedure
    engine = Engine(SessionSetup(procedure, shop.book))
    listener, voice, language = shop.hearing(), shop.voice(), shop.language
    steps = [of_step(step) for step in procedure.steps.values()]

    def change(i: int) -> float:
        return timed(lambda: listener.prepare(language.compose(steps[i % len(steps)])))

    changes = [change(i) for i in range(5 * len(steps))]
    clips = [resampled(read_clip(path)) for path in sorted(DEMO.glob("*.wav"))]
    grammar = language.compose(of_step(procedure.step("battery")))
    listener.prepare(grammar)
    hearing = [timed(partial(listener.hear, clip)) for clip in clips]
    audio_s = sum(clip.seconds for clip in clips)

    session = engine.handle(Session(), Begin()).session

    def answer() -> None:
        guess = listener.hear(clips[0]).guesses[0]
        turn = engine.handle(session, Heard(guess.words, guess.meanings))
        first = next(output.text for output in turn.outputs if output.text)
        assert voice is not None
        voice.synthesise(language.spoken(first))

    answers = [timed(answer) for _ in range(15)]
    return {
        "grammar change, worst": max(changes) * 1000,
        "grammar change, median": statistics.median(changes) * 1000,
        "hearing, share of real time": sum(hearing) / audio_s,
        "answer, worst": max(answers),
        "memory": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def timed(work: Callable[[], object]) -> float:
    """Seconds that ``work`` takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def main() -> None:
    """Measure and print."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {next(iter(os.sched_getaffinity(0)))})
    rows: list[tuple[str, float, float, str]] = [
        ("import of voiceassist.cli", seconds_of("import voiceassist.cli.main"), 0.25, "s"),
        ("ready to listen, from a cold start", seconds_of(READY), 1.0, "s"),
    ]
    found = inside()
    rows += [
        ("grammar change, worst", found["grammar change, worst"], 10, "ms"),
        ("grammar change, median", found["grammar change, median"], 10, "ms"),
        ("hearing, share of real time, one core", found["hearing, share of real time"], 0.06, "×"),
        (
            "end of speech to first sample, worst",
            found["answer, worst"],
            0.3,
            "s",
        ),
        ("resident memory of a session", found["memory"], 250, "MB"),
    ]
    print(f"{'figure':<42} {'found':>9}  goal")
    for name, value, goal, unit in rows:
        print(f"{name:<42} {value:>7.3f} {unit:<2} < {goal:g} {unit}")
    print("speech libraries loaded by the import:", speech_libraries_at_start() or "none")


if __name__ == "__main__":
    main()
