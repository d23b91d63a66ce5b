"""A procedure as values. ``read.py`` makes them from YAML; nothing here knows of files."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.model import Circuit
from voiceassist.measure.expression import Expression, LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.table import LimitTable
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
    SWEEP = "sweep"
    COUNT = "count"
    LAMP = "lamp"
    ASK = "ask"
    IDENTIFY = "identify"
    COMPUTE = "compute"
    WAIT = "wait"
    DO = "do"


class SourceKind(StrEnum):
    """Where a limit comes from."""

    RULE = "general rule of thumb"
    STANDARD = "standard"
    MAKER = "maker's data"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a limit comes from; ``name`` is that of the standard or of the maker's document."""

    kind: SourceKind
    name: str = ""

    def __str__(self) -> str:
        return f"{self.kind.value} {self.name}".strip()


RULE_OF_THUMB = Source(SourceKind.RULE)


#: Routes that are not the name of a lamp state or an answer.
PASS, LOW, HIGH, OVER, FAIL = "pass", "low", "high", "over", "fail"

#: Routes of one who cannot tell, and of what is so at times only.
NOT_SURE, COMES_AND_GOES = "not-sure", "comes-and-goes"
IN_DOUBT = (NOT_SURE, COMES_AND_GOES)

LAMP_STATES = ("bright", "dim", "flickering", "off")

#: Between the task before a question and the question: "pull fuse two. Does it drop".
_SENTENCE_END = ". "

#: Value of ``Step.skip`` for a step that must not be skipped.
NEVER = "never"

#: Answers that a file may call by these words, and what they are named inside.
ANSWERS = MappingProxyType({"yes": "affirm", "no": "negative"})


