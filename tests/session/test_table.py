"""The table of states."""

import pkgutil
from collections.abc import Callable, Iterator
from importlib import import_module
from inspect import signature
from types import ModuleType

import pytest
from bench import Bench
from make_machine import PAGE, page

from voiceassist.errors import SessionError
from voiceassist.language.meanings import CommandName
from voiceassist.session import actions
from voiceassist.session.actions.inform import stay_silent
from voiceassist.session.events import (
    Begin,
    Cue,
    EventKind,
    Heard,
    kind_of,
)
from voiceassist.session.states import State
from voiceassist.session.table import ALWAYS, CAUTION_CUT_OFF, GROUPS, STEP, TABLE, TOLD, entry


def test_every_state_has_a_row() -> None:
    assert set(TABLE) == set(State)


def test_every_action_stands_in_some_row() -> None:
    named = {then.action for row in (*TABLE.values(), CAUTION_CUT_OFF) for then in row.values()}
    named |= {entry(state, on).action for state in State for on in (*EventKind, *CommandName)}
    written = {
        function
        for module in modules()
        for function in vars(module).values()
        if callable(function) and list(parameters(function)) == ["setup", "session", "event"]
    }
    # Answers of one sentence are made in the table itself, by a function of no such signature.
    assert written == {action for action in named if "<locals>" not in action.__qualname__}


def modules() -> Iterator[ModuleType]:
    """Every module of the actions, found by itself."""
    for found in pkgutil.iter_modules(actions.__path__, f"{actions.__name__}."):
        yield import_module(found.name)


def parameters(function: Callable[..., object]) -> list[str]:
    """Names of the parameters, none for a class."""
    return [] if isinstance(function, type) else list(signature(function).parameters)


#: Commands that a state takes in its own way.
_DOUBTS: set[Cue] = {CommandName.NOT_SURE, CommandName.COMES_AND_GOES}
_OWN: dict[State, set[Cue]] = {
    **dict.fromkeys((State.MEASURE, State.LAMP, State.ASK), _DOUBTS),
    State.CAUTION: {CommandName.WHY, CommandName.NOT_SURE},
    State.MEANT: set(ALWAYS) - set(TABLE[State.MEANT]),  # they let the offer go
    State.WAIT: {EventKind.TIME_UP, CommandName.HOW_FAR, EventKind.NO_REPLY},
    State.FINISH: {CommandName.FINISH},
    State.AFTER: {CommandName.FINISH, EventKind.NO_MORE},
    State.PUT_BACK: {CommandName.FINISH, EventKind.NO_MORE},
    State.TO_PARK: {CommandName.FINISH, EventKind.NO_MORE},
}
#: Where commands are not heard, or mean nothing.
_DEAF = {State.NEW, State.NOTE, State.STAND_BY, State.PARKED, State.CLOSED}
#: Where the finding was just told, questions speak of it.
_TOLD = {State.OFFER, State.RETRY, State.AFTER, State.PUT_BACK}


@pytest.mark.parametrize("state", sorted(set(State) - _DEAF))
def test_a_command_is_understood_in_every_state_that_listens(state: State) -> None:
    own = {EventKind.IDENTIFIER, *_OWN.get(state, ())}
    for on, then in ALWAYS.items():
        known = {then, TOLD.get(on, then)} if state in _TOLD else {then}
        assert on in own or TABLE[state].get(on) in known


def test_while_standing_by_only_go_ahead_danger_and_what_must_not_be_done_are_heard() -> None:
    heard = {
        on
        for on in (*EventKind, *CommandName)
        if entry(State.STAND_BY, on).action is not stay_silent
    }
    # A doubtful word is not answered, but "go ahead" said twice alike counts.
    not_answered = {EventKind.RETURNED, EventKind.TIME_UP, EventKind.UNSURE}
    assert heard - not_answered == {CommandName.GO_AHEAD, CommandName.DANGER, CommandName.UNSAFE}


def test_a_closed_session_takes_nothing(typed: Bench) -> None:
    typed.say("finish", "affirm")
    before = typed.session
    with pytest.raises(SessionError, match="closed"):
        typed.say("affirm")
    assert typed.session is before


def test_a_session_begins_once(typed: Bench) -> None:
    with pytest.raises(SessionError, match="begin"):
        typed.engine.handle(typed.session, Begin())


def test_several_meanings_are_another_kind_of_event_than_one() -> None:
    assert kind_of(Heard("x")) is EventKind.NOTHING


def test_the_drawing_of_the_machine_is_the_table() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run tests/make_machine.py"


def test_the_drawing_leads_to_every_state_but_the_first() -> None:
    drawn = {line.split()[-1].replace("_", "-") for line in page().splitlines() if "-->" in line}
    reached = drawn | ({state.value for state in GROUPS[STEP]} if "step" in drawn else set())
    assert set(State) - reached == {State.NEW}
