"""What the session is ready to hear next."""

from dataclasses import dataclass

from voiceassist.language.meanings import Meaning
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import QUANTITIES, Unit

#: What can be awaited: a value that is not a resistance, a resistance, a lamp state, an answer to
#: a question of the procedure or to one of our own, a change to the vehicle alone, such a change
#: alone or with a reading, the word that an earlier value be kept after all, a yes or no beside a
#: value, a caution to be understood, a doubtful value to be confirmed, the end of a wait, the end
#: of the job, the end of a pause.
AT = (
    "live",
    "ohms",
    "lamp",
    "ask",
    "offer",
    "change",
    "made",
    "kept",
    "meant",
    "caution",
    "confirm",
    "wait",
    "after",
    "paused",
)


@dataclass(frozen=True, slots=True)
class Choice:
    """An answer of a procedure's own.

    Parts:
        name: how the procedure calls it.
        phrases: the ways to say it, lower-case words.
    """

    name: str
    phrases: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the step can be answered with; commands and answers are always heard.

    Parts:
        quantities: kinds of reading it can take ("voltage"); empty for none.
        unit: the step's own unit, taken when none is spoken.
        lowest, highest: readings outside are not plausible here; they settle ambiguous phrases.
        lamp: a lamp state can be an answer.
        choices: the procedure's own answers.
        identifier: "vin", "repair-order" or "odometer" when one is asked for.
        at: what is awaited now, one of ``AT``, which tells what loose talk means; empty for
            what the rest tells.
        question: the words of a question or a warning, whose answers may be told in other words
            than yes or no.
        names: what earlier readings and test points are called.
        here: what the value that is awaited is called ("battery"), lower-case words.
        states: states of the vehicle, and ways to say them.
        causes: findings, and what each is called.
        steps: those that can be gone to by name.
        awaited: plain answers that are waited for ("done"); a reading is out of turn then,
            unless it is one that is to be confirmed ("affirm-reading").
        shown: what the instrument shows, where that is known, as in a rehearsal: empty while it
            shows nothing yet; None where nobody knows.
    """

    quantities: tuple[str, ...] = ()
    unit: Unit | None = None
    lowest: Quantity | None = None
    highest: Quantity | None = None
    lamp: bool = False
    choices: tuple[Choice, ...] = ()
    identifier: str = ""
    at: str = ""
    question: str = ""
    names: tuple[Choice, ...] = ()
    here: tuple[str, ...] = ()
    states: tuple[Choice, ...] = ()
    causes: tuple[Choice, ...] = ()
    steps: tuple[Choice, ...] = ()
    awaited: tuple[str, ...] = ()
    shown: tuple[Meaning, ...] | None = None

    @classmethod
    def anything(cls) -> "Expectation":
        """Every kind of reading, lamp state, command and answer."""
        return cls(quantities=tuple(QUANTITIES), lamp=True)
