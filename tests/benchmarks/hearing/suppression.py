"""Does noise suppression help the listeners? A trial of spectral subtraction.

    python tests/benchmarks/hearing/suppression.py --listener moonshine --limit 60

The noise spectrum is taken from the first 0.25 s of a segment and subtracted from every frame's
power, with a floor (Berouti, Schwartz and Makhoul 1979, from memory; over-subtraction 1 and 2).
Phrases of part ``fit`` only. Prints how many of the first candidates are right without it and
with it, at each level.
"""

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from benchmarks.hearing.hearers import hearer
from benchmarks.hearing.phrases import phrases
from benchmarks.hearing.sounds import phrase_clip
from benchmarks.hearing.steps import grammar
from benchmarks.hearing.voices import Studio

from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import samples_of

Floats = NDArray[np.float64]
FRAME, HOP = 512, 128
LEAD_S = 0.25


def subtracted(clip: Clip, over: float, floor: float = 0.05) -> Clip:
    """``clip`` with ``over`` times its leading noise taken from its power."""
    samples = samples_of(clip).astype(np.float64)
    window = np.hanning(FRAME)
    padded = np.concatenate([samples, np.zeros(FRAME)])
    starts = range(0, len(padded) - FRAME, HOP)
    spectra = np.array([np.fft.rfft(window * padded[s : s + FRAME]) for s in starts])
    power = np.abs(spectra) ** 2
    lead = max(1, int((LEAD_S * clip.rate_hz - FRAME) / HOP))
    noise = power[:lead].mean(axis=0)
    gain = np.sqrt(np.maximum(1 - over * noise / np.maximum(power, 1e-9), floor))
    out, weight = np.zeros(len(padded)), np.zeros(len(padded))
    for start, spectrum, each in zip(starts, spectra, gain, strict=True):
        out[start : start + FRAME] += window * np.fft.irfft(spectrum * each, FRAME)
        weight[start : start + FRAME] += window**2
    clean = (out / np.maximum(weight, 1e-3))[: len(samples)]
    return Clip(np.clip(np.rint(clean), -32768, 32767).astype("<i2").tobytes(), clip.rate_hz)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--listener", default="moonshine")
    parser.add_argument("--limit", type=int, default=60)
    asked = parser.parse_args()
    ears = hearer(asked.listener)
    studio = Studio(Path(tempfile.gettempdir()) / "voiceassist-hearing")
    print("| level | as it is | subtracted once | twice |\n| --- | --- | --- | --- |")
    for level in ("20", "10", "5"):
        right = [0, 0, 0]
        for phrase in phrases("fit", level, asked.limit):
            _, clip = phrase_clip(phrase, studio)
            step = grammar(phrase.step)
            for i, each in enumerate([clip, subtracted(clip, 1.0), subtracted(clip, 2.0)]):
                heard = ears.hear(each, step)
                best = heard.guesses[0].meanings if heard.guesses else ()
                right[i] += phrase.meaning in best
        print(f"| {level} dB | {' | '.join(f'{n} of {asked.limit}' for n in right)} |", flush=True)


if __name__ == "__main__":
    main()
