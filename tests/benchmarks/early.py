"""Is half a phrase ever taken for a whole one? ``python tests/benchmarks/early.py``.

A phrase is looked at after 0.27 s of quiet, and taken at once when it is sure what was said and
nothing that can follow would change it. Here phrases break off where a speaker looks at his
meter, in three flite voices and quiet: none may be taken. Needs the package flite; a minute or
two. ``--listener NAME`` tries others than the default ones.
"""

import argparse
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from benchmarks.endpointing import PHRASES, VOICES
from benchmarks.hearing.voices import Studio

from voiceassist.app import build
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.is_complete import is_settled
from voiceassist.app.settings.settings import Settings
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import base_unit
from voiceassist.recognise.detecting import speech_detector
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of
from voiceassist.sound.segment import UNHURRIED, segments

#: Where they break off, and what would have followed; more than the other benchmark has.
MORE = (
    ("twelve", "point five volts"), ("twelve point five", "five volts"),
    ("eleven point", "eight volts"), ("one hundred", "twenty millivolts"),
    ("zero point zero", "five volts"), ("minus", "zero point two volts"),
    ("four point seven", "kilohms"), ("no", "nine point eight volts"),
    ("affirm", "reading"), ("repair order", "one zero four two"),
)  # fmt: skip
QUANTITIES = {"ohms": "resistance", "kilohms": "resistance", "amps": "current"}


def broken_off() -> Iterator[tuple[str, str]]:
    """What is said, and what would follow after a pause."""
    for phrase in (*PHRASES["fit"], *PHRASES["kept"]):
        if len(phrase) > 1:
            yield str(phrase[0]), str(phrase[-1])
    yield from MORE


def heard(words: str, voice: str, studio: Studio) -> Clip | None:
    """The beginning of a phrase as the ears cut it; None when they find several."""
    speech = studio.spoken(words, voice, "normal")
    sound = np.concatenate([np.zeros(8_000), speech / np.abs(speech).max() * 8_000,
                            np.zeros(12_000)])  # fmt: skip
    sound += np.random.RandomState(1).normal(size=sound.size) * 8
    found = list(segments([clip_of(sound, 16_000)], speech_detector(print), UNHURRIED))
    return found[0].clip if len(found) == 1 else None


def taken(hearing: Hearing, listener: str, studio: Studio) -> None:
    """Print how many beginnings are taken for the whole, and which."""
    shop = build.Components(Settings(listener=listener))
    tried, wrong = 0, []
    for words, more in broken_off():
        quantity = QUANTITIES.get(more.split()[-1], "voltage")
        expected = Expectation(quantities=(quantity,), unit=base_unit(quantity))
        grammar = shop.language.compose(expected)
        hearing.prepare(grammar)
        for voice in VOICES:
            clip = heard(words, voice, studio)
            if clip is not None:
                tried += 1
                if is_settled(hearing.hear(clip), grammar):
                    wrong.append(f"{words} ... {more} ({voice})")
    print(f"{listener}: of {tried} beginnings {len(wrong)} taken for the whole (goal: 0)")
    for each in wrong:
        print(f"  {each}")


def main() -> None:
    """Print the figure."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--listener", default=Settings().listener)
    arguments.add_argument("--voices", type=Path, default=Path(tempfile.gettempdir()) / "voices")
    given = arguments.parse_args()
    with closing(build.Components(Settings(listener=given.listener)).hearing()) as hearing:
        taken(hearing, given.listener, Studio(given.voices))


if __name__ == "__main__":
    main()
