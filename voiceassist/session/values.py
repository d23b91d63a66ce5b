"""What limits and formulas are computed from: facts of the job and readings that count."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, estimate_of
from voiceassist.procedure.model import Fact, Procedure, Step, WordFact, written
from voiceassist.session.session import Result, Session, SessionSetup


def estimates(setup: SessionSetup, session: Session, names: Iterable[str]) -> dict[str, Estimate]:
    """Those of ``names`` that are facts or readings that count, with the meter's doubt.

    A computed value is computed anew, so that doubt it shares with a reading stays shared.
    """
    given = facts(setup, session)
    found = {}
    for name in names:
        result = session.latest(name)
        if result is not None and result.quantity is not None:
            found[name] = _estimate(setup, session, result, result.quantity)
        elif name in given:
            found[name] = Estimate.exact(given[name])
    return found


def estimate(
    setup: SessionSetup, name: str, reading: Quantity, wander: Quantity | None = None
) -> Estimate:
    """A reading with the doubt of the technician's meter; ``name`` tells it from others."""
    if setup.meter is None:
        return Estimate.exact(reading)
    steps = setup.procedure.steps
    return setup.meter.estimate(name, reading, wander, steps[name].meter if name in steps else None)


def measured(
    setup: SessionSetup, step: Step, reading: Quantity, wander: Quantity | None = None
) -> Estimate:
    """The reading of a step with its doubt; the meter's own load made up for where it is known."""
    meter, source = setup.meter, step.source_resistance
    found = estimate(setup, step.name, reading, wander)
    if meter is None or source is None:
        return found
    return estimate_of(lambda values: meter.unloaded(values["it"], source), {"it": found})


def facts(setup: SessionSetup, session: Session) -> dict[str, Quantity]:
    """The values of the job that limits may use: those given, else those of the procedure."""
    said = dict(session.facts)
    found = {}
    for name, fact in setup.procedure.facts.items():
        value = fact_value(fact, said[name]) if name in said else fact.value
        if value is not None:
            found[name] = value
    return found


def words(setup: SessionSetup, session: Session) -> dict[str, str]:
    """The facts of words that are known: those given, those answered, else the procedure's."""
    said = dict(session.facts)
    found = {}
    for name, fact in setup.procedure.words.items():
        result = session.latest(name)
        given = word_named(fact, said.get(name, "")) or fact.value
        word = result.outcome if result is not None else given
        if word:
            found[name] = word
    return found


def word_named(fact: WordFact, text: str) -> str:
    """The name of the word that ``text`` is, or is a way to say; empty for none."""
    said = text.strip().casefold()
    named = (r.name for r in fact.replies if said in {written(r.name).casefold(), *r.phrases})
    return next(named, "")


def applies(setup: SessionSetup, session: Session, step: Step) -> bool:
    """Whether the step is for this vehicle, by what was answered."""
    known = words(setup, session)
    for name, answers in step.only_if:
        result = session.latest(name)
        answer = known.get(name) or (result.outcome if result is not None else "")
        if answer and answer not in answers:
            return False
    return True


def fact_value(fact: Fact, text: str) -> Quantity:
    """The value written as ``text``; a plain number is in the fact's own unit.

    Raises:
        MeasureError: it is no value of the fact's kind.
    """
    try:
        value = Quantity.parse(text)
    except MeasureError:
        value = Quantity.parse(f"{text} {fact.unit}")
    return value if value.unit == fact.unit else value.to(fact.unit)


def check_facts(procedure: Procedure, given: Mapping[str, str]) -> None:
    """Check the facts of a job that the procedure's limits use.

    Raises:
        MeasureError: one is no value of its kind, with what would do.
    """
    for name in procedure.facts.keys() & given.keys():
        fact = procedure.facts[name]
        try:
            value = fact_value(fact, given[name])
        except MeasureError:
            value = None
        if value is None or (value.value <= 0 and value.unit.quantity != "temperature"):
            raise MeasureError(
                f"{given[name]!r} is not a value for {name!r}, {fact.say}",
                remedy=f"write it like --set {name}='12 {fact.unit}'",
            )
    for name in procedure.words.keys() & given.keys():
        asked = procedure.words[name]
        if not word_named(asked, given[name]):
            raise MeasureError(
                f"{given[name]!r} is no answer for {name!r}, {asked.say}",
                remedy="write one of " + ", ".join(written(r.name) for r in asked.replies),
            )
    known = [*procedure.facts, *procedure.words]
    for name in given.keys() - set(known):
        near = get_close_matches(name, known, n=1, cutoff=0.8)
        if near:
            raise MeasureError(
                f"the procedure has no fact {name!r}", remedy=f"did you mean {near[0]!r}?"
            )


def _estimate(
    setup: SessionSetup, session: Session, result: Result, quantity: Quantity
) -> Estimate:
    step = setup.procedure.step(result.step)
    formula = step.formula
    if step.fact:  # a value from a label or a book, not read by the meter
        return Estimate.exact(quantity)
    if formula is None:
        return measured(setup, step, quantity, result.wander)
    parts = estimates(setup, session, formula.names)
    if formula.names - parts.keys():  # a part was withdrawn since; the value stands by itself
        return Estimate.exact(quantity)
    return estimate_of(formula.compute, parts)