def written(answer: str) -> str:
    """What a file calls the answer ``answer``."""
    return next((plain for plain, name in ANSWERS.items() if name == answer), answer)


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, how grave it is, and how to avoid it.

    Parts:
        only_authorised: only trained and authorised people may go on; others stop here.
        short: a few words that remind of it once it was said in full; empty for none.
        again_when: conditions with a state; it is told in full again when that comes about anew.
    """

    name: str
    signal: Signal
    hazard: str
    avoid: str
    only_authorised: bool = False
    short: str = ""
    again_when: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Hold:
    """How a state is held that holds only while one reads.

    Parts:
        most_s: seconds that it may be held at most; 0 when that is not told.
        let_go: the words that end it; empty when nothing is said.
        rest_s: seconds that it must rest afterwards; 0 for none.
    """

    most_s: int = 0
    let_go: str = ""
    rest_s: int = 0


@dataclass(frozen=True, slots=True)
class Need:
    """A state of the vehicle that a step needs, and the words that bring it about.

    Parts:
        hold: how it is held, where it holds only while one reads, as a key at start does.
    """

    condition: str
    state: str
    instruction: str
    hold: Hold | None = None

    @property
    def momentary(self) -> bool:
        """True when it holds only while one reads."""
        return self.hold is not None


@dataclass(frozen=True, slots=True)
class Wording:
    """What is said of a state of the vehicle; no part begins with a capital or ends with a mark.

    Parts:
        ask: "is the key in run".
        denied: "the key was not in run".
        holds: "the key is in run".
        how: how it is brought about, told when asked; empty where it was not told.
        why: why it is asked for, told to who asks what happens without; empty where not told.
    """

    ask: str
    denied: str
    holds: str
    how: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Lookalike:
    """What a reading looks like when a condition of its step was forgotten.

    Parts:
        need: the condition and the state it should be in.
        limit: readings within it look so.
    """

    need: Need
    limit: LimitExpression


@dataclass(frozen=True, slots=True)
class Fact:
    """A value of the job that limits may use.

    Parts:
        name: as limits call it.
        say: what it is, for the question.
        unit: its unit.
        value: given by the procedure; None when the technician is asked for it.
        source: where it comes from.
    """

    name: str
    say: str
    unit: Unit
    value: Quantity | None
    source: Source


@dataclass(frozen=True, slots=True)
class WordFact:
    """A fact of the job that is one of some words: the lamps, the gearbox, whether it has one.

    Parts:
        name: as tables and steps call it.
        say: the question for it.
        replies: its words.
        value: name of the word given by the procedure; empty when the technician is asked.
    """

    name: str
    say: str
    replies: tuple["Reply", ...]
    value: str = ""


@dataclass(frozen=True, slots=True)
class Point:
    """A test point.

    Parts:
        name: as it is spoken.
        where: where it is, in words.
        connector, pin: its connector, and the number or letters of its pin there; may be empty.
        colour: of its wire, in the letters of IEC 60757; empty when not told.
        size: cross-section of its wire, as written; empty when not told.
    """

    name: str
    where: str
    connector: str = ""
    pin: str = ""
    colour: str = ""
    size: str = ""


@dataclass(frozen=True, slots=True)
class Torque:
    """How tight a fastener is drawn; ``what`` is empty where the step has only one."""

    what: str
    limit: Limit


@dataclass(frozen=True, slots=True)
class Details:
    """What a step takes, beside its answer.

    Parts:
        effort_s: how long it takes who knows the vehicle, in seconds; None when not told.
        opens: what must be opened or taken off to get there.
        tools: beside the meter.
        parts: what is fitted or used up.
        torques: how tight its fasteners are drawn.
    """

    effort_s: int | None = None
    opens: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    torques: tuple[Torque, ...] = ()


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer to an ASK step.

    Parts:
        name: "affirm", "negative" or the procedure's own name.
        phrases: ways to say it; empty for "affirm" and "negative", which every language has.
        also: what may be said for one of these two at this question: "it's a diesel".
    """

    name: str
    phrases: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, ask or measure.

    Parts:
        name: its name in the file.
        kind: what it wants.
        text: what to measure, look at, ask or do; for IDENTIFY "vin", "repair-order" or
            "odometer"; for COMPUTE the formula as written.
        needs: states of the vehicle, in the order they are brought about.
        cautions: spoken before anything else, the gravest first.
        points: test points its text mentions.
        before: spoken ahead of the changes that its needs ask for.
        how, why: spoken at the wanted level of detail, or when asked.
        limit: for MEASURE, COUNT and COMPUTE; None when the reading is only kept.
        table: limits by a condition or an earlier reading, instead of ``limit``.
        sweep: for SWEEP; what its readings must do.
        formula: for COMPUTE.
        unit: for MEASURE, COUNT, SWEEP and COMPUTE; taken when none is spoken.
        plausible: readings outside are questioned; None when not told.
        steady: the most a wandering reading may span; None when not told.
        source: where the limit comes from.
        source_resistance: of what is measured, as the meter sees it; None when not known.
        lookalikes: readings that tell of a forgotten condition.
        when_close: what to do when a reading is too close to its limit to tell.
        wait_s: for WAIT, in seconds.
        settles_s: how long what is read takes to settle, in seconds.
        prompt_after_s: seconds without an answer after which it is said what is awaited; 0 for
            never, None for as long as the settings tell.
        fuse: rating of the fuse its text is about; its colour is told.
        picture: file name of a picture beside the procedure.
        bright_enough: for LAMP; the states that pass.
        replies: for ASK.
        good: for ASK; the answers that pass where the step proves something; empty for all.
        routes: outcome (PASS, LOW, HIGH, OVER, FAIL, a lamp state, a reply's name, NOT_SURE or
            COMES_AND_GOES) to the next step or finding.
        bands: limits of readings that fail, each by its words, which are a route of their own.
        skip: where to go when it is skipped; NEVER when it must not be; empty for as if passed.
        sets: states of the vehicle that hold once it is done.
        fact: it asks for this fact of the job; empty for all other steps.
        alike: numbers that sound alike lie either side of its limit, as fifteen and fifty.
        says: outcome to the words of its verdict, where it has its own.
        meter: the range to read on; of a current that flows through the meter, its socket too.
        voided_by: for WAIT; conditions whose change makes the wait void.
        details: what it takes: time, access, tools, parts and torque.
        origin: "file/step" of the used file that it was put in from; empty where it is its own.
        only_if: questions and facts of words, and the answers with which it is for this vehicle;
            with any other it is left out.
    """

    name: str
    kind: Kind
    text: str
    needs: tuple[Need, ...] = ()
    cautions: tuple[Caution, ...] = ()
    points: tuple[Point, ...] = ()
    before: str = ""
    how: str = ""
    why: str = ""
    limit: LimitExpression | None = None
    table: LimitTable | None = None
    sweep: SweepLimit | None = None
    formula: Expression | None = None
    unit: Unit | None = None
    plausible: tuple[Quantity, Quantity] | None = None
    steady: Quantity | None = None
    source: Source = RULE_OF_THUMB
    source_resistance: Quantity | None = None
    lookalikes: tuple[Lookalike, ...] = ()
    when_close: str = ""
    wait_s: int = 0
    settles_s: int = 0
    prompt_after_s: int | None = None
    fuse: Quantity | None = None
    picture: str = ""
    bright_enough: tuple[str, ...] = ()
    replies: tuple[Reply, ...] = ()
    good: tuple[str, ...] = ()
    routes: Mapping[str, str] = field(default_factory=dict)
    bands: Mapping[str, LimitExpression] = field(default_factory=dict)
    skip: str = ""
    sets: tuple[tuple[str, str], ...] = ()
    fact: str = ""
    alike: bool = False
    says: Mapping[str, str] = field(default_factory=dict)
    meter: Quantity | None = None
    voided_by: tuple[str, ...] = ()
    details: Details = Details()
    only_if: tuple[tuple[str, tuple[str, ...]], ...] = ()
    origin: str = ""

    @property
    def held(self) -> tuple[Need, ...]:
        """What it needs that holds only while one reads."""
        return tuple(need for need in self.needs if need.momentary)

    @property
    def task(self) -> str:
        """For ASK, what is to be done before its question can be answered; empty for nothing."""
        return self.text.rpartition(_SENTENCE_END)[0] if self.kind is Kind.ASK else ""

    @property
    def question(self) -> str:
        """For ASK, the question without the task before it."""
        return self.text.rpartition(_SENTENCE_END)[2]

    @property
    def names(self) -> frozenset[str]:
        """Earlier readings, conditions and facts that its limit or formula needs."""
        parts = (self.limit, self.table, self.sweep, self.formula)
        return frozenset().union(*(part.names for part in parts if part is not None))

    @property
    def values_used(self) -> frozenset[str]:
        """The same, and what tells how a failing reading leads on, or looks otherwise."""
        beside = (*(lookalike.limit for lookalike in self.lookalikes), *self.bands.values())
        return self.names.union(*(limit.names for limit in beside))

    def led(self, elsewhere: Mapping[str, str]) -> "Step":
        """The step with each route to a key of ``elsewhere`` led to its value."""
        routes = {outcome: elsewhere.get(target, target) for outcome, target in self.routes.items()}
        return replace(self, routes=routes, skip=elsewhere.get(self.skip, self.skip))


@dataclass(frozen=True, slots=True)
class Finding:
    """A cause the procedure can reach.

    Parts:
        cause: what is wrong.
        because: steps whose readings prove it.
        correction: what puts it right, as an order: "change the fan module".
        corrected: the same once done, for the report: "changed the fan module".
        condemns: the part that is condemned; empty when none is.
        proved_by: for a condemned part, what must have been proved good ("feed", "earth",
            "command") and the step that proves it.
        before_fitting: steps to pass before a part is fitted.
        repair: repair steps, in order.
        prove_with: steps that must pass afterwards.
        go_on: the step at which the diagnosis goes on once it is put right; empty when the job
            ends with it.
        no_fault: it blames nothing; ``cause`` tells what answers as it should.
    """

    name: str
    cause: str
    correction: str
    because: tuple[str, ...] = ()
    corrected: str = ""
    condemns: str = ""
    proved_by: tuple[tuple[str, str], ...] = ()
    before_fitting: tuple[str, ...] = ()
    repair: tuple[str, ...] = ()
    prove_with: tuple[str, ...] = ()
    go_on: str = ""
    no_fault: bool = False


@dataclass(frozen=True, slots=True)
class Procedure:
    """The written test for one complaint on one kind of circuit.

    Parts:
        name, title: in the file's words.
        subject: the vehicle and circuit it is for.
        steps: by name, in file order; the first is where a session begins.
        repairs: repair steps by name.
        findings: by name.
        facts: values of the job that limits use, by name.
        words: facts of the job that are one of some words, by name.
        conditions: condition and state to the words that bring it about.
        wordings: condition and state to what is said of it.
        at_rest: condition to the state that the vehicle is left in.
        before_changing: condition to the states that must hold while it is changed.
        source: where its limits come from when a step does not tell.
        circuit: model of the circuit under test; None when there is none.
        faults: what can be wrong with the circuit, by name.
    """

    name: str
    title: str
    subject: str
    steps: Mapping[str, Step]
    repairs: Mapping[str, Step]
    findings: Mapping[str, Finding]
    complaints: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    facts: Mapping[str, Fact] = field(default_factory=dict)
    words: Mapping[str, WordFact] = field(default_factory=dict)
    conditions: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    wordings: Mapping[str, Mapping[str, Wording]] = field(default_factory=dict)
    at_rest: Mapping[str, str] = field(default_factory=dict)
    before_changing: Mapping[str, tuple[Need, ...]] = field(default_factory=dict)
    source: Source = RULE_OF_THUMB
    circuit: Circuit | None = None
    faults: Mapping[str, CircuitFault] = field(default_factory=dict)

    @property
    def first(self) -> str:
        """Name of the step a session begins with."""
        return next(iter(self.steps))

    def step(self, name: str) -> Step:
        """The step or repair step called ``name``; KeyError when there is none."""
        return self.steps[name] if name in self.steps else self.repairs[name]
