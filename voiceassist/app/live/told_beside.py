"""States of the vehicle told in free words: with a value, or instead of what is awaited."""

from collections.abc import Mapping, Sequence
from enum import Enum

from voiceassist.app.live.told_answers import (
    AFFIRM,
    DONE,
    MOST_UNTOLD,
    NEGATIVE,
    command_of,
    is_forgot,
    may_be_states,
    of_what_is_asked,
    told_alone,
)
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Spread,
)
from voiceassist.language.step import StepGrammar
from voiceassist.language.told_states import ToldState
from voiceassist.session.actions.enter import open_changes
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.naming import (
    IN_STATE,
    OR,
    TEST_LAMP,
    UNLIT,
    bare,
    read_in,
    states_of_it,
    told,
)
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State
from voiceassist.session.unlike import unlike_asked

_VALUES = Reading | Spread | OverRange | Lamp
#: Where a value is told that counts, or may count.
_READ = frozenset({State.MEASURE, State.LAMP, State.CONFIRM})
#: Where what is told may be what is to be changed.
_MADE = frozenset({State.CONDITION, State.MEASURE, State.LAMP, State.ASK, State.DO})
#: Where it is asked for a change, with what is read then or without.
_CHANGED = frozenset({State.CONDITION, State.MEASURE, State.LAMP, State.ASK})
#: Where a caution, or a state of the vehicle, is asked about.
_ASKED = frozenset({State.CAUTION, State.FORGOTTEN})


