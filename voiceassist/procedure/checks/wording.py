"""Do the words of a step go with its unit, and does it caution where they tell of a hazard?"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.text.tree import Path

#: Words that name a quantity of units.py beyond doubt.
_QUANTITY = re.compile(r"\b(voltage|current|resistance|frequency|temperature)s?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Hazard:
    """What words tell of, the built-in caution for it, and whether every step must have one."""

    words: re.Pattern[str]
    cautions: str
    every_step: bool = False


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)


#: Common practice, no source.
_HAZARDS = (
    _Hazard(
        _words(r"air ?bags?|restraints?|(?:pre|belt )?tensioners?|seat ?belts?"),
        "restraint-wiring",
        every_step=True,
    ),
    _Hazard(_words(r"orange (?:cable|wire)s?|high[- ]voltage"), "high-voltage", every_step=True),
    _Hazard(_words(r"battery(?: \w+)? posts?"), "battery-gas, battery-short"),
    _Hazard(
        _words(r"(?:radiator|cooling) fans?|(?:fan|drive|ribbed|V-?)[- ]?belts?"), "fan-and-belts"
    ),
)


def check_wording(steps: Mapping[str, Step], own: Mapping[str, Path], scope: Scope) -> None:
    """Blame words that contradict the unit, and warn of hazards nothing is said about.

    Args:
        steps: all steps, in the order of the file, with their units.
        own: where those of this file stand.
        scope: takes the blame.
    """
    for name, path in own.items():
        _check_quantity(path, steps[name], scope)
    for hazard in _HAZARDS:
        for name in _uncautioned(hazard, steps, scope):
            if name in own:
                found = hazard.words.search(steps[name].text)
                assert found is not None
                message = f"{found[0]!r} calls for a caution, such as {hazard.cautions}"
                scope.blame.warning(own[name], message)


def _check_quantity(path: Path, step: Step, scope: Scope) -> None:
    if step.kind not in {Kind.MEASURE, Kind.SWEEP} or step.unit is None:
        return
    named = [word.lower() for word in _QUANTITY.findall(step.text)]
    if named and step.unit.quantity not in named:
        message = f"this tells of a {named[0]}, and the limit or unit is for a {step.unit.quantity}"
        scope.blame.error((*path, step.kind.value), f"{message}; mend one of them")


def _uncautioned(hazard: _Hazard, steps: Mapping[str, Step], scope: Scope) -> Iterator[str]:
    """Steps that tell of ``hazard`` and neither they nor, mostly, one before them cautions."""
    cautioned = False
    for name, step in steps.items():
        if not hazard.words.search(step.text) or step.kind is Kind.COMPUTE:
            continue
        if _own_cautions(step, scope):
            cautioned = True
        elif hazard.every_step or not cautioned:
            yield name


def _own_cautions(step: Step, scope: Scope) -> bool:
    """True when the author gave it a caution; those that add themselves do not count."""
    body = scope.shape.steps.get(step.name) or scope.shape.repairs.get(step.name)
    return bool(body.caution if body else step.cautions)
