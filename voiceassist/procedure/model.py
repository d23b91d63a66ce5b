"""A procedure as values. ``read.py`` makes them from YAML; nothing here knows of files."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit


class Signal(StrEnum):
    """Signal words of ANSI Z535.4, the gravest first.

    DANGER: will result in death or serious injury if not avoided. WARNING: could result in
    death or serious injury. CAUTION: could result in minor or moderate injury. NOTICE: no
    personal injury, damage to property.
    """

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"

    @property
    def must_be_acknowledged(self) -> bool:
        """True for the two that can kill or maim."""
        return self in {Signal.DANGER, Signal.WARNING}


class Kind(StrEnum):
    """What a step wants of the technician."""

    MEASURE = "measure"
    LAMP = "lamp"
    ASK = "ask"
    IDENTIFY = "identify"
    DO = "do"


#: Routes that are not the name of a lamp state or an answer.
PASS, LOW, HIGH, OVER, FAIL = "pass", "low", "high", "over", "fail"

LAMP_STATES = ("bright", "dim", "flickering", "off")

#: Answers that a file may call by these words, and what they are named inside.
ANSWERS = MappingProxyType({"yes": "affirm", "no": "negative"})


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, how grave it is, and how to avoid it."""

    name: str
    signal: Signal
    hazard: str
    avoid: str


@dataclass(frozen=True, slots=True)
class Need:
    """A state of the vehicle that a step needs, and the words that bring it about."""

    condition: str
    state: str
    instruction: str


@dataclass(frozen=True, slots=True)
class Point:
    """A test point: its spoken name and where it is."""

    name: str
    where: str


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer to an ASK step.

    Parts:
        name: "affirm", "negative" or the procedure's own name.
        phrases: ways to say it; empty for "affirm" and "negative", which every language has.
    """

    name: str
    phrases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, ask or measure.

    Parts:
        name: its name in the file.
        kind: what it wants.
        text: what to measure, look at, ask or do; for IDENTIFY "vin", "repair-order" or "odometer".
        needs: states of the vehicle, in the order they are brought about.
        cautions: spoken before anything else, the gravest first.
        points: test points its text mentions.
        how, why: spoken at the wanted level of detail, or when asked.
        limit: for MEASURE; None when the reading is only kept.
        unit: for MEASURE; taken when none is spoken.
        plausible: for MEASURE; readings outside are questioned; None when not told.
        bright_enough: for LAMP; the states that pass.
        replies: for ASK.
        routes: outcome (PASS, LOW, HIGH, OVER, FAIL, a lamp state or a reply's name) to the
            next step or finding.
        sets: states of the vehicle that hold once it is done.
    """

    name: str
    kind: Kind
    text: str
    needs: tuple[Need, ...] = ()
    cautions: tuple[Caution, ...] = ()
    points: tuple[Point, ...] = ()
    how: str = ""
    why: str = ""
    limit: LimitExpression | None = None
    unit: Unit | None = None
    plausible: tuple[Quantity, Quantity] | None = None
    bright_enough: tuple[str, ...] = ()
    replies: tuple[Reply, ...] = ()
    routes: Mapping[str, str] = field(default_factory=dict)
    sets: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """A cause the procedure can reach.

    Parts:
        cause: what is wrong.
        because: steps whose readings prove it.
        correction: what puts it right.
        before_fitting: steps to pass before a part is fitted.
        repair: repair steps, in order.
        prove_with: steps that must pass afterwards.
    """

    name: str
    cause: str
    correction: str
    because: tuple[str, ...] = ()
    before_fitting: tuple[str, ...] = ()
    repair: tuple[str, ...] = ()
    prove_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Procedure:
    """The written test for one complaint on one kind of circuit.

    Parts:
        name, title: in the file's words.
        subject: the vehicle and circuit it is for.
        steps: by name, in file order; the first is where a session begins.
        repairs: repair steps by name.
        findings: by name.
        source: where its limits come from.
    """

    name: str
    title: str
    subject: str
    steps: Mapping[str, Step]
    repairs: Mapping[str, Step]
    findings: Mapping[str, Finding]
    complaints: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    source: str = ""

    @property
    def first(self) -> str:
        """Name of the step a session begins with."""
        return next(iter(self.steps))

    def step(self, name: str) -> Step:
        """The step or repair step called ``name``; KeyError when there is none."""
        return self.steps[name] if name in self.steps else self.repairs[name]
