"""What a phrase that no grammar understands may be for at a state, and what would then be meant."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note, OverRange, Reading
from voiceassist.procedure.model import Kind
from voiceassist.session.actions.enter import not_expected
from voiceassist.session.events import Heard, kind_of
from voiceassist.session.expect import asked_for
from voiceassist.session.offered import tells_repair
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State
from voiceassist.session.table import entry

#: These answer a question, change how it speaks, or wait, and so may be done where they are likely.
HARMLESS = frozenset(
    {"repeat", "next", "how", "tool", "range", "limit", "why", "explain", "cause", "how-far"}
    | {
        "read-back",
        "not-sure",
        "unstable",
        "comes-and-goes",
        "slower",
        "faster",
        "louder",
        "softer",
        "help",
    }
    | {"stand-by", "danger", "less", "more"}
)
#: Questions of that kind, and commands beside them, that nobody guesses at: a listener hears them
#: or does not.
QUESTIONS = frozenset({"sure", "advise", "against", "unsafe"})
UNGUESSED = QUESTIONS | {"park", "go-to"}
#: Commands that may be meant wherever the state takes them.
_COMMANDS = HARMLESS | {"finish", "skip", "go-back", "forgot", "mistake", "disregard", "same"}
_LAMPS = {
    "lamp-bright": "bright",
    "lamp-dim": "dim",
    "lamp-off": "off",
    "lamp-flicker": "flickering",
    "zero": "off",
}
#: What each state takes for an answer: by the name of the intent, that of the answer.
_YES_NO = {"affirm": "affirm", "negative": "negative"}
_READY = {"affirm": "affirm", "done": "affirm", "go-ahead": "affirm", "negative": "negative"}
_MADE = {"done": "done", "affirm": "done", "go-ahead": "done", "negative": "negative"}
_ANSWERS: Mapping[State, Mapping[str, str]] = {
    State.CAUTION: _READY,
    State.CONDITION: _MADE,
    State.DO: _MADE,
    State.MEASURE: {"done": "done"},
    State.LAMP: {"done": "done"},
    State.ASK: {**_YES_NO, "done": "done"},
    State.OFFER: {**_YES_NO, "go-ahead": "affirm"},
    State.RETRY: {**_YES_NO, "go-ahead": "affirm"},
    State.FINISH: _YES_NO,
    State.STILL: _YES_NO,
    State.CARRIED: _YES_NO,
    State.FORGOTTEN: _YES_NO,
    State.CONFIRM: {"affirm": "affirm-reading", "negative": "negative"},
    State.WAIT: {"affirm": "affirm", "done": "done", "negative": "negative"},
    State.AFTER: {"done": "done", "negative": "negative"},
    State.PUT_BACK: {"affirm": "done", "done": "done"},
}
#: What leaves the job as it is, and only has it said once more what is needed.
_LEAVES: Mapping[State, frozenset[str]] = {
    State.CAUTION: frozenset({"negative"}),
    State.CONDITION: frozenset({"negative"}),
    State.DO: frozenset({"negative"}),
    State.WAIT: frozenset({"affirm", "done", "negative"}),
    State.AFTER: frozenset({"negative"}),
    State.ASK: frozenset({"done"}),
}
#: Nobody is spoken to, or any words will do.
_CLOSED = frozenset({State.NEW, State.NOTE, State.STAND_BY, State.CLOSED, State.SKIP, State.PICK})


#: Where the same words mean much the same, by the name the guess knows it by. Elsewhere it weighs
#: the words alone.
_WHERE = {
    **dict.fromkeys((State.CONDITION, State.DO), "change"),
    **dict.fromkeys((State.OFFER, State.RETRY), "offer"),
    **dict.fromkeys((State.AFTER, State.PUT_BACK), "after"),
    **{each: each.value for each in (State.CAUTION, State.LAMP, State.ASK, State.CONFIRM)},
    State.WAIT: "wait",
}


def is_harmless(meaning: Meaning, state: State) -> bool:
    """Whether the job goes on as if nothing had been said."""
    if isinstance(meaning, Command):
        return meaning.name in HARMLESS and not _is_flicker(meaning, state)
    return isinstance(meaning, Answer) and meaning.name in _LEAVES.get(state, ())


def _is_flicker(meaning: Command, state: State) -> bool:
    """A lamp that comes and goes is a state that counts."""
    return state is State.LAMP and meaning.name == "comes-and-goes"


def without_flicker(chances: Mapping[str, float], state: State) -> Mapping[str, float]:
    """``chances`` of words that tell of no lamp: nobody says so that it flickers."""
    if state is not State.LAMP:
        return chances
    return {i: p for i, p in chances.items() if i not in ("lamp-flicker", "comes-and-goes")}


def where(setup: SessionSetup, session: Session) -> str:
    """The kind of place that ``session`` stands at."""
    if session.state is State.MEANT and session.resume is not None:
        return where(setup, session.resume)
    unit = setup.step(session).unit if session.state is State.MEASURE else None
    if unit is not None:
        return "ohms" if unit.quantity == "resistance" else "live"
    return _WHERE.get(session.state, "")


def likely(setup: SessionSetup, session: Session, words: str) -> Mapping[str, Meaning]:
    """Each intent that ``words`` may have here, with what is meant by it.

    Several may mean the same: who says "ready" to a caution has understood it.
    """
    if session.state is State.MEANT and session.resume is not None:
        return likely(setup, session.resume, words)
    if session.state in _CLOSED:
        return {}
    found = dict(_meanings(setup, session))
    return {name: each for name, each in found.items() if _is_taken(session, each)} | {
        "note": Note(words)
    }


def _meanings(setup: SessionSetup, session: Session) -> Iterator[tuple[str, Meaning]]:
    yield from ((name, Command(name)) for name in _COMMANDS)
    answers = _answers(setup, session)
    yield from ((intent, Answer(name)) for intent, name in answers.items())
    if "go-ahead" not in answers:  # back again, or all ears: what is to be done is told
        yield "go-ahead", Command("next")
    unit = setup.step(session).unit
    if session.state is State.MEASURE and unit is not None:
        yield "over-range", OverRange()
        if unit.quantity != "resistance":
            yield "zero", Reading(Decimal(0), unit)
    told_again = session.state is State.FORGOTTEN and setup.step(session).kind is Kind.LAMP
    if session.state is State.LAMP or told_again:
        yield from ((intent, Lamp(name)) for intent, name in _LAMPS.items())


def _is_taken(session: Session, meaning: Meaning) -> bool:
    """Whether the state has an action for it."""
    return entry(session.state, kind_of(Heard("", (meaning,)))).action is not not_expected


def _answers(setup: SessionSetup, session: Session) -> Mapping[str, str]:
    answers = _ANSWERS.get(session.state, {})
    if tells_repair(setup, session):
        return {**answers, "done": "done"}
    if session.state is not State.ASK:
        return answers
    plain = asked_for(setup, session)
    return {intent: name for intent, name in answers.items() if name in plain}
