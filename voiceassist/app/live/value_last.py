"""A value that is told last, behind what was done for it: "both back in, hundred and nineteen"."""

from collections.abc import Sequence

from voiceassist.language.meanings import Meaning, OverRange, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.language.told_states import ToldState
from voiceassist.procedure.model import Need
from voiceassist.session.naming import IN_STATE, OR, bare, told
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

_PLACES = frozenset({"in", "out"})
_STATES = _PLACES | {"on", "off", "open", "shut"}


def value_last(
    words: str, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Meaning | None:
    """The value typed at the end of ``words``, behind a comma or the states that they tell.

    None where what stands before it tells another number, a state that is not known, or something
    that is asked, denied or only spoken of.
    """
    if session.state is not State.MEASURE:
        return None
    needs = setup.step(session).needs
    ways = told(setup.procedure, {need.condition for need in needs})
    states, left = grammar.states.told_in(words, ways, bare(setup.procedure))
    before, comma, last = left.rpartition(",")
    if _unlike(states, needs) or not (comma or states) or grammar.is_known_by_a_part(last):
        return None
    # A cry at the end is left out with the states: "seven point oh".
    whole = f"{last} {words.rsplit(maxsplit=1)[-1]}"
    value = grammar.parse(last).meanings or grammar.parse(whole).meanings
    if len(value) != 1 or not isinstance(value[0], Reading | OverRange):
        return None
    other = (
        grammar.numbers.told_in(before)
        or grammar.answers.denies(before)
        or grammar.manner.asks(before)
    )
    other = other or grammar.manner.is_aside(words)
    return None if other or _tells_another_state(grammar, needs, words, before) else value[0]


def _unlike(states: Sequence[ToldState], needs: tuple[Need, ...]) -> bool:
    """Whether a state is told in which nothing is to be read here."""
    needed = {need.condition: need.state for need in needs}
    told = (one.name.split(IN_STATE) for one in states)
    return any(needed.get(name, state) not in state.split(OR) for name, state in told)


def _tells_another_state(
    grammar: StepGrammar, needs: tuple[Need, ...], words: str, before: str
) -> bool:
    """Whether a state is told that may not be as it is needed; of all together it is."""
    said = _STATES & set(before.replace(",", " ").split())
    family = _PLACES if said & _PLACES else _STATES - _PLACES
    needed = family & {need.state for need in needs}
    return bool(said) and not (grammar.answers.is_of_all(words) and said == needed)
