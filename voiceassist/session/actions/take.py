"""Answers to a step: confirmed when they may be misheard and matter, then taken."""

from collections.abc import Sequence
from dataclasses import replace

from voiceassist.errors import MeasureError
from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import (
    Answer,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.measure.units import Unit, units_of
from voiceassist.session.actions.enter import not_expected
from voiceassist.session.actions.finding import follow
from voiceassist.session.events import Event, Heard
from voiceassist.session.judge import Judged, fits, judge
from voiceassist.session.outputs import (
    Ask,
    ConditionChange,
    FactTaken,
    Output,
    ReadingTaken,
    Say,
    StepDone,
)
from voiceassist.session.session import Desk, Result, Session, Turn
from voiceassist.session.shown import show
from voiceassist.session.states import State

#: Steps of prefixes that are mistaken for each other differ by this power of ten.
_THOUSAND = 3


def meaning_of(event: Event) -> Meaning:
    """The one meaning of ``event``, out of its correction if it is one."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    return first.meaning if isinstance(first, Correction) else first


def take_reading(desk: Desk, session: Session, event: Event) -> Turn:
    """A reading was given."""
    meaning = meaning_of(event)
    if isinstance(meaning, Spread | Series):
        return Turn(session, (Say(step=session.step, text=desk.book("nothing.one_reading")),))
    if not isinstance(meaning, Reading) or not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    in_doubt = unit_in_doubt(desk, session, meaning)
    if in_doubt:
        return _ask_which(desk, session, in_doubt, "confirm.which_unit")
    return consider(desk, session, meaning, certain=_certain(event))


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
    return consider(desk, session, OverRange(), certain=_certain(event))


def take_lamp(desk: Desk, session: Session, event: Event) -> Turn:
    """A lamp state was given."""
    return consider(desk, session, meaning_of(event), certain=_certain(event))


def take_answer(desk: Desk, session: Session, event: Event) -> Turn:
    """A question was answered."""
    meaning = meaning_of(event)
    if not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    return consider(desk, session, meaning, certain=_certain(event))


def consider(
    desk: Desk, session: Session, meaning: Meaning, *, certain: bool, corrects: bool = False
) -> Turn:
    """Judge ``meaning``; take it, or ask first when it may be misheard and would matter."""
    judged = judge(desk, session, meaning)
    if judged.result is None:
        return _refuse(session, judged)
    if not certain and needs_confirming(desk, session, judged):
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
        text = desk.book(key, shown=result.shown, outcome=_outcome(desk, result))
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


def _refuse(session: Session, judged: Judged) -> Turn:
    """Say why a reading does not count, and wait for another."""
    assert judged.verdict is not None
    return Turn(session, (judged.verdict,))


def fact_taken(desk: Desk, session: Session, said: Identifier) -> FactTaken:
    """The fact in ``said``, read back, with a warning when its check digit does not fit."""
    name = desk.book.plain(f"identifier.{said.name}")
    text = desk.book("fact.taken", name=name, said=desk.book.say(said))
    doubtful = said.name == "vin" and not passes_check(said.text)
    warning = desk.book("fact.check_digit") if doubtful else ""
    return FactTaken(
        step=session.step,
        text=f"{text} {warning}".strip(),
        name=said.name.replace("-", " "),
        value=said.text,
        warning=warning,
    )


def take_fact(desk: Desk, session: Session, event: Event) -> Turn:
    """A fact of the job, said at some step: keep it, read it back, move nothing."""
    meaning = meaning_of(event)
    assert isinstance(meaning, Identifier)
    fact = fact_taken(desk, session, meaning)
    return Turn(session.with_fact(fact.name, fact.value), (fact,))


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


# --- while a value waits to be confirmed ---


def confirm(desk: Desk, session: Session, event: Event) -> Turn:
    """The waiting value was heard right."""
    judged = judge(desk, session.at_step, session.pending[0])
    return take(desk, session.at_step, judged, corrects=session.correcting)


def say_again_to_confirm(desk: Desk, session: Session, event: Event) -> Turn:
    """The value was said again: the same twice is confirmed, another is asked about."""
    meaning = meaning_of(event)
    if not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    if _same(desk, session, meaning, session.pending[0]):
        return confirm(desk, session, event)
    return _ask_about(desk, session, meaning, certain=_certain(event))


def correct_pending(desk: Desk, session: Session, event: Event) -> Turn:
    """Another value in place of the waiting one."""
    meaning = meaning_of(event)
    if not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    return _ask_about(desk, session, meaning, certain=_certain(event))


def _ask_about(desk: Desk, session: Session, meaning: Meaning, *, certain: bool) -> Turn:
    at_step = session.at_step
    judged = judge(desk, at_step, meaning)
    if judged.result is None:
        return _refuse(at_step, judged)
    if certain:
        return take(desk, at_step, judged, corrects=session.correcting)
    # Two hearings disagreed, so even a passing value is asked about.
    return ask_to_confirm(desk, at_step, judged, "confirm.different", corrects=session.correcting)


def affirm_is_not_enough(desk: Desk, session: Session, event: Event) -> Turn:
    """One short word is too easily misheard to turn a verdict."""
    shown = show(session.pending[0], desk.step(session), desk.book)
    ask = Ask(step=session.step, text=desk.book("confirm.more", shown=shown))
    return Turn(replace(session, prompt=(ask,)), (ask,))


def drop(desk: Desk, session: Session, event: Event) -> Turn:
    """Forget what was waiting and ask for the step's answer again."""
    forgotten = Say(step=session.step, text=desk.book("confirm.dropped"))
    return Turn(session.at_step, (forgotten, *session.at_step.prompt))


# --- several meanings ---


def ask_which(desk: Desk, session: Session, event: Event) -> Turn:
    """The words can mean several things: ask, unless only one of them fits here."""
    assert isinstance(event, Heard)
    step = desk.step(session)
    fitting = [m for m in event.meanings if not isinstance(m, Correction) and fits(step, m)]
    at_step = session.at_step
    if not fitting or at_step.state not in {State.MEASURE, State.LAMP, State.ASK}:
        return not_expected(desk, session, event)
    if len(fitting) == 1:
        return consider(desk, at_step, fitting[0], certain=event.certain)
    return _ask_which(desk, at_step, fitting, "confirm.which")


def _ask_which(desk: Desk, at_step: Session, fitting: Sequence[Meaning], key: str) -> Turn:
    step = desk.step(at_step)
    options = desk.book.join("list.or", (show(m, step, desk.book) for m in fitting))
    ask = Ask(step=step.name, text=desk.book(key, options=options))
    waiting = replace(
        at_step, state=State.WHICH, pending=tuple(fitting), resume=at_step, prompt=(ask,)
    )
    return Turn(waiting, (ask,))


def choose_which(desk: Desk, session: Session, event: Event) -> Turn:
    """The value was said again: one of those asked about counts, another is asked about."""
    meaning = meaning_of(event)
    if not fits(desk.step(session), meaning):
        return not_expected(desk, session, event)
    if any(_same(desk, session, meaning, pending) for pending in session.pending):
        return consider(desk, session.at_step, meaning, certain=True)
    return _ask_about(desk, session, meaning, certain=_certain(event))


def _same(desk: Desk, session: Session, one: Meaning, other: Meaning) -> bool:
    if not (isinstance(one, Reading) and isinstance(other, Reading)):
        return one == other
    unit = desk.step(session).unit
    return _base(one, unit) == _base(other, unit)


def _base(reading: Reading, unit: Unit | None) -> tuple[object, object]:
    used = reading.unit or unit
    if used is None:
        raise MeasureError("a reading without a unit cannot be compared")
    return reading.value.scaleb(used.exponent), used.quantity


def _certain(event: Event) -> bool:
    return isinstance(event, Heard) and event.certain
