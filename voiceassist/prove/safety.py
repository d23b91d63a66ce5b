"""Dangers of a procedure: those seen on the way, those at its end, and those in its words."""

import re
from collections.abc import Iterable, Iterator, Mapping

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Switch, is_closed
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.fuse_words import told_ratings
from voiceassist.prove.hazard import Danger, Hazard
from voiceassist.prove.holding import held_too_long
from voiceassist.prove.walk import Afterwards, Walk
from voiceassist.prove.watch_repair import CLAMP_OFF

#: States that go by themselves, and that nobody can put back.
_OF_ITSELF = re.compile(r"\b(hot|warm|cold|cool)\b")
#: Parts on a cable that no fuse guards, and work on them.
_ON_CABLE = re.compile(r"\b(alternator|starter)\b")
_TAKES_OFF = re.compile(r"(fit|unscrew|change)\b|.*\btake the old\b")


def hazards_of(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> tuple[Hazard, ...]:
    """Every danger once: as seen in ``walks``, then as written."""
    found: dict[Hazard, None] = {}
    for _, walk in walks:
        if walk.after is not None:
            found |= dict.fromkeys(walk.after.hazards)
            found |= dict.fromkeys(_left(procedure, walk.after))
    found |= dict.fromkeys(held_too_long(procedure))
    found |= dict.fromkeys(_rests(procedure))
    found |= dict.fromkeys(told_ratings(procedure))
    found |= dict.fromkeys(_on_cable(procedure))
    return tuple(found)


# --- at the end ---


def _left(procedure: Procedure, after: Afterwards) -> Iterator[Hazard]:
    """States that the vehicle is left in and was not found in."""
    if after.trouble or procedure.circuit is None:
        return
    states = dict(after.conditions)
    for name in after.touched:
        if name in states and _matters(procedure, name, states):
            finding = f"{name!r} is left {states[name]!r} when the job is closed"
            rest = f"{name}: {_before(procedure, name, states)}"
            yield Hazard(Danger.LEFT, "", f"{finding}; add it under 'at-rest:', such as '{rest}'")


def _matters(procedure: Procedure, name: str, states: Mapping[str, str]) -> bool:
    assert procedure.circuit is not None
    first = procedure.circuit.at_first
    if _OF_ITSELF.search(states[name]):
        return False
    if name in procedure.at_rest:
        return states[name] != procedure.at_rest[name]
    if name not in first:
        return name in _undone(procedure) and len(procedure.conditions.get(name, {})) > 1
    was = {**states, name: first[name]}
    return states[name] != first[name] and _closed(procedure.circuit, states) != _closed(
        procedure.circuit, was
    )


def _undone(procedure: Procedure) -> set[str]:
    """Conditions of the vehicle itself that steps bring to more than one state."""
    wanted: dict[str, set[str]] = {}
    for step in (*procedure.steps.values(), *procedure.repairs.values()):
        for need in step.needs:
            if not need.momentary:
                wanted.setdefault(need.condition, set()).add(need.state)
    return {name for name in wanted if name != "meter leads"}


def _before(procedure: Procedure, name: str, states: Mapping[str, str]) -> str:
    assert procedure.circuit is not None
    others = [state for state in procedure.conditions.get(name, {}) if state != states[name]]
    return procedure.circuit.at_first.get(name, others[0] if others else states[name])


def _closed(circuit: Circuit, states: Mapping[str, str]) -> list[str]:
    """Plugs and contacts that are closed in ``states``."""
    contacts = [part for part in circuit.parts.values() if isinstance(part, Switch)]
    each = [*((c.name, c.closed_when) for c in contacts)]
    each += [(plug.name, plug.closed_when) for plug in circuit.plugs.values()]
    return [name for name, when in each if is_closed(when, states)]


# --- as written ---


def _rests(procedure: Procedure) -> Iterator[Hazard]:
    """States under 'at-rest:' that leave something open, shut or on that was not met so."""
    circuit = procedure.circuit
    first = circuit.at_first if circuit is not None else {}
    for name, state in procedure.at_rest.items():
        if circuit is None or first.get(name, state) == state or _OF_ITSELF.search(state):
            continue
        if _closed(circuit, {**first, name: state}) != _closed(circuit, first):
            finding = f"'at-rest:' leaves {name!r} {state!r}, and the vehicle comes with it"
            message = f"{finding} {first[name]!r}; leave it as it was met"
            yield Hazard(Danger.LEFT, "", message)


def _on_cable(procedure: Procedure) -> Iterator[Hazard]:
    """Work on a cable without a fuse before the battery's clamp is taken off."""
    for finding in procedure.findings.values():
        steps = [procedure.repairs[name] for name in finding.repair if name in procedure.repairs]
        for i, step in enumerate(steps):
            works = _ON_CABLE.search(step.text) and _TAKES_OFF.match(step.text)
            if works and not any(CLAMP_OFF.search(step.text) for step in steps[: i + 1]):
                reason = "its cable is live and has no fuse, and nobody takes the minus clamp off"
                yield Hazard(Danger.CLAMP, step.name, f"{reason}; put that before it")
