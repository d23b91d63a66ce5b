"""From a line of what was heard to what the doubt policy takes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from benchmarks.hearing.records import Record, read_records
from benchmarks.hearing.steps import STEPS

from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.doubt.same import settled
from voiceassist.doubt.shortlist import shortlist
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
        weigh_s: time that it took for each phrase of its second look; 0 when it took none.
        sound, expectation: of the clip and of its step.
        truth: what was said; None for sounds that should not be understood.
        detected: whether the speech detector, which stands before the listeners, lets it through.
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
    weigh_s: dict[str, float]
    sound: Sound
    expectation: Expectation
    truth: Meaning | None
    detected: bool = True

    def heard_by(self, listeners: Sequence[str]) -> tuple[Evidence, ...]:
        """The evidence of some listeners, in their order; they look again at their own guesses."""
        evidence = [self.evidence[name] for name in listeners]
        phrases = self._looked_at(listeners)
        return tuple(
            replace(each, weighed=tuple(g for g in each.weighed if g.words in phrases))
            for each in evidence
        )

    def seconds(self, listeners: Sequence[str]) -> float:
        """Time that some listeners take one after the other, second look and all."""
        again = sum(self.weigh_s[name] for name in listeners) * len(self._looked_at(listeners))
        return sum(self.hearing_s[name] for name in listeners) + again

    def _looked_at(self, listeners: Sequence[str]) -> tuple[str, ...]:
        """What a second look is taken at."""
        evidence = [self.evidence[name] for name in listeners]
        return shortlist(evidence, self.sound, self.expectation)

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
        evidence=_all_evidence(heard),
        hearing_s={name: each["seconds"] for name, each in heard.items()},
        weigh_s={name: each.get("weigh_s", 0.0) for name, each in heard.items()},
        sound=_sound(record),
        expectation=STEPS[record["step"]],
        truth=None if said is None else from_json(said),
        detected=record["detected"],
        **{key: record[key] for key in ("id", "part", "source", "level", "noise", "voice")},
        **{key: record[key] for key in ("kind", "step", "words")},
    )


def to_weigh(record: Record) -> tuple[str, ...]:
    """The phrases that some set of its listeners, two or more, has to choose among."""
    heard = {name: each for name, each in record["listeners"].items() if name in LISTENERS}
    evidence = _all_evidence(heard)
    sets = [name.split("+") for name in SETS if "+" in name and set(name.split("+")) <= set(heard)]
    sound, step = _sound(record), STEPS[record["step"]]
    lists = (shortlist([evidence[name] for name in each], sound, step) for each in sets)
    return tuple(dict.fromkeys(phrase for each in lists for phrase in each))


def _sound(record: Record) -> Sound:
    return Sound(record["snr_db"], record["seconds"])


def _all_evidence(heard: Record) -> dict[str, Evidence]:
    """Word strings that mean nothing at the step are left out."""
    guesses = {name: _guesses(each) for name, each in heard.items()}
    meanings = {guess.words: guess.meanings for each in guesses.values() for guess in each}
    return {
        name: Evidence(
            name,
            guesses[name],
            each["none_of_these"],
            tuple(Guess(w, meanings[w], score) for w, score in each.get("weighed", {}).items()),
        )
        for name, each in heard.items()
    }


def _guesses(heard: Record) -> tuple[Guess, ...]:
    return tuple(
        Guess(each["words"], tuple(from_json(said) for said in each["meanings"]), each["score"])
        for each in heard["candidates"]
        if each["meanings"] and each["score"] is not None
    )
