"""How well the listener moonshine hears: ``python tests/benchmarks/moonshine.py [OPTIONS]``.

Speech comes from Debian's flite at run time; other talk from its packages pocketsphinx-testdata and
asterisk-core-sounds-en-g722 (read with ffmpeg). Half of the phrases are plain readings of 0 to
20 volts as the assistant would say them, the rest drawn from the heard grammars. Noise is pink or a
synthetic workshop, laid over the clip and 0.25 s on each side.

Width, margin, share of prior, padding and the limit of none_of_these were chosen with the voices
slt, awb and kal16 and the seeds 1, 3 and 11; the voice rms and all other seeds were kept out.
"""

import argparse
import random
import resource
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language, StepGrammar
from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Heard
from voiceassist.recognise.moonshine.listener import MoonshineListener
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of

Floats = NDArray[np.float64]

LEVELS_DB = (None, 20, 10, 5)
OTHER_DB = (None, 10)
EDGE = LISTEN_RATE_HZ // 4
VOLT = unit("V")
#: Spelled for flite, which would say "millivolts" as "mill ivolts".
SAY = {"milli": "milly "}
PROMPTS = Path("/usr/share/asterisk/sounds/en")
RECORDED = Path("/usr/share/pocketsphinx/test/data/librivox")
STEPS = {
    "voltage": Expectation(
        ("voltage",), VOLT, Quantity(Decimal(0), VOLT), Quantity(Decimal(20), VOLT)
    ),
    "lamp": Expectation(lamp=True),
    "question": Expectation(
        choices=(
            Choice("free", ("turns freely", "it turns freely")),
            Choice("drags", ("it drags", "stiff", "hard to turn")),
            Choice("noisy", ("bearing noise", "noisy")),
        )
    ),
}


@dataclass(frozen=True, slots=True)
class Trial:
    """One clip and what was made of it; ``words`` is empty for other talk."""

    kind: str
    words: str
    level_db: int | None
    heard: Heard
    right: bool
    listed: bool

    @property
    def above(self) -> float:
        """How far the best candidate lies above ``none_of_these``."""
        if not self.heard.candidates or self.heard.none_of_these is None:
            return -99.0
        return self.heard.candidates[0].score - self.heard.none_of_these


def spoken(words: str, voice: str, folder: Path) -> Floats:
    """The words in a flite voice, cut close, at -20 dBFS; -1 to 1."""
    path = folder / "spoken.wav"
    text = words.replace("milli", SAY["milli"])
    subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(path)], check=True)
    return leveled(samples_of(resampled(read_clip(path))) / 32_768)