def with_states(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` with the states of the vehicle that its words tell, where they matter here.

    A value read in another state than the step needs never counts. Who tells nothing but states
    has not said that all is done, unless these are all that was asked for.
    """
    at = session.at_step if session.state is State.MEANT else session
    if at.state not in _READ | _MADE | _ASKED or grammar.manner.asks(event.words):
        return event
    procedure = setup.procedure
    needs = setup.step(at).needs
    ways = told(procedure, {need.condition for need in needs})
    found, left = grammar.states.told_in(event.words, ways, bare(procedure))
    states = _settled(setup, at, found) or _of_it(event, grammar, setup, at)
    known = procedure.conditions
    named = {
        name: command_of(name, state)
        for name, state, kind in states
        if kind is _Told.NAMED and state in known[name]
    }
    if at.state is State.FORGOTTEN:
        return of_what_is_asked(event, grammar, setup, at, named)
    offered = (event.guess,) if event.guess is not None else ()
    values = tuple(m for m in event.meanings or offered if isinstance(m, _VALUES))
    if values and all(m in values or _is_state(m) for m in event.meanings):
        unlit = [(TEST_LAMP, UNLIT, _Told.NAMED)] if grammar.states.is_unlit(event.words) else []
        states = [*states, *unlit]
        return _read_so(event, setup, at, states, named, values) if at.state in _READ else event
    only = not (event.meanings or left)  # whatever is guessed, they tell that
    spoken_of = bool(left) and grammar.manner.is_aside(event.words)
    if not (states or spoken_of) and at.state in _CHANGED:
        return told_alone(event, setup, at, left)
    if not named or spoken_of or not (only or may_be_states(event)):
        return event
    return _instead(event, grammar, setup, at, named, left)


class _Told(Enum):
    """How a state is told: with what it is the state of, alone, or as one of several."""

    NAMED, ALONE, EITHER = "named", "alone", "either"


def _of_it(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, at: Session
) -> list[tuple[str, str, _Told]]:
    """What is told of what was asked for without its name: "twelve four, it's still plugged in".

    Of a lamp, or to a question, it is what is asked for; that something is not done is enough.
    """
    denied = NEGATIVE in (*event.meanings, event.guess)
    if denied or at.state not in {State.CONDITION, State.MEASURE}:
        return []
    needs = setup.step(at).needs
    states = states_of_it(needs, setup.procedure, grammar.states.told_of_it(event.words))
    return [(*one, _Told.NAMED) for one in states]


def _settled(
    setup: SessionSetup, at: Session, found: Sequence[ToldState]
) -> list[tuple[str, str, _Told]]:
    """Condition, state, and how it is told; of either of several, the one that the step needs.

    Where it needs none of these, it is the first.
    """
    needed = {need.condition: need.state for need in setup.step(at).needs}
    settled = []
    for one in found:
        name, told_as = one.name.split(IN_STATE)
        states = told_as.split(OR)
        either = len(states) > 1 and needed.get(name) in states
        kind = _Told.EITHER if either else _Told.NAMED if one.named else _Told.ALONE
        settled.append((name, needed[name] if either else states[0], kind))
    return settled


def _read_so(
    event: Heard,
    setup: SessionSetup,
    at: Session,
    states: Sequence[tuple[str, str, _Told]],
    named: Mapping[str, Command],
    values: tuple[Meaning, ...],
) -> Heard:
    """A value told with ``states``; with those it is not to be read in, where there are any.

    A bare setting counts only of what the step needs in some state. A value with the states by
    which another step is called that reads the same, and has been taken, puts that one right.
    """
    needed = {need.condition for need in setup.step(at).needs}
    told = ((name, state) for name, state, kind in states if kind is _Told.NAMED or name in needed)
    unlike = unlike_asked(setup, at, told)
    others = tuple(command_of(*one) for one in unlike)
    step = read_in(setup, at, unlike) if others and at.state in _MADE else ""
    if step and isinstance(values[0], _VALUES):
        right = Correction(values[0], step)  # of that other step
        return replace(event, meanings=(right,), doubtful=False, guess=None)
    if others:
        return replace(event, meanings=(*others, *values), doubtful=False, guess=None)
    if states and event.meanings and len(values) < len(event.meanings):
        return replace(event, meanings=(*named.values(), *values))
    return event


def _instead(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    at: Session,
    named: Mapping[str, Command],
    left: str,
) -> Heard:
    """What ``event`` is when its words tell the states ``named``, and what is ``left`` of them."""
    beside = grammar.parse(left).meanings if left else ()
    values = tuple(m for m in beside if isinstance(m, _VALUES))
    if at.state is State.CAUTION:
        clear = beside == (AFFIRM,) and not grammar.is_known_by_a_part(left)
        values = values or grammar.numbers.told_in(left)  # too early, however it is said
        return _at_a_caution(event, beside if clear else (*named.values(), *values))
    if values and at.state in _READ and event.meanings != (DONE,):
        return replace(event, meanings=(*named.values(), *values), guess=None, guessed=False)
    return _of_changes(event, grammar, setup, at, named, left) if at.state in _MADE else event


def _is_state(meaning: Meaning) -> bool:
    return isinstance(meaning, Command) and IN_STATE in meaning.about and is_forgot(meaning)


def _at_a_caution(event: Heard, meant: tuple[Meaning, ...]) -> Heard:
    """What is ``meant`` by states with a value beside them: neither has acknowledged the caution.

    Clear words that stand beside them have.
    """
    if event.meanings and isinstance(event.meanings[0], Answer):
        return event
    return replace(event, meanings=meant, guess=None, guessed=False)


def _of_changes(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    at: Session,
    named: Mapping[str, Command],
    left: str,
) -> Heard:
    """The states that are told, or that all is done where these are all that was asked for."""
    states = {name: one.about.split(IN_STATE)[1] for name, one in named.items()}
    to_make = {change.name: change.state for change in open_changes(setup, at)}
    needed = {need.condition: need.state for need in setup.step(at).needs}
    told = replace(event, meanings=tuple(named.values()), guess=None, guessed=False)
    if any(needed.get(name, state) != state for name, state in states.items()):
        return told if event.meanings or event.guess or not left else event
    works = at.state is State.DO
    if left and to_make and not works and _in_part(event, grammar, states, to_make, left):
        return told
    if left or not to_make:
        return event
    if to_make.items() <= states.items() and not works:
        return replace(event, meanings=(DONE,), guess=None, guessed=False)
    done = DONE in (*event.meanings, event.guess)
    several = len(states) > 1 and event.meanings != (DONE,)
    return told if works or several or not done else event


def _in_part(
    event: Heard,
    grammar: StepGrammar,
    states: Mapping[str, str],
    to_make: Mapping[str, str],
    left: str,
) -> bool:
    """Whether some of the changes are told, and a guess that all are made covers several more.

    Behind the word that it is done, or with "all", it is told of the others too.
    """
    made = to_make.keys() & states.keys()
    guessed = DONE in (*event.meanings, event.guess) and (
        event.guessed or not event.meanings or grammar.is_known_by_a_part(event.words)
    )
    if not made or not guessed or len(to_make) - len(made) <= MOST_UNTOLD:
        return False
    return not (
        grammar.answers.is_of_all(event.words) or DONE in grammar.parse_strictly(left).meanings
    )
