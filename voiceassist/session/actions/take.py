"""Taking a value that was given: asked about first when it would matter, then judged and taken."""

from collections.abc import Sequence

from voiceassist.language.meanings import (
    Answer,
    Command,
    CommandName,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.procedure.model import OVER, Step
from voiceassist.session.actions.enter import as_made, clamped, not_expected
from voiceassist.session.actions.facts import fact_taken, take_fact
from voiceassist.session.actions.finding import follow
from voiceassist.session.actions.forgotten import ask_forgotten, ask_load, may_be_forgotten
from voiceassist.session.actions.polarity import ask_to_swap, leads_reversed
from voiceassist.session.actions.rejudge import carry_on
from voiceassist.session.actions.slips import points_meant, units_meant
from voiceassist.session.copying import replace
from voiceassist.session.events import (
    Event,
    is_certain,
    is_doubtful,
    is_sure,
    is_vetted,
    meaning_of,
)
from voiceassist.session.flowing import seems_unloaded
from voiceassist.session.judge import fits, judge
from voiceassist.session.judged import Judged
from voiceassist.session.lessons import teach_digits
from voiceassist.session.long_numbers import is_longer_than_shown
from voiceassist.session.outputs import Ask, FactTaken, Output, ReadingTaken, Say
from voiceassist.session.own_words import own_words
from voiceassist.session.possible import has_no_contact, possible
from voiceassist.session.said_again import is_unsettled, said_again
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import show_critical, sounds_like_another, spoken_name
from voiceassist.session.spans import show_time
from voiceassist.session.states import State


def take_reading(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A reading was given."""
    meaning = meaning_of(event)
    if isinstance(meaning, Series):
        return Turn(session, (Say(step=session.step, text=setup.book("nothing.one_reading")),))
    if not isinstance(meaning, Reading | Spread) or not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    return said_again(setup, session, meaning, event) or judge_and_weigh(
        setup, session, meaning, event
    )


def take_again(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Asked whether something was forgotten, the technician puts it right and reads again."""
    meaning = meaning_of(event)
    if not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    return judge_and_weigh(setup, session.at_step, meaning, event)


def take_over_range(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The meter shows over range."""
    meaning = OverRange()
    return said_again(setup, session, meaning, event) or judge_and_weigh(
        setup, session, meaning, event
    )


def take_lamp(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A lamp state was given."""
    meaning = meaning_of(event)
    return said_again(setup, session, meaning, event) or judge_and_weigh(
        setup, session, meaning, event
    )


def take_answer(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A question was answered; a number of the job that was not asked for is kept all the same."""
    meaning = meaning_of(event)
    if isinstance(meaning, Identifier) and not fits(setup.step(session), meaning):
        return take_fact(setup, session, event)
    if not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    return judge_and_weigh(setup, session, meaning, event)


def take_doubt(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """One cannot tell, or it comes and goes: where the step leads then, else to look again.

    A test lamp that comes and goes flickers.
    """
    meaning = meaning_of(event)
    if fits(setup.step(session), meaning):
        return judge_and_weigh(setup, session, meaning, event)
    if meaning == Command(CommandName.COMES_AND_GOES) and session.state is State.LAMP:
        return judge_and_weigh(setup, session, Lamp("flickering"), event)
    name = getattr(meaning, "name", "")
    return Turn(session, (Say(step=session.step, text=setup.book(f"reply.{name}")),))


def judge_and_weigh(setup: SessionSetup, session: Session, meaning: Meaning, event: Event) -> Turn:
    """Judge ``meaning`` of ``event``; accept it, or ask first when it may be wrong and matters."""
    pointed = points_meant(setup, session, meaning)
    if len(pointed) > 1:
        return ask_among(setup, session, pointed, "confirm.which")
    judged = judge(setup, session, meaning)
    meant = units_meant(setup, session, meaning, judged)
    if len(meant) > 1:
        return ask_among(setup, session, meant, "confirm.which_unit")
    if meant[0] is meaning:
        return _weigh(setup, session, judged, meaning, event)
    return weigh(setup, session, meant[0], event)


def weigh(setup: SessionSetup, session: Session, meaning: Meaning, event: Event) -> Turn:
    """As ``judge_and_weigh``, for a value whose unit is settled."""
    return _weigh(setup, session, judge(setup, session, meaning), meaning, event)


def _weigh(
    setup: SessionSetup, session: Session, judged: Judged, meaning: Meaning, event: Event
) -> Turn:
    result = judged.result
    if result is None:
        made = as_made(setup, session)
        return Turn(made.session, made.outputs).then(refuse(made.session, judged))
    reversed_ = leads_reversed(setup, session, result)
    if reversed_ and not session.swapped:
        made = as_made(setup, session)
        return Turn(made.session, made.outputs).then(ask_to_swap(setup, made.session, result))
    needs = () if reversed_ else may_be_forgotten(setup, session, judged)
    if needs:
        return ask_forgotten(setup, session, meaning, needs)
    if seems_unloaded(setup, session, result):
        return ask_load(setup, session, meaning, result)
    key = _doubt(setup, session, judged, event)
    if key == "confirm.reading" and _stands(setup, session, judged, event):
        judged = replace(judged, result=replace(result, unconfirmed=True))
    elif key:
        return ask_to_confirm(setup, session, judged, key)
    return accept(setup, session, judged, in_digits=not is_certain(event))


def _doubt(setup: SessionSetup, session: Session, judged: Judged, event: Event) -> str:
    """Key of the question due before the result is taken; empty when it is to be taken."""
    result = judged.result
    assert result is not None
    if _has_no_contact(setup, session, result):
        return "confirm.no_contact"
    if hardly_possible(setup, session, result):
        return "confirm.implausible"
    if is_unsettled(setup, result, event):
        return "confirm.soon"
    if isinstance(result.meaning, OverRange) and OVER not in setup.step(session).routes:
        return "confirm.over"
    turns = session.correcting and _turns(session, judged)
    long = result.meaning is not None and is_longer_than_shown(session, result.meaning)
    matters = turns or long or needs_confirming(setup, judged, vetted=is_vetted(event))
    in_doubt = is_doubtful(event) or matters
    return "confirm.reading" if in_doubt and not is_certain(event) else ""


def _stands(setup: SessionSetup, session: Session, judged: Judged, event: Event) -> bool:
    """True when a result was heard beyond doubt and another test still comes.

    Its echo and its verdict can be contradicted, and the finding that rests on it names it. One
    that was told to put right what was misheard is asked about where it turns the verdict.
    """
    said = judged.result.meaning if judged.result is not None else None
    ends = judged.target in setup.procedure.findings
    spelled = isinstance(said, Identifier)
    long = said is not None and is_longer_than_shown(session, said)
    turns = session.correcting and _turns(session, judged)
    return is_sure(event) and not (is_doubtful(event) or ends or spelled or long or turns)


def hardly_possible(setup: SessionSetup, session: Session, result: Result) -> bool:
    """True for a result that the step rules out."""
    if result.quantity is None:
        return False
    likely = possible(setup, session, setup.step(session), result.quantity)
    doubted = _has_no_contact(setup, session, result) or leads_reversed(setup, session, result)
    return not likely or doubted


def _has_no_contact(setup: SessionSetup, session: Session, result: Result) -> bool:
    step, value = setup.step(session), result.quantity
    return value is not None and has_no_contact(setup, session, step, value)


def needs_confirming(setup: SessionSetup, judged: Judged, *, vetted: bool = False) -> bool:
    """True when a misheard word here would change what comes next.

    A passing reading goes on without a question; anything that leaves the straight path is to be
    confirmed, and so is a passing one that sounds like a number on the other side of the limit,
    unless it is ``vetted``: no number that sounds like it can be meant and leads elsewhere.
    """
    result = judged.result
    assert result is not None
    if isinstance(result.meaning, Command):
        return False  # no number to mishear, and it proves nothing
    if isinstance(result.meaning, Reading) and setup.procedure.step(result.step).alike:
        unsure = not vetted and sounds_like_another(result.meaning.value)
        return not result.passed or unsure
    if isinstance(result.meaning, Answer):
        plain = result.outcome in {"affirm", "negative"}
        proves = result.stage is Stage.PROVE and result.passed  # which leads to no finding
        return not plain or (judged.target in setup.procedure.findings and not proves)
    return isinstance(result.meaning, Identifier) or not result.passed


def _turns(session: Session, judged: Judged) -> bool:
    """True when a correction would lead elsewhere than the result it replaces."""
    assert judged.result is not None
    replaced = [r for r in session.ledger if r.step == judged.result.step]
    return not replaced or replaced[-1].outcome != judged.result.outcome


def ask_to_confirm(setup: SessionSetup, session: Session, judged: Judged, key: str) -> Turn:
    """Ask whether the result was heard, or read, right."""
    result = judged.result
    assert result is not None
    assert result.meaning is not None
    step = setup.step(session)
    if isinstance(result.meaning, Answer | Identifier):
        text = setup.book("confirm.choice", shown=result.shown)
    else:
        shown = _of_its_step(setup, session, show_critical(result.meaning, step, setup.book))
        own = own_words(step, result.outcome) if key == "confirm.reading" else ""
        key = "confirm.own" if own else key
        time = show_time(setup, step.settles_s)
        text = setup.book(key, shown=shown, outcome=_outcome(setup, result), own=own, time=time)
    ask = Ask(step=session.step, text=text)
    at_step, said = teach_digits(setup, session.at_step, ask, (result.meaning,))
    waiting = replace(
        session,
        state=State.CONFIRM,
        pending=(result.meaning,),
        resume=at_step,
        explained=at_step.explained,
        prompt=(ask,),
    )
    return Turn(waiting, (said,))


def _of_its_step(setup: SessionSetup, session: Session, shown: str) -> str:
    """What is to replace an earlier result is told with the name of its step."""
    if not session.correcting:
        return shown
    return setup.book.plain("revise.at", step=spoken_name(session.step), shown=shown)


def _outcome(setup: SessionSetup, result: Result) -> str:
    if isinstance(result.meaning, Lamp):
        return setup.book.plain("outcome.pass" if result.passed else "outcome.lamp")
    return setup.book.plain(f"outcome.{result.outcome}")


def accept(
    setup: SessionSetup, session: Session, judged: Judged, *, in_digits: bool = False
) -> Turn:
    """Take the result, say it and its verdict, and follow its route.

    Read back ``in_digits`` too, a number that sounds like another stands unless contradicted.
    When it corrects an earlier one, all that came after that is judged again.
    """
    settled = enter_in_ledger(setup, session, judged, in_digits=in_digits)
    assert judged.result is not None
    if session.correcting and session.before_correction is not None:
        return carry_on(setup, session.before_correction, settled, judged)
    return settled.then(follow(setup, settled.session, judged.result, judged.target))


def enter_in_ledger(
    setup: SessionSetup, session: Session, judged: Judged, *, in_digits: bool = False
) -> Turn:
    """The result in the ledger, its echo and its verdict; going nowhere yet.

    Changes that were asked for together with it count as made.
    """
    result = judged.result
    assert result is not None
    step = setup.step(session)
    made = as_made(setup, session)
    around = clamped(setup, made.session)
    session = _shown_as_made(around.session, step, result)
    spoken: list[Output] = [*made.outputs, *around.outputs]
    if isinstance(result.meaning, Identifier):
        fact = fact_taken(setup, session, result.meaning)
        spoken.append(fact)
        session = session.with_fact(fact.name, fact.value)
    else:
        key = (
            "correction"
            if session.correcting
            else "reading"
            if judged.verdict or not result.quantity
            else "kept"
        )
        shown = result.shown
        if in_digits and isinstance(result.meaning, Reading):
            shown = show_critical(result.meaning, step, setup.book)
        spoken.append(_echo(setup, result, key, shown, corrects=session.correcting))
    if judged.verdict is not None:
        spoken.append(judged.verdict)
    elif own := own_words(step, result.outcome):
        spoken.append(Say(step=step.name, text=own))
    if step.fact:
        spoken.append(FactTaken(step=step.name, name=step.fact, value=result.shown))
    under = (
        session.holding(step)
        if session.corrected_conditions is None
        else session.corrected_conditions
    )
    kept = replace(result, conditions=under)
    session = session.practise("reading") if result.quantity else session
    taken = replace(session, ledger=(*session.ledger, kept), previous=session)
    return Turn(taken, tuple(spoken))


def _shown_as_made(session: Session, step: Step, result: Result) -> Session:
    """A reading that passes shows what it would have looked otherwise without."""
    if not result.passed:
        return session
    return replace(session, unsaid=session.unsaid - {x.need.condition for x in step.lookalikes})


def _echo(
    setup: SessionSetup, result: Result, key: str, shown: str, *, corrects: bool
) -> ReadingTaken:
    said = result.meaning if isinstance(result.meaning, Reading) else None
    quantity = result.quantity
    return ReadingTaken(
        step=result.step,
        text=setup.book(f"echo.{key}", shown=shown, step=spoken_name(result.step)),
        shown=result.shown,
        value=said.value if said else quantity.value if quantity else None,
        unit=str((said.unit if said else None) or quantity.unit) if quantity else "",
        name="" if quantity else result.outcome,
        corrects=corrects,
    )


def refuse(session: Session, judged: Judged) -> Turn:
    """Say why a reading does not count, and wait for another."""
    assert judged.verdict is not None
    tries = session.tries + judged.too_close
    points = () if judged.too_close else session.points
    return Turn(replace(session, tries=tries, points=points), (judged.verdict,))


def ask_among(setup: SessionSetup, at_step: Session, fitting: Sequence[Meaning], key: str) -> Turn:
    """Ask which of several meanings was meant."""
    step = setup.step(at_step)
    options = setup.book.join("list.or", (show_critical(m, step, setup.book) for m in fitting))
    ask = Ask(step=step.name, text=setup.book(key, options=options))
    at_step, said = teach_digits(setup, at_step, ask, fitting)
    waiting = replace(
        at_step, state=State.WHICH, pending=tuple(fitting), resume=at_step, prompt=(ask,)
    )
    return Turn(waiting, (said,))
