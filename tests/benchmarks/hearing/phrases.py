"""Phrases of known meaning, in the proportions of real use, from the grammars themselves.

A phrase depends on its part, its level and its number only, so a shorter set is the beginning
of a longer one.
"""

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from benchmarks.hearing.readings import reading
from benchmarks.hearing.steps import MEASURING, STEPS, english, grammar, is_heard

from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
)

LEVELS = ("quiet", "20", "10", "5")
#: Of a hundred phrases; an estimate of real use, no source. Notes are left out: no grammar
#: holds them.
SHARES: Mapping[str, int] = {
    "reading": 60,
    "command": 15,
    "answer": 10,
    "lamp": 8,
    "correction": 5,
    "job": 2,
}
_PHRASE_SEEDS = {"fit": 7_101, "kept": 24_611}
PARTS = tuple(_PHRASE_SEEDS)

_Made = tuple[str, str, Meaning]
_MEASURED_AT = ("voltage", "voltage", "voltage", "drop", "current", "resistance")
_CORRECTING = ("correction", "correction", "correction", "no", "i said")
#: So many readings are drawn from the grammar itself, however odd, and so many are over range.
_ANY_READING, _OVER_RANGE = 0.1, 0.03


@dataclass(frozen=True, slots=True)
class Phrase:
    """Something said at a step.

    Parts:
        id: unlike that of any other phrase.
        part: "fit" to choose by, or "kept" to judge by.
        level: how far the speech lies above the noise, in dB, or "quiet".
        number: from 0, within part and level.
        kind: one of ``SHARES``.
        step: one of ``steps.STEPS``.
        words, meaning: what was said; the words have no other meaning there.
    """

    id: str
    part: str
    level: str
    number: int
    kind: str
    step: str
    words: str
    meaning: Meaning


def phrases(part: str, level: str, count: int) -> Iterator[Phrase]:
    """The first ``count`` phrases of a part at a level."""
    return (phrase(part, level, number) for number in range(count))


def phrase_id(part: str, level: str, number: int) -> str:
    """The name of a phrase."""
    return f"{part}-{level}-{number:04d}"


def phrase(part: str, level: str, number: int) -> Phrase:
    """One phrase."""
    place = f"{_PHRASE_SEEDS[part]}/{level}"
    block, within = divmod(number, sum(SHARES.values()))
    kind = _kinds(f"{place}/block {block}")[within]
    rng = random.Random(f"{place}/{number}")
    while True:
        step, words, meaning = _MAKERS[kind](rng)
        if is_heard(words, step) and grammar(step).parse(words).meanings == (meaning,):
            return Phrase(
                phrase_id(part, level, number), part, level, number, kind, step, words, meaning
            )


@cache
def _kinds(seed: str) -> tuple[str, ...]:
    """A hundred kinds in their shares, in an order of their own."""
    kinds = [kind for kind, share in SHARES.items() for _ in range(share)]
    random.Random(seed).shuffle(kinds)
    return tuple(kinds)


def _reading(rng: random.Random) -> _Made:
    step = rng.choice(_MEASURED_AT)
    odd = rng.random()
    if odd < _OVER_RANGE:
        return _sampled(step, rng, lambda meaning: isinstance(meaning, OverRange))
    if odd < _OVER_RANGE + _ANY_READING:
        return _sampled(step, rng, lambda meaning: isinstance(meaning, Reading))
    words, meaning = reading(step, rng)
    return step, words, meaning


def _command(rng: random.Random) -> _Made:
    """Half in the words that the assistant tells people to say, half in any."""
    step = rng.choice(tuple(STEPS))
    if rng.random() < 0.5:
        meaning = Command(rng.choice(sorted(COMMANDS - {"note"})))
        return step, english().say(meaning), meaning

    def fits(meaning: Meaning) -> bool:
        return isinstance(meaning, Command) and meaning.name != "note"

    return _sampled(step, rng, fits)


def _answer(rng: random.Random) -> _Made:
    """Four in ten a question's own, three for a caution, three anywhere."""
    sort = rng.choices(("question", "caution", "any"), (4, 3, 3))[0]
    if sort == "question":
        own = {choice.name for choice in STEPS["question"].choices}
        return _sampled(
            "question", rng, lambda meaning: isinstance(meaning, Answer) and meaning.name in own
        )
    step = "caution" if sort == "caution" else rng.choice(MEASURING)
    return _sampled(step, rng, lambda meaning: isinstance(meaning, Answer))


def _lamp(rng: random.Random) -> _Made:
    return _sampled("lamp", rng, lambda meaning: isinstance(meaning, Lamp))


def _correction(rng: random.Random) -> _Made:
    if rng.random() < 0.15:
        return _sampled("lamp", rng, lambda meaning: isinstance(meaning, Correction))
    if rng.random() < 0.15:
        step = rng.choice(MEASURING)
        return _sampled(step, rng, lambda meaning: isinstance(meaning, Correction))
    step, words, meaning = _reading(rng)
    assert not isinstance(meaning, Correction)
    return step, f"{rng.choice(_CORRECTING)} {words}", Correction(meaning)


def _job(rng: random.Random) -> _Made:
    """Four to six digits, half of them after a letter."""
    letter = rng.choice(("", "A", "B", "F", "M", "R", "S"))
    digits = "".join(rng.choice("0123456789") for _ in range(rng.randint(4, 6)))
    meaning = Identifier("repair-order", letter * rng.randint(0, 1) + digits)
    words = english().say(meaning)
    return "job", words.replace("zero", "oh") if rng.random() < 0.3 else words, meaning


def _sampled(step: str, rng: random.Random, fits: Callable[[Meaning], bool]) -> _Made:
    """A phrase drawn from the step's heard grammar."""
    while True:
        words, meaning = grammar(step).sample(rng, heard=True)
        if fits(meaning):
            return step, words, meaning


_MAKERS: Mapping[str, Callable[[random.Random], _Made]] = {
    "reading": _reading,
    "command": _command,
    "answer": _answer,
    "lamp": _lamp,
    "correction": _correction,
    "job": _job,
}
