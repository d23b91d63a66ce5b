"""The clamp around a wire: it stays there once a current was read, and has to come off again.

It comes off before a current is read around another wire, so that it can be set to zero, before
the meter itself is put in line, before a piece of a repair, and at the end of the job. Drops are
read with it in place: a limit may go by the current that flows.
"""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from voiceassist.procedure.model import Kind, Need, Step, Wording
from voiceassist.procedure.parts.leads import in_line

if TYPE_CHECKING:  # a session asks where the clamp is, and reads no file
    from voiceassist.procedure.shape.procedure import ProcedureShape

#: The condition that every procedure has in which a current is read by clamp.
CLAMP = "current clamp"
OFF = "off"

_OFF = "current clamp off the wire"
#: What is read, "current in the motor wire", before the clamp is named.
_AROUND = re.compile(r"\b(?:in|through) (?:the )?(.+?)(?:,| by clamp| with the clamp|$)")
_NAMED = re.compile(r"\bclamp\b")


def clamps_of(shape: "ProcedureShape") -> dict[str, dict[str, str]]:
    """The condition of the clamp, when a step of ``shape`` reads with one."""
    texts = (body.measure or body.sweep or "" for body in shape.steps.values())
    places = {place: f"current clamp {place}" for text in texts if (place := _place(text))}
    return {CLAMP: {OFF: _OFF, **places}} if places else {}


def clamp_wordings(states: Mapping[str, Mapping[str, str]]) -> dict[str, dict[str, Wording]]:
    """What is said of each state of the clamp in ``states``."""
    subject = f"the {CLAMP}"
    made = {
        state: Wording(f"is {subject} {state}", f"{subject} was {denied}", f"{subject} is {state}")
        for state in states.get(CLAMP, {})
        for denied in ["still on" if state == OFF else f"not {state}"]
    }
    return {CLAMP: made} if made else {}


def place_of(step: Step) -> str:
    """Where the clamp is for ``step``: "around the motor wire"; empty where it reads with none."""
    return _place(step.text) if step.kind in {Kind.MEASURE, Kind.SWEEP} else ""


def _place(text: str) -> str:
    found = _AROUND.search(text) if _NAMED.search(text) and text.startswith("current") else None
    return f"around the {found[1]}" if found else ""


def with_clamp_off(
    step: Step, at: str, conditions: Mapping[str, Mapping[str, str]], *, is_repair: bool
) -> Step:
    """``step`` with the clamp asked off first, where it is ``at`` another place or in the way."""
    other = place_of(step) not in {"", at} or in_line(step)
    if at in {"", OFF} or not (other or (is_repair and step.kind is Kind.DO)):
        return step
    return replace(step, needs=(Need(CLAMP, OFF, conditions[CLAMP][OFF]), *step.needs))
