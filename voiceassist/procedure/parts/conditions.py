"""The conditions of a file: how each state is brought about, asked about and left."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import Hold, Step, Wording
from voiceassist.procedure.parts.asking import is_plain, tells_a_state, wording
from voiceassist.procedure.parts.clamp import CLAMP, OFF, clamp_wordings, clamps_of
from voiceassist.procedure.parts.leads import LEADS, VOLTS, leads_of
from voiceassist.procedure.parts.times import seconds_at
from voiceassist.procedure.shape.procedure import ProcedureShape, StateShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_NOTHING: Mapping[str, str] = MappingProxyType({})
_LET_GO = "let go"


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a file tells of the states of the vehicle, by condition.

    Parts:
        states: state to the words that bring it about.
        wordings: state to what is said of it.
        held: condition and state of what holds only while one reads, and how.
        at_rest: the state that it is left in.
    """

    states: Mapping[str, Mapping[str, str]]
    wordings: Mapping[str, Mapping[str, Wording]]
    held: Mapping[tuple[str, str], Hold]
    at_rest: Mapping[str, str]


def conditions_of(shape: ProcedureShape, blame: FaultCollector) -> Conditions:
    """The conditions in ``shape``, and those of the meter's leads and clamp where they are used."""
    given = {
        (name, state): _shape(body)
        for name, states in shape.conditions.items()
        for state, body in states.items()
    }
    for (name, state), body in given.items():
        if body.denied and not tells_a_state(body.denied):
            message = f"{body.denied!r} lacks 'was not' or 'were not'"
            message += "; write it like 'the key was not in run'"
            blame.error(("conditions", name, state, "not"), message)
    own = {
        name: {state: given[name, state].do for state in states}
        for name, states in shape.conditions.items()
    }
    leads, clamps = leads_of(shape), clamps_of(shape)
    rest = {name: state for name, state in ((LEADS, VOLTS), (CLAMP, OFF)) if name in leads | clamps}
    return Conditions(
        states={**leads, **clamps, **own},
        wordings=clamp_wordings(clamps)
        | {
            name: {state: _wording(name, state, given[name, state]) for state in states}
            for name, states in shape.conditions.items()
        },
        held=_held(given, blame),
        at_rest=rest | _at_rest(shape, own, blame),
    )


def _shape(body: str | StateShape) -> StateShape:
    return StateShape.model_validate({"do": body}) if isinstance(body, str) else body


def _wording(name: str, state: str, body: StateShape) -> Wording:
    made = wording(name, state, body.do, body.ask or "", body.denied or "")
    return replace(made, how=(body.how or "").rstrip(". "), why=(body.why or "").rstrip(". "))


def _held(
    states: Mapping[tuple[str, str], StateShape], blame: FaultCollector
) -> dict[tuple[str, str], Hold]:
    """Condition and state of what is held only while one reads, and how."""
    found = {}
    for (name, state), body in states.items():
        path: Path = ("conditions", name, state)
        if body.hold is not None:
            found[name, state] = _hold(path, body, blame)
        elif body.momentary:
            found[name, state] = Hold()
        if body.hold is None:
            _check_useless(path, body, blame)
    return found


def _hold(path: Path, body: StateShape, blame: FaultCollector) -> Hold:
    most = seconds_at((*path, "hold"), body.hold or "", blame)
    rest = seconds_at((*path, "rest"), body.rest, blame) if body.rest is not None else 0
    return Hold(most, (body.let_go or _LET_GO).rstrip(". "), rest)


def _check_useless(path: Path, body: StateShape, blame: FaultCollector) -> None:
    for key, value in (("let-go", body.let_go), ("rest", body.rest)):
        if value is not None:
            message = f"{key!r} has no effect without 'hold:'; tell how long, such as 'hold: 5 s'"
            blame.error((*path, key), message)


def _at_rest(
    shape: ProcedureShape, own: Mapping[str, Mapping[str, str]], blame: FaultCollector
) -> dict[str, str]:
    """As written, or else as the circuit is at first."""
    first = shape.circuit.at_first if shape.circuit is not None else {}
    for name, state in shape.at_rest.items():
        path: Path = ("at-rest", name)
        states = own.get(name, _NOTHING)
        if not states and blame.blamed(("conditions", name)):
            continue
        if not states:
            hint = did_you_mean(name, list(own))
            blame.error(path, f"there is no condition {name!r}{hint}")
        elif state not in states:
            hint = did_you_mean(state, list(states))
            blame.error(path, f"{name!r} has no state {state!r}{hint}")
    at_rest = shape.at_rest or first
    return {name: state for name, state in at_rest.items() if state in own.get(name, _NOTHING)}


def check_asked(shape: ProcedureShape, steps: Iterable[Step], blame: FaultCollector) -> None:
    """Warn of a state that is asked about when forgotten, and has no question of its own."""
    for step in steps:
        for need in (lookalike.need for lookalike in step.lookalikes):
            body = shape.conditions.get(need.condition, {}).get(need.state)
            if is_plain(need.state) or (isinstance(body, StateShape) and body.ask and body.denied):
                continue
            message = f"{need.state!r} makes no plain question; give it 'ask:' and 'not:'"
            blame.warning(("conditions", need.condition, need.state), message)
