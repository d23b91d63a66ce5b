"""What a phrase that no grammar understands may be for at a state, and what would then be meant."""

from collections.abc import Mapping
from decimal import Decimal

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note, Reading
from voiceassist.session.session import Desk, Session
from voiceassist.session.states import State

#: These answer a question, change how it speaks, or wait, and so may be done where they are likely.
HARMLESS = frozenset(
    {"repeat", "next", "how", "tool", "range", "limit", "why", "explain", "cause", "how-far"}
    | {"read-back", "not-sure", "unstable", "slower", "faster", "louder", "softer", "help"}
    | {"stand-by", "danger", "less", "more"}
)
#: Commands that are offered anywhere.
_ANYWHERE = HARMLESS - {"unstable"} | {"finish"}
#: Commands that are offered where a step is under way.
_AT_A_STEP = frozenset({"skip", "go-back", "forgot", "mistake", "disregard"})
_LAMPS = {
    "lamp-bright": "bright",
    "lamp-dim": "dim",
    "lamp-off": "off",
    "lamp-flicker": "flickering",
}
_STEPS = frozenset(
    {State.MEASURE, State.LAMP, State.ASK, State.DO, State.CONDITION, State.CAUTION, State.WAIT}
)
#: Answers that each state may be given.
_ANSWERS = {
    State.CAUTION: ("affirm", "negative"),
    State.CONDITION: ("done", "negative"),
    State.DO: ("done", "negative"),
    State.ASK: ("affirm", "negative"),
    State.OFFER: ("affirm", "negative"),
    State.RETRY: ("affirm", "negative"),
    State.FINISH: ("affirm", "negative"),
    State.STILL: ("affirm", "negative"),
    State.FORGOTTEN: ("affirm", "negative"),
    State.CONFIRM: ("negative",),
    State.WAIT: ("affirm",),
    State.AFTER: ("done",),
}
#: Nobody is spoken to, or any words will do.
_CLOSED = frozenset({State.NEW, State.NOTE, State.STAND_BY, State.CLOSED, State.SKIP, State.PICK})


def likely(desk: Desk, session: Session, words: str) -> Mapping[str, Meaning]:
    """Each intent that ``words`` may have here, with what is meant by it."""
    if session.state is State.MEANT and session.resume is not None:
        return likely(desk, session.resume, words)
    state = session.state
    if state in _CLOSED:
        return {}
    found: dict[str, Meaning] = {name: Command(name) for name in _ANYWHERE}
    found["note"] = Note(words)
    if state in _STEPS:
        found |= {name: Command(name) for name in _AT_A_STEP}
    found |= {name: Answer(name) for name in _answers(desk, session)}
    if state is State.MEASURE:
        found |= {"same": Command("same"), "unstable": Command("unstable")}
        unit = desk.step(session).unit
        if unit is not None and unit.quantity != "resistance":
            found["zero"] = Reading(Decimal(0), unit)
    if state is State.LAMP:
        found |= {intent: Lamp(name) for intent, name in _LAMPS.items()}
    return found


def _answers(desk: Desk, session: Session) -> tuple[str, ...]:
    answers = _ANSWERS.get(session.state, ())
    if session.state is not State.ASK:
        return answers
    plain = {reply.name for reply in desk.step(session).replies if not reply.phrases}
    return tuple(name for name in answers if name in plain)
