"""What no circuit shows and an examiner asks before a part is condemned: is it held by what it
drives, and is it cold?"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Battery, Motor
from voiceassist.procedure.model import HIGH, Kind, Procedure, Step
from voiceassist.prove.cases import Case
from voiceassist.prove.live import is_for_fuel, solved_or_none
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import Walk

Walks = Sequence[tuple[Case, Walk]]

#: What is asked of something that may be held by what it drives.
_FREE = re.compile(r"\b(?:free|freely|turns?|glides?|moves?|drags?|stiff|blocked|rubs?)\b")
#: A battery that gives more is judged by what it holds meanwhile. In A; common practice, no source.
_HEAVY_A = 50.0
_BY_HEAT = re.compile(r"\b(?:coolant|temperature|intake air|outside air) sensor\b")
_HEAT = re.compile(r"\b(?:cold|cool|warm|hot|over night|degrees)\b")


@dataclass(frozen=True, slots=True)
class Slip:
    """What a file gives away, at the step that it stands in."""

    step: str
    message: str


def held_by_another(procedure: Procedure, walks: Walks) -> Iterator[Slip]:
    """Motors condemned for too much current with no question whether what they drive is free."""
    assert procedure.circuit is not None
    for _, walk in walks:
        finding = procedure.findings.get(walk.finding)
        part = procedure.circuit.parts.get(finding.condemns) if finding is not None else None
        if not isinstance(part, Motor) or is_for_fuel(part) or not walk.taken:
            continue
        last = walk.taken[-1]
        asked = [procedure.step(one.step) for one in walk.taken]
        if (
            last.outcome == HIGH
            and _is_current(procedure, last.step)
            and not any(map(_frees, asked))
        ):
            message = (
                f"the {part.name!r} is condemned since it takes too much, and nobody asked whether "
                "what it drives is free; ask 'does it turn freely by hand' before"
            )
            yield Slip(last.step, message)


def _is_current(procedure: Procedure, name: str) -> bool:
    assert procedure.circuit is not None
    probe = procedure.circuit.probes.get(name)
    return probe is not None and probe.shows is Shows.CURRENT


def _frees(step: Step) -> bool:
    return step.kind is Kind.ASK and _FREE.search(step.text) is not None


def not_by_heat(procedure: Procedure, walks: Walks) -> Iterator[Slip]:
    """Limits that heat moves, and that do not go by it."""
    circuit = procedure.circuit
    assert circuit is not None
    read_in = dict(pair for _, walk in walks for pair in walk.read_in)
    condemned = " ".join(finding.condemns for finding in procedure.findings.values())
    for name, step in procedure.steps.items():
        probe = circuit.probes.get(name)
        if probe is None or step.limit is None or step.table is not None or name not in read_in:
            continue
        if "batter" in condemned and step.limit.low and _is_heavy(circuit, probe, read_in[name]):
            message = (
                "a good battery gives less in the cold, and this limit does not go by it; ask the "
                "temperature before, and give the limit as a table by it"
            )
            yield Slip(name, message)
        elif probe.shows is Shows.RESISTANCE and _BY_HEAT.search(step.text) and not _tells(step):
            message = (
                "the ohms of this sensor go by its heat, and nobody told how warm it is; name a "
                "cold engine in 'needs:', or give the limit as a table by its temperature"
            )
            yield Slip(name, message)


def _is_heavy(circuit: Circuit, probe: Probe, states: States) -> bool:
    """Whether the voltage of a battery is read while it gives much."""
    ends = {probe.red, probe.black}
    batteries = [part for part in circuit.parts.values() if isinstance(part, Battery)]
    read = [part for part in batteries if set(part.terminals.values()) == ends]
    if probe.shows is not Shows.VOLTAGE or not read:
        return False
    found = solved_or_none(circuit, dict(states))
    return found is not None and abs(found.current(read[0].name)) > _HEAVY_A


def _tells(step: Step) -> bool:
    return any(_HEAT.search(f"{need.state} {need.instruction}") for need in step.needs)
