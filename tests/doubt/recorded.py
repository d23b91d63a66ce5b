"""What the listeners made of four sounds of the benchmark's part "fit", scores rounded.

The five best word strings of each that mean something at the step.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from benchmarks.hearing.steps import grammar

from voiceassist.doubt.evidence import Evidence, Guess, Sound

#: Word strings with their scores, and the score of "none of these".
Heard = tuple[Mapping[str, float], float]


@dataclass(frozen=True, slots=True)
class Recorded:
    """One sound: the step it was heard at, the words said, and what was heard, by listener."""

    step: str
    said: str
    sound: Sound
    heard: Mapping[str, Heard]

    def evidence(self, name: str) -> Evidence:
        """Of one listener, understood by the step's own parser."""
        scores, none_of_these = self.heard[name]
        parse = grammar(self.step).parse
        guesses = tuple(Guess(words, parse(words).meanings, scores[words]) for words in scores)
        return Evidence(name, guesses, none_of_these)


# flite rms, room
THIRTEEN_POINT_NINE = Recorded(
    "voltage",
    "thirteen point nine volts",
    Sound(44.88, 2.67),
    {
        "moonshine": (
            {
                "thirteen point nine volts": 18.3,
                "thirty point nine volts": 13.8,
                "fifteen point nine volts": 12.7,
                "three point nine volts": 12.2,
                "fourteen point nine volts": 12.0,
            },
            3.6,
        ),
        "sphinx": (
            {
                "thirteen point nine volts": -649.5,
                "thirteen point niner volts": -692.4,
                "thirteen point nine millivolts": -704.9,
                "thirteen point two nine volts": -706.1,
                "thirteen point eight nine volts": -736.2,
            },
            -751.8,
        ),
        "whisper": (
            {
                "thirteen point nine volts": 20.6,
                "thirteen point nine volt": 13.1,
                "thirteen point nine": 5.6,
                "sixteen point nine": 1.3,
                "thirteen": -5.9,
            },
            1.9,
        ),
    },
)
# flite slt, room
FIFTY_MILLIAMPS = Recorded(
    "current",
    "fifty milliamps",
    Sound(44.67, 1.64),
    {
        "moonshine": (
            {
                "fifty milliamps": 17.0,
                "fifteen milliamps": 15.4,
                "fifty milliamp": 4.5,
                "fifteen": -1.4,
                "fifty": -1.5,
            },
            2.7,
        ),
        "sphinx": ({"fifteen milliamps": -362.9, "fifty milliamps": -381.3}, -559.2),
        "whisper": (
            {
                "fifty milliamps": 17.5,
                "fifty milliamp": 12.2,
                "fifteen milliamps": 11.3,
                "fifty": -1.2,
                "fifteen": -1.8,
            },
            2.8,
        ),
    },
)
# flite slt, babble
TWELVE_POINT_FOUR_IN_BABBLE = Recorded(
    "voltage",
    "twelve point four volts",
    Sound(10.18, 2.37),
    {
        "moonshine": (
            {
                "one point five five four volts": -0.8,
                "one point four volts": -0.9,
                "one point four volt": -1.8,
                "one point five four volt": -2.3,
                "one point five four volts": -2.5,
            },
            0.2,
        ),
        "sphinx": (
            {
                "eleven point oh eight": -1318.4,
                "eleven point oh oh eight": -1406.5,
                "eleven point oh two eight": -1423.7,
                "eleven point oh eight eight": -1429.1,
                "eleven point oh zero eight": -1501.3,
            },
            -862.9,
        ),
        "whisper": (
            {
                "five four volts": 3.0,
                "five four volt": 0.9,
                "five four": -0.4,
                "twelve": -0.6,
                "help": -2.0,
            },
            -1.2,
        ),
    },
)
# flite rms, room
SCREWDRIVER = Recorded(
    "caution",
    "can you pass me the long screwdriver please",
    Sound(44.78, 3.38),
    {
        "moonshine": ({"how": -15.6, "help": -18.2, "stand by": -22.3, "scratch that": -25.1}, 4.7),
        "sphinx": ({"change a reading": -1111.9, "confirm reading": -1111.9}, -834.8),
        "whisper": ({"how": -9.4, "how far": -11.3, "quieter": -19.7}, 14.7),
    },
)
