"""Sessions that stand where phrases are said: real procedures, grammar and engine."""

from dataclasses import dataclass
from functools import cache

from voiceassist.app import build
from voiceassist.app.live.guessing import with_guess
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.model import Kind
from voiceassist.session.actions.enter import unmade
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard, TimeUp
from voiceassist.session.outputs import Listen
from voiceassist.session.session import Detail, Session, SessionSetup, Turn
from voiceassist.session.states import State

#: What the technician reads at each step, on his way to where a phrase is said.
_READ = {
    "heater-fan-module": {
        "battery": "twelve point six volts",
        "feed": "twelve point five volts",
        "earth-drop": "point zero two volts",
        "command-slow": "eight point four volts",
        "command-fast": "two point five volts",
        "motor-slow": "twelve point three volts",
        "motor-fast": "twelve point three volts",
        "motor-current": "six amps",
        "supply-drop": "twelve point three volts",
    },
    "key-off-draw": {
        "battery": "twelve point six volts",
        "minus-joint": "point zero two volts",
        "rough-draw": "point four amps",
        "draw": "four hundred milliamps",
        "without-one": "four hundred milliamps",
    },
    "can-termination": {
        "battery": "twelve point six volts",
    },
}
_MOST_TURNS = 60


@dataclass(frozen=True, slots=True)
class Place:
    """Where a phrase is said.

    Parts:
        procedure: followed there.
        step: stood at; empty for any.
        state: of the session.
        detail: spoken at.
        unsure: said there at last, as a listener that is not certain of it hears it.
    """

    procedure: str
    step: str
    state: State
    detail: Detail = Detail.NORMAL
    unsure: str = ""


FAN, DRAW, CAN = "heater-fan-module", "key-off-draw", "can-termination"
PLACES = {
    "volts": Place(FAN, "feed", State.MEASURE),
    "drop": Place(FAN, "earth-drop", State.MEASURE),
    "amps": Place(DRAW, "draw", State.MEASURE),
    "fuse-pull": Place(DRAW, "without-two", State.MEASURE),
    "ohms": Place(CAN, "line", State.MEASURE),
    "lamp": Place(FAN, "feed-lamp", State.LAMP),
    "change": Place(FAN, "feed", State.CONDITION, Detail.TEACHING),
    "caution": Place(FAN, "feed", State.CAUTION),
    "question": Place(FAN, "turns-freely", State.ASK),
    "offer": Place(FAN, "", State.OFFER),
    "repair": Place(FAN, "take-out", State.DO),
    "after": Place(FAN, "", State.AFTER),
    "confirm": Place(FAN, "feed", State.CONFIRM, unsure="two point five volts"),
    "wait": Place(DRAW, "sleep", State.WAIT),
}


class Talker:
    """One procedure with its engine and language: words in, turns out."""

    def __init__(self, procedure: str, detail: Detail = Detail.NORMAL) -> None:
        shop = build.Components(build.settings({}))
        self.language = shop.language
        self.guesser = shop.guesser
        self.engine = Engine(SessionSetup(build.procedure(procedure).procedure, shop.book, detail))
        self._read = _READ.get(procedure, {})
        self._composed: dict[Expectation, StepGrammar] = {}

    def begin(self) -> Turn:
        return self.engine.handle(Session(), Begin())

    def grammar(self, turn: Turn) -> StepGrammar:
        listen = turn.outputs[-1]
        assert isinstance(listen, Listen)
        expected = listen.expectation
        if expected not in self._composed:
            self._composed[expected] = self.language.compose(expected)
        return self._composed[expected]

    def event(self, turn: Turn, words: str, *, certain: bool = True) -> Heard:
        grammar = self.grammar(turn)
        found = grammar.parse(words)
        event = Heard(words, found.meanings, certain, found.reason)
        setup = self.engine.at(turn.session)
        return with_guess(event, grammar, setup, turn.session, self.guesser)

    def say(self, turn: Turn, words: str, *, certain: bool = True) -> Turn:
        return self.engine.handle(turn.session, self.event(turn, words, certain=certain))

    def wait(self, turn: Turn) -> Turn:
        """After the time of a wait."""
        wait_s = self.engine.setup.step(turn.session).wait_s
        return self.engine.handle(turn.session, TimeUp(turn.session.now_s + wait_s))

    def to(self, place: Place) -> Turn:
        """Answer as one does whose fan module is bad, until the session stands at ``place``."""
        turn = self.begin()
        for _ in range(_MOST_TURNS):
            if self._stands(turn.session, place):
                return turn
            no = place.state is State.AFTER and turn.session.state is State.OFFER
            event = self.event(turn, "negative") if no else self._next(turn)
            turn = self.engine.handle(turn.session, event)
        raise AssertionError(f"never came to {place}; stands at {turn.session.step}")

    def _stands(self, session: Session, place: Place) -> bool:
        wanted = State.MEASURE if place.unsure else place.state
        here = session.state is wanted and place.step in ("", session.step)
        return here and (wanted is State.DO or not unmade(self.engine.setup, session))

    def _next(self, turn: Turn) -> Event:
        session = turn.session
        setup = self.engine.setup
        if session.state is State.WAIT:
            return TimeUp(session.now_s + setup.step(session).wait_s)
        if session.state in {State.CONDITION, State.DO} or unmade(setup, session):
            return self.event(turn, "done")
        if session.state is State.LAMP:
            return self.event(turn, "bright")
        if session.state is State.ASK and setup.step(session).good == ("negative",):
            return self.event(turn, "negative")
        if session.state is State.MEASURE and session.step in self._read:
            return self.event(turn, self._read[session.step])
        return self.event(turn, "affirm")


def after(one: Talker, *lines: str) -> Turn:
    """The turn to which ``lines`` lead from the beginning."""
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return turn


def spoken(turn: Turn) -> str:
    """All that it says, in one line."""
    return " ".join(output.text for output in turn.outputs if output.text)


@cache
def talker(procedure: str, detail: Detail) -> Talker:
    return Talker(procedure, detail)


@cache
def standing_at(situation: str) -> tuple[Talker, Turn]:
    """A talker, and the turn after which it waits for the phrase."""
    place = PLACES[situation]
    one = talker(place.procedure, place.detail)
    turn = one.to(place)
    if place.unsure:
        turn = one.say(turn, place.unsure, certain=False)
        assert turn.session.state is place.state
        assert isinstance(turn.session.pending[0], Reading)
    return one, turn


def is_measured(situation: str) -> bool:
    """Whether a value is awaited there."""
    one, turn = standing_at(situation)
    return one.engine.setup.step(turn.session).kind is Kind.MEASURE
