"""Is what is held only for a moment held no longer than it may be?

It is spoken last, when the probes are in place, so nothing is said while it is held: what counts
is how long one reads.
"""

import re
from collections.abc import Iterator

from voiceassist.procedure.model import Kind, Need, Procedure, Step
from voiceassist.prove.hazard import Danger, Hazard

#: What is said of a state that can be held for a moment only.
_HELD = re.compile(r"\bhold\b|(?<!the )\bcrank\b|\bseconds? at most\b")
_CRANKS = re.compile(r"(?<!the )\bcrank\w*|\bstart\b")
_AT_MOST = re.compile(r"(\w+) seconds at most")
_DELAY = re.compile(r"after (\w+) (seconds|minutes?)")
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
#: To read an instrument and say so takes so long. Common practice, no source.
_READING_S = 3
#: A starter burns when it is held for longer. In s; common practice, no source.
_CRANKED_S = 15
#: So many readings are taken, at least: of a sweep, a count, and of one that may wander.
_READINGS = {Kind.SWEEP: 3, Kind.COUNT: 3}
_WANDERING = 2


def held_too_long(procedure: Procedure) -> Iterator[Hazard]:
    """Steps at which a state is held for longer than it may be, or is not told to be momentary."""
    for step in procedure.steps.values():
        for need in step.needs:
            if need.momentary or _HELD.search(need.instruction):
                yield from _of_need(step, need)


def _of_need(step: Step, need: Need) -> Iterator[Hazard]:
    what = f"{need.condition} {need.state}"
    if need.hold is None:
        finding = f"{what!r} is held for a moment only, and stays asked for while others are read"
        yield Hazard(
            Danger.HELD, step.name, f"{finding}; tell how long it may be, such as 'hold: 5 s'"
        )
        return
    if need.hold.most_s > _CRANKED_S and _CRANKS.search(f"{need.state} {need.instruction}"):
        finding = f"{what!r} may be held for {need.hold.most_s} s, and a starter burns"
        yield Hazard(Danger.HELD, step.name, f"{finding}; hold it for {_CRANKED_S} s at most")
    most, takes = need.hold.most_s or _told_in(need.instruction), _seconds(step)
    if most and takes > most:
        finding = f"{what!r} may be held for {most} s, and this takes about {takes} s"
        yield Hazard(Danger.HELD, step.name, f"{finding}; read less at a time")


def _told_in(instruction: str) -> int:
    most = _AT_MOST.search(instruction)
    return _number(most[1]) if most else 0


def _seconds(step: Step) -> int:
    """How long a step takes once all is in place."""
    if step.kind is Kind.WAIT:
        return step.wait_s
    delay = _DELAY.search(f"{step.text}. {step.how}")
    before = _number(delay[1]) * (1 if delay[2].startswith("second") else 60) if delay else 0
    readings = _WANDERING if step.steady is not None else _READINGS.get(step.kind, 1)
    return before + _READING_S * readings


def _number(word: str) -> int:
    if word.isdigit():
        return int(word)
    return _NUMBERS.index(word) + 1 if word in _NUMBERS else 0
