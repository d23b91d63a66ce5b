"""The last reading is told to have been taken otherwise: "that was with the battery connected"."""

from collections.abc import Iterator

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Command, Correction, Lamp, OverRange, Reading, Spread
from voiceassist.language.step import StepGrammar
from voiceassist.language.words import cut
from voiceassist.session.actions.enter import open_needs
from voiceassist.session.events import Heard
from voiceassist.session.naming import IN_STATE, READ_SO, things, told
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.spoilt import last_needing, last_needs, taken_without
from voiceassist.session.states import AT_A_STEP, State

_WHERE = AT_A_STEP | {State.OFFER}
_VALUES = Reading | Spread | OverRange | Lamp | Correction


def read_otherwise(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``, which takes the reading back that its words tell to have been taken otherwise."""
    valued = any(isinstance(one, _VALUES) for one in event.meanings)
    if (
        session.state not in _WHERE
        or session.correcting
        or valued
        or grammar.manner.asks(event.words)
    ):
        return event
    for name in _otherwise(event.words, grammar, setup, session):
        if taken_without(setup, session, name) is not None:
            meaning = Command("forgot", about=f"{READ_SO}{name}")
            return as_told(event, meaning)
    return event


def _otherwise(
    words: str, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Iterator[str]:
    """The conditions that are told to have been otherwise than the last reading needs them."""
    needed = {need.condition for need in last_needs(setup, session)}
    ways = told(setup.procedure, needed)
    for one in grammar.states.not_made_in(words, ways):
        name, state = one.name.split(IN_STATE)
        need = last_needing(setup, session, name)
        if need is not None and need.state == state:
            yield name
    before, forgotten = grammar.states.tells_before(words), grammar.states.tells_forgotten(words)
    to_make = {need.condition: need.state for need in open_needs(setup, session)}
    if not (before or forgotten):
        return
    found, _ = grammar.states.told_in(words, ways, ())
    for one in found:
        name, state = one.name.split(IN_STATE)
        need = last_needing(setup, session, name)
        otherwise = need is not None and state != need.state
        if otherwise and (before or to_make.get(name) != state):
            yield name
    if forgotten and not found:
        yield from (name for name in _named(words, needed) if before or name not in to_make)


def _named(words: str, needed: set[str]) -> Iterator[str]:
    """Of what is ``needed``, what ``words`` name."""
    said = f" {' '.join(cut(words, frozenset()))} "
    return (c.name for c in things(needed) if any(f" {way} " in said for way in c.phrases))
