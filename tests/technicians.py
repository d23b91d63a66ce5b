"""Five simulated technicians, who speak in words and make the slips that people make."""

import random
from collections.abc import Callable

from whole_jobs import KNOWN, Mender

from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Meaning, Reading
from voiceassist.procedure.model import Step
from voiceassist.prove.vehicle import Vehicle
from voiceassist.session.events import Heard, TimeUp
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: What somebody asks who likes to talk; none of it moves the job.
_ASKED = ("why", "tell me how", "what is the limit", "say again", "where am i", "how far")
_ASKED_AFTER = ("read back", "say again", "where am i")
_LEADS = ("", "it is ", "i get ", "it reads ", "i have got ", "that's ")
#: Here a value is asked for, or asked about.
_WEIGHING = frozenset({State.MEASURE, State.CONFIRM, State.WHICH})
_AT_A_STEP = frozenset({State.MEASURE, State.LAMP, State.ASK, State.CONDITION, State.DO})
_ANSWERED = frozenset({State.MEASURE, State.LAMP})


class Person:
    """A technician who says the plain thing and no more.

    Args:
        mender: knows what the vehicle shows, and does what is asked.
        language: has the words for it.
        rng: of this one job.
    """

    name = "brief"
    voice = ""

    def __init__(self, mender: Mender, language: Language, rng: random.Random) -> None:
        self.mender = mender
        self._language = language
        self._rng = rng
        self._next: list[str] = []
        self._step = ""

    @property
    def vehicle(self) -> Vehicle:
        return self.mender.vehicle

    def says(self, session: Session) -> str | TimeUp:
        """What is said next, in words; or the time that is over.

        What he was about to say is left unsaid where he is asked something else by then.
        """
        if self._next and session.step == self._step and session.state in _WEIGHING:
            return self._next.pop(0)
        self._next, self._step = [], session.step
        if session.state is State.WAIT:
            return TimeUp()
        event = self.mender.answer(session)
        assert isinstance(event, Heard)
        return self._worded(session, event.meanings[0])

    def _worded(self, session: Session, meaning: Meaning) -> str:
        choices = self.mender.choices(session)
        own = choices.get(meaning.name) if isinstance(meaning, Answer) else None
        return own or self._language.say(meaning)

    def _reading(self, session: Session, meaning: Meaning) -> Reading | None:
        """``meaning`` where it is the first answer of a measuring step."""
        first = session.state is State.MEASURE and not session.tries and not session.correcting
        return meaning if first and isinstance(meaning, Reading) else None


class Chatty(Person):
    """Asks and talks before every second answer."""

    name = "chatty"

    def says(self, session: Session) -> str | TimeUp:
        asks = not self._next and session.state in _AT_A_STEP and self._rng.random() < 0.5
        if asks:
            return self._rng.choice(_ASKED if session.state in _AT_A_STEP else _ASKED_AFTER)
        return super().says(session)

    def _worded(self, session: Session, meaning: Meaning) -> str:
        words = super()._worded(session, meaning)
        lead = self._rng.choice(_LEADS) if isinstance(meaning, Reading) else ""
        return lead + words


class Stammering(Person):
    """Breaks off and begins again with "no"; corrects values when the work has gone on."""

    name = "stammering"

    def _worded(self, session: Session, meaning: Meaning) -> str:
        words = super()._worded(session, meaning)
        reading = self._reading(session, meaning)
        chance = self._rng.random()
        if reading is None or chance > 0.5:
            return words
        if chance < 0.25:  # "twelve point ... no, twelve point five volts"
            self._next.append(f"no {words}")
            return "uh the the"
        return f"no {words}"


class Forgetful(Person):
    """Leaves out a change to the vehicle now and then, and looks when asked."""

    name = "forgetful"


class ForgetfulMender(Mender):
    """Leaves out a change that is asked for, one time in eight.

    What somebody says he has put back and has not, no voice can see: he puts back what he says
    "done" to.
    """

    rng: random.Random = random.Random(0)

    def _bring_about(self, session: Session) -> None:
        rest = self.setup.procedure.at_rest if session.state is State.CONDITION else {}
        asked = (o for o in session.prompt if isinstance(o, ConditionChange))
        changes = [o for o in asked if rest.get(o.name) != o.state]
        forgets = changes and session.state in KNOWN and self.rng.random() < 0.125
        left_out = self.rng.choice(changes).name if forgets else ""
        was = self.vehicle.conditions.get(left_out)
        super()._bring_about(session)
        if was is not None and session.state is not State.DO:
            self.vehicle.change(left_out, was)


class WrongHanded(Person):
    """Holds the leads the wrong way round one time in four, and swaps them when told."""

    name = "wrong-handed"

    def _worded(self, session: Session, meaning: Meaning) -> str:
        reading = self._reading(session, meaning)
        if reading is None or not _is_voltage(self.mender.step_of(session)):
            return super()._worded(session, meaning)
        if self._rng.random() < 0.25 and reading.value > 0:
            self._next.append(super()._worded(session, meaning))
            return "minus " + super()._worded(session, meaning)
        return super()._worded(session, meaning)


def _is_voltage(step: Step) -> bool:
    return step.unit is not None and step.unit.quantity == "voltage"


PEOPLE: tuple[type[Person], ...] = (Person, Chatty, Stammering, Forgetful, WrongHanded)
Make = Callable[..., Mender]


def maker_of(kind: type[Person], rng: random.Random) -> Make:
    """What makes the mender of this kind of person."""
    if kind is not Forgetful:
        return Mender

    def made(*parts: object) -> Mender:
        mender = ForgetfulMender(*parts)  # type: ignore[arg-type]
        mender.rng = rng
        return mender

    return made