def leveled(samples: Floats) -> Floats:
    """Cut to where it comes within 40 dB of its loudest 10 ms, at -20 dBFS."""
    step = LISTEN_RATE_HZ // 100
    power = (samples[: samples.size // step * step].reshape(-1, step) ** 2).mean(axis=1)
    loud = np.flatnonzero(power > power.max() * 1e-4)
    cut = samples[loud[0] * step : (loud[-1] + 1) * step]
    return cut * (0.1 / float(np.sqrt(np.mean(cut**2))))


def pink(size: int, rng: np.random.Generator) -> Floats:
    """Noise whose power falls by 3 dB an octave, from 20 Hz up."""
    spectrum = np.fft.rfft(rng.standard_normal(size))
    spectrum /= np.sqrt(np.maximum(np.fft.rfftfreq(size, 1 / LISTEN_RATE_HZ), 20))
    noise: Floats = np.fft.irfft(spectrum, size)
    return noise


def workshop(size: int, rng: np.random.Generator) -> Floats:
    """Mains hum, compressed air, blows on metal."""
    at = np.arange(size) / LISTEN_RATE_HZ
    hum = sum(np.sin(2 * np.pi * (50 * n * at + rng.random())) / n for n in range(1, 9))
    air = np.diff(rng.standard_normal(size + 1))
    blows = np.zeros(size)
    for start in rng.integers(0, size, max(1, size // 12_000)):
        ring = np.arange(min(size - start, 4000))
        tone = np.sin(2 * np.pi * rng.uniform(600, 3000) * ring / LISTEN_RATE_HZ)
        blows[start : start + ring.size] += np.exp(-ring / 600) * tone
    base = pink(size, rng)
    sound: Floats = base / base.std() / 2 + 0.4 * hum / np.std(hum) + 0.3 * air / air.std() + blows
    return sound


def clip(speech: Floats, level_db: int | None, rng: np.random.Generator) -> Clip:
    """The speech in noise so many dB below it; in a faint hiss when None."""
    size = speech.size + 2 * EDGE
    kind = (pink, workshop)[int(rng.integers(2))]
    if level_db is None:
        sound = rng.standard_normal(size) * 3e-5
    else:
        noise = kind(size, rng)
        sound = noise * (0.1 * 10 ** (-level_db / 20) / np.sqrt(np.mean(noise**2)))
    sound[EDGE : EDGE + speech.size] += speech
    return clip_of(sound * 32_768, LISTEN_RATE_HZ)


def phrases(english: Language, count: int, rng: random.Random) -> Iterator[tuple[str, str]]:
    """So many phrases, each with the step it is spoken at."""
    for number in range(count):
        if number % 2 == 0:
            places = rng.choice((1, 1, 2))
            value = Decimal(rng.randint(0, 20 * 10**places)).scaleb(-places)
            yield "voltage", english.say(Reading(value, VOLT))
        else:
            kind = ("voltage", "lamp", "question")[number // 2 % 3]
            yield kind, english.compose(STEPS[kind]).sample(rng, heard=True)[0]


def other_talk(count: int, rng: random.Random, folder: Path) -> Iterator[Floats]:
    """Recorded people who say no phrase of the grammars."""
    prompts = sorted(PROMPTS.glob("*.g722"))
    kept = [p for p in prompts if not {"beep", "tone", "yes", "no"} & set(p.stem.split("-"))]
    for path in rng.sample(kept, count):
        made = folder / "other.wav"
        command = ["ffmpeg", "-loglevel", "error", "-y", "-f", "g722", "-i", str(path)]
        subprocess.run([*command, "-ar", "16000", "-ac", "1", str(made)], check=True)
        samples = samples_of(read_clip(made)) / 32_768
        if 0.5 < samples.size / LISTEN_RATE_HZ < 6 and samples.std() > 1e-3:
            yield leveled(samples)
    for path in sorted(RECORDED.glob("*.wav")):
        yield leveled(samples_of(read_clip(path)) / 32_768)


def trial(
    listener: MoonshineListener,
    grammar: StepGrammar,
    kind: str,
    words: str,
    db: int | None,
    c: Clip,
) -> Trial:
    """Hear one clip."""
    listener.prepare(grammar)
    heard = listener.hear(c)
    said = grammar.parse(words).meanings[:1] if words else None
    meanings = [grammar.parse(each.words).meanings[:1] for each in heard.candidates]
    right = bool(words) and meanings[:1] == [said]
    return Trial(kind, words, db, heard, right, bool(words) and said in meanings)


def percent(flags: list[bool]) -> str:
    """The share that is true."""
    return f"{100 * sum(flags) / len(flags):5.1f} %" if flags else "    -"


def roc_area(inside: list[float], outside: list[float]) -> float:
    """Chance that something inside lies above something outside."""
    one, other = np.array(inside)[:, None], np.array(outside)[None]
    return float(np.mean((one > other) + 0.5 * (one == other)))


def report(inside: list[Trial], outside: list[Trial], slow: list[float]) -> None:
    """Print the tables."""
    print("noise     right first  in the list  kept, if right  gap to next, right  wrong, accepted")
    for db in LEVELS_DB:
        at = [t for t in inside if t.level_db == db]
        right = [t for t in at if t.right]
        gaps = [t.heard.candidates[0].score - t.heard.candidates[1].score
                for t in right if len(t.heard.candidates) > 1]  # fmt: skip
        print(
            f"{'quiet' if db is None else f'{db} dB':8}  {percent([t.right for t in at]):>11}"
            f"  {percent([t.listed for t in at]):>11}  {percent([t.above > 0 for t in right]):>14}"
            f"  {np.median(gaps):18.1f}  {percent([not t.right and t.above > 0 for t in at]):>15}"
        )
    for kind in STEPS:
        print(f"{kind:9} {percent([t.right for t in inside if t.kind == kind])}")
    for db in OTHER_DB:
        out = [t.above for t in outside if t.level_db == db]
        kept = [t.above for t in inside if t.level_db == db and t.right]
        print(
            f"other talk {db or 'quiet'}: {percent([a <= 0 for a in out])} of {len(out)} refused, "
            f"area under ROC {roc_area(kept, out):.4f}"
        )
        cuts = [f"{percent([a > cut for a in kept])}/{percent([a > cut for a in out])}"
                for cut in (-10, -5, 0, 5, 10)]  # fmt: skip
        print("  kept right / kept other at -10 -5 0 5 10 nats:", *cuts)
    many = [len(t.heard.candidates) for t in inside]
    print(f"candidates: median {np.median(many):.0f}, least {min(many)}")
    print(
        f"seconds a phrase: median {np.median(slow):.3f}, least {min(slow):.3f}; "
        f"resident {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB at most"
    )


def main() -> None:
    """Read the options, hear everything, print."""
    options = argparse.ArgumentParser(description="Measure the listener moonshine.")
    options.add_argument("--voices", nargs="+", default=["rms"])
    options.add_argument("--seed", type=int, default=2024)
    options.add_argument("--phrases", type=int, default=80)
    options.add_argument("--others", type=int, default=40)
    options.add_argument("--threads", type=int, default=2)
    given = options.parse_args()
    english = Language.load(grammar_files("en"))
    grammars = {kind: english.compose(each) for kind, each in STEPS.items()}
    began = time.perf_counter()
    listener = MoonshineListener(threads=given.threads)
    print(f"load {time.perf_counter() - began:.2f} s; voices {given.voices}, seed {given.seed}")
    rng, noise = random.Random(given.seed), np.random.default_rng(given.seed)
    inside: list[Trial] = []
    outside: list[Trial] = []
    with tempfile.TemporaryDirectory() as name:
        for number, (kind, words) in enumerate(phrases(english, given.phrases, rng)):
            speech = spoken(words, given.voices[number % len(given.voices)], Path(name))
            for db in LEVELS_DB:
                made = clip(speech, db, noise)
                inside.append(trial(listener, grammars[kind], kind, words, db, made))
        for number, speech in enumerate(other_talk(given.others, rng, Path(name))):
            for db in OTHER_DB:
                kind = ("voltage", "question")[number % 2]
                outside.append(
                    trial(listener, grammars[kind], kind, "", db, clip(speech, db, noise))
                )
    report(inside, outside, [t.heard.seconds for t in inside])


if __name__ == "__main__":
    main()
