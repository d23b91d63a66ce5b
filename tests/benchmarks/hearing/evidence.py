"""From a line of what was heard to what the doubt policy takes."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from benchmarks.hearing.records import Record, read_records
from benchmarks.hearing.steps import STEPS

from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.doubt.same import settled
from voiceassist.language.codec import from_json
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Meaning

LISTENERS = ("moonshine", "sphinx", "whisper")
#: Every set of listeners that the assistant offers, named as the calibration names it.
SETS = (
    *LISTENERS,
    "moonshine+sphinx",
    "moonshine+whisper",
    "moonshine+sphinx+whisper",
)


@dataclass(frozen=True, slots=True)
class Sample:
    """One sound with what everybody made of it.

    Parts:
        id, part, source, level, noise, voice, kind, step, words: as in the line.
        evidence: by listener.
        hearing_s: time that each listener took, in seconds.
        sound, expectation: of the clip and of its step.
        truth: what was said; None for sounds that should not be understood.
    """

    id: str
    part: str
    source: str
    level: str
    noise: str
    voice: str
    kind: str
    step: str
    words: str
    evidence: dict[str, Evidence]
    hearing_s: dict[str, float]
    sound: Sound
    expectation: Expectation
    truth: Meaning | None

    def heard_by(self, listeners: Iterable[str]) -> tuple[Evidence, ...]:
        """The evidence of some listeners, in their order."""
        return tuple(self.evidence[name] for name in listeners)

    def holds(self, key: Key) -> bool:
        """Whether what was said is one of the meanings of ``key``."""
        if self.truth is None:
            return False
        said = settled((self.truth,), self.expectation)[0]
        return said in settled(key, self.expectation)


def samples(path: Path, part: str) -> list[Sample]:
    """The sounds of a part that every listener of ``LISTENERS`` has heard."""
    return [
        _sample(record)
        for record in read_records(path).values()
        if record["part"] == part and set(LISTENERS) <= set(record["listeners"])
    ]


def _sample(record: Record) -> Sample:
    heard: Record = {name: record["listeners"][name] for name in LISTENERS}
    said = record["meaning"]
    return Sample(
        evidence={name: _evidence(name, each) for name, each in heard.items()},
        hearing_s={name: each["seconds"] for name, each in heard.items()},
        sound=Sound(record["snr_db"], record["seconds"]),
        expectation=STEPS[record["step"]],
        truth=None if said is None else from_json(said),
        **{key: record[key] for key in ("id", "part", "source", "level", "noise", "voice")},
        **{key: record[key] for key in ("kind", "step", "words")},
    )


def _evidence(listener: str, heard: Record) -> Evidence:
    """Word strings that mean nothing at the step are left out."""
    guesses = tuple(
        Guess(each["words"], tuple(from_json(said) for said in each["meanings"]), each["score"])
        for each in heard["candidates"]
        if each["meanings"] and each["score"] is not None
    )
    return Evidence(listener, guesses, heard["none_of_these"])
