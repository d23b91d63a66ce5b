"""Answers to a step: confirmed when they may be misheard and matter, then taken."""

from collections.abc import Sequence
from dataclasses import replace

from voiceassist.language.meanings import (
    Answer,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.measure.units import units_of
from voiceassist.session.actions.enter import not_expected
from voiceassist.session.actions.facts import fact_taken
from voiceassist.session.actions.finding import follow
from voiceassist.session.events import Event, is_certain, meaning_of
from voiceassist.session.judge import Judged, fits, judge
from voiceassist.session.outputs import (
    Ask,
    ConditionChange,
    Output,
    ReadingTaken,
    Say,
    StepDone,
)
from voiceassist.session.session import Desk, Result, Session, Turn
from voiceassist.session.shown import show_critical
from voiceassist.session.states import State

#: Steps of prefixes that are mistaken for each other differ by this power of ten.
_THOUSAND = 3


def take_reading(desk: Desk, session: Session, event: Event) -> Turn:
    """A reading was given."""
    meaning = meaning_of(event)
    if isinstance(meaning, Spread | Series):
        return Turn(session, (Say(step=session.step, text=desk.book("nothing.one_reading")),))
    if not isinstance(meaning, Reading) or not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    return consider(desk, session, meaning, certain=is_certain(event))


def unit_in_doubt(desk: Desk, session: Session, reading: Reading) -> tuple[Reading, ...]:
    """The two readings that a number without a unit may be; none when its unit is plain.

    It is plain when the number passes in the step's own unit, or passes in no unit a
    thousand times larger or smaller: "fifty" where at most 100 mV pass is not plain. A meter
    chooses the prefix so that it shows 1 to 999, so other numbers are not taken to lack one.
    """
    own = desk.step(session).unit
    if reading.unit is not None or own is None or not 1 <= abs(reading.value) < 1000:
        return ()
    judged = judge(desk, session, reading)
    if judged.result is None or judged.result.passed:
        return ()
    for other in units_of(own.quantity):
        said = replace(reading, unit=other)
        if abs(other.exponent - own.exponent) == _THOUSAND:
            result = judge(desk, session, said).result
            if result is not None and result.passed:
                return (replace(reading, unit=own), said)
    return ()


def take_over_range(desk: Desk, session: Session, event: Event) -> Turn:
    """The meter shows over range."""
    return consider(desk, session, OverRange(), certain=is_certain(event))


def take_lamp(desk: Desk, session: Session, event: Event) -> Turn:
    """A lamp state was given."""
    return consider(desk, session, meaning_of(event), certain=is_certain(event))


def take_answer(desk: Desk, session: Session, event: Event) -> Turn:
    """A question was answered."""
    meaning = meaning_of(event)
    if not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    return consider(desk, session, meaning, certain=is_certain(event))


def consider(
    desk: Desk, session: Session, meaning: Meaning, *, certain: bool, corrects: bool = False
) -> Turn:
    """Judge ``meaning``; take it, or ask first when it may be misheard and would matter."""
    in_doubt = unit_in_doubt(desk, session, meaning) if isinstance(meaning, Reading) else ()
    if in_doubt:
        return ask_among(desk, session, in_doubt, "confirm.which_unit")
    judged = judge(desk, session, meaning)
    if judged.result is None:
        return refuse(session, judged)
    turns = corrects and _turns(session, judged)
    if not certain and (turns or needs_confirming(desk, session, judged)):
        return ask_to_confirm(desk, session, judged, "confirm.reading", corrects=corrects)
    return take(desk, session, judged, corrects=corrects)


def needs_confirming(desk: Desk, session: Session, judged: Judged) -> bool:
    """True when a misheard word here would change what comes next.

    A passing reading goes on without a question; anything that leaves the straight path is
    confirmed, and so is a reading outside what can occur at all.
    """
    result = judged.result
    assert result is not None
    if isinstance(result.meaning, Answer):
        return result.outcome not in {"affirm", "negative"}
    if isinstance(result.meaning, Identifier):
        return True
    return not result.passed or not _plausible(desk, session, result)


def _turns(session: Session, judged: Judged) -> bool:
    """True when a correction would lead elsewhere than the result it replaces."""
    assert judged.result is not None
    replaced = [r for r in session.ledger if r.step == judged.result.step]
    return not replaced or replaced[-1].outcome != judged.result.outcome


def _plausible(desk: Desk, session: Session, result: Result) -> bool:
    bounds = desk.step(session).plausible
    if bounds is None or result.quantity is None:
        return True
    return bounds[0] <= result.quantity <= bounds[1]


def ask_to_confirm(
    desk: Desk, session: Session, judged: Judged, key: str, *, corrects: bool
) -> Turn:
    """Ask whether the result was heard right."""
    result = judged.result
    assert result is not None
    assert result.meaning is not None
    if isinstance(result.meaning, Answer | Identifier):
        text = desk.book("confirm.choice", shown=result.shown)
    else:
        shown = show_critical(result.meaning, desk.step(session), desk.book)
        text = desk.book(key, shown=shown, outcome=_outcome(desk, result))
    ask = Ask(step=session.step, text=text)
    waiting = replace(
        session,
        state=State.CONFIRM,
        pending=(result.meaning,),
        correcting=corrects,
        resume=session.at_step,
        prompt=(ask,),
    )
    return Turn(waiting, (ask,))


def _outcome(desk: Desk, result: Result) -> str:
    if isinstance(result.meaning, Lamp):
        return desk.book.plain("outcome.pass" if result.passed else "outcome.lamp")
    return desk.book.plain(f"outcome.{result.outcome}")


def take(desk: Desk, session: Session, judged: Judged, *, corrects: bool = False) -> Turn:
    """Take the result into the ledger, say it and its verdict, and follow its route."""
    result = judged.result
    assert result is not None
    if isinstance(result.meaning, Identifier):
        fact = fact_taken(desk, session, result.meaning)
        spoken: list[Output] = [fact]
        session = session.with_fact(fact.name, fact.value)
    else:
        spoken = [_echo(desk, result, corrects=corrects)]
    if judged.verdict is not None:
        spoken.append(judged.verdict)
    taken = replace(
        session,
        ledger=(*session.ledger, result),
        before=session,
    )
    return Turn(taken, tuple(spoken)).then(follow(desk, taken, result, judged.target))


def _echo(desk: Desk, result: Result, *, corrects: bool) -> ReadingTaken:
    quantity = result.quantity
    key = "echo.correction" if corrects else "echo.reading"
    return ReadingTaken(
        step=result.step,
        text=desk.book(key, shown=result.shown),
        value=quantity.value if quantity else None,
        unit=str(quantity.unit) if quantity else "",
        name="" if quantity else result.outcome,
        corrects=corrects,
    )


def refuse(session: Session, judged: Judged) -> Turn:
    """Say why a reading does not count, and wait for another."""
    assert judged.verdict is not None
    return Turn(session, (judged.verdict,))


def work_done(desk: Desk, session: Session, event: Event) -> Turn:
    """A DO step is done; what it sets now holds."""
    step = desk.step(session)
    shown = desk.book.plain("outcome.done")
    result = Result(step.name, session.stage, meaning_of(event), "done", True, shown)
    given: list[Output] = [StepDone(step=step.name, task=step.text)]
    given += [
        ConditionChange(step=step.name, name=name, state=state, met=True)
        for name, state in step.sets
    ]
    taken = replace(
        session.with_conditions(step.sets), ledger=(*session.ledger, result), before=session
    )
    return Turn(taken, tuple(given)).then(follow(desk, taken, result, step.routes["pass"]))


def ask_among(desk: Desk, at_step: Session, fitting: Sequence[Meaning], key: str) -> Turn:
    """Ask which of several meanings was meant."""
    step = desk.step(at_step)
    options = desk.book.join("list.or", (show_critical(m, step, desk.book) for m in fitting))
    ask = Ask(step=step.name, text=desk.book(key, options=options))
    waiting = replace(
        at_step, state=State.WHICH, pending=tuple(fitting), resume=at_step, prompt=(ask,)
    )
    return Turn(waiting, (ask,))
