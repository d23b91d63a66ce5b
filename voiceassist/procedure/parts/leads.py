"""The leads of the meter: a voltage read with the red lead in the socket for amps is a dead short.

A step that reads a current through the meter tells its range with ``meter: 10 A``. Wherever a
procedure has one, every step that reads anything else through the meter needs its lead back; all
other steps have it asked back where it was moved.
"""

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Need, Step

if TYPE_CHECKING:  # a session asks where the leads are, and reads no file
    from voiceassist.procedure.shape.procedure import ProcedureShape
    from voiceassist.procedure.shape.step import StepShape
    from voiceassist.procedure.text.fault_collector import FaultCollector
    from voiceassist.procedure.text.tree import Path

#: The condition that every procedure has in which a current flows through the meter.
LEADS = "meter leads"
VOLTS = "volts"

_BACK = "red lead back to the volts socket"
_CURRENT = "current"
#: Words by which a circuit puts the meter in line, too (WRITING.md).
_IN_LINE = re.compile(r"\b(?:in|through)\b")


def leads_of(shape: "ProcedureShape") -> dict[str, dict[str, str]]:
    """The condition of the leads, when a step of ``shape`` reads a current through the meter."""
    sockets: dict[str, str] = {}
    for body in shape.steps.values():
        with suppress(MeasureError):
            socket = Quantity.parse(body.meter) if body.meter else None
            if socket is not None and socket.unit.quantity == _CURRENT and not _clamped(body):
                sockets[str(socket)] = f"red lead and meter to {socket}"
    return {LEADS: {VOLTS: _BACK, **sockets}} if sockets else {}


def check_meter(
    steps: Mapping[str, Step], own: "Mapping[str, Path]", blame: "FaultCollector"
) -> None:
    """Report a range of another quantity, and warn where the meter itself carries the current."""
    for name, path in own.items():
        step = steps[name]
        if step.meter is not None and step.unit is not None:
            if step.meter.unit.quantity != step.unit.quantity:
                message = f"a range of {step.meter} reads no {step.unit.quantity}; mend one of them"
                blame.error((*path, "meter"), message)
        elif in_line(step):
            message = "the meter is in line here; tell its range and socket, such as 'meter: 10 A'"
            blame.warning(path, message)


def in_line(step: Step) -> bool:
    """True where the current of ``step`` flows through the meter, so its range has a socket."""
    if step.kind not in {Kind.MEASURE, Kind.SWEEP} or step.fact or step.unit is None:
        return False
    written = _IN_LINE.search(step.text) is not None and "clamp" not in step.text
    return written and step.unit.quantity == _CURRENT


def _clamped(body: "StepShape") -> bool:
    return "clamp" in (body.measure or body.sweep or "")


def with_leads(step: Step, conditions: Mapping[str, Mapping[str, str]]) -> Step:
    """``step`` with what its meter needs."""
    state = _state(step)
    there = {need.condition for need in step.needs}
    if LEADS in there or state not in conditions.get(LEADS, ()):
        return step
    return replace(step, needs=(Need(LEADS, state, conditions[LEADS][state]), *step.needs))


def with_leads_back(
    step: Step,
    conditions: Mapping[str, Mapping[str, str]],
    before_changing: Mapping[str, tuple[Need, ...]],
) -> Step:
    """``step`` with the red lead moved back for it, though it is not read through the meter.

    What must hold while the lead is moved holds for this step too, unless it names that itself:
    a meter that was put in line is not put there again. A step that is read with the lead where
    it is stays as it is; so does a sum, for which nothing is done.
    """
    named = {need.condition: need.state for need in step.needs}
    if step.kind is Kind.COMPUTE or named.get(LEADS, VOLTS) != VOLTS:
        return step
    back = Need(LEADS, VOLTS, conditions[LEADS][VOLTS])
    added = [n for n in (*before_changing.get(LEADS, ()), back) if n.condition not in named]
    return replace(step, needs=(*added, *step.needs))


def _state(step: Step) -> str:
    """Where the red lead belongs for ``step``; empty when it does not read through the meter."""
    if step.kind not in {Kind.MEASURE, Kind.SWEEP} or step.fact or step.unit is None:
        return ""
    if step.unit.quantity == _CURRENT:
        through = step.meter is not None and "clamp" not in step.text
        return str(step.meter) if through else ""
    return VOLTS if step.unit.quantity in _THROUGH else ""


#: Quantities of units.py that are read through the meter's leads.
_THROUGH = frozenset({"voltage", "resistance", "frequency", "capacitance", "ratio"})
