"""A value that may be misheard: confirmed, replaced, chosen among several, or dropped."""

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Answer, Correction, Meaning, Reading
from voiceassist.measure.units import Unit
from voiceassist.session.actions.enter import as_made, not_expected, stand_again
from voiceassist.session.actions.facts import likelier_vin
from voiceassist.session.actions.forgotten import ask_forgotten, asked_about, may_be_forgotten
from voiceassist.session.actions.made_ready import what_comes_first
from voiceassist.session.actions.not_heard import say_it_again
from voiceassist.session.actions.revise import which_correction
from voiceassist.session.actions.slips import in_its_unit, units_meant
from voiceassist.session.actions.take import (
    accept,
    ask_among,
    ask_to_confirm,
    hardly_possible,
    judge_and_weigh,
    refuse,
    weigh,
)
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, is_certain, is_doubtful, meaning_of
from voiceassist.session.judge import fits, judge, passes
from voiceassist.session.judged import Judged
from voiceassist.session.likelier import can_be, possible_value
from voiceassist.session.naming import step_called
from voiceassist.session.on_range import all_on_the_range
from voiceassist.session.outputs import Ask, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show_critical
from voiceassist.session.states import ANSWERING, State


def confirm(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The waiting value was heard right."""
    return accept(setup, session.at_step, judge(setup, session.at_step, session.pending[0]))


def condition_was_right(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The condition was as it should be: the value is believed, once nothing else explains it."""
    judged = judge(setup, session.at_step, session.pending[0])
    assert judged.result is not None
    named = tuple(need.condition for need in asked_about(setup, session))
    vouched = (*session.vouched, *named)
    made = as_made(setup, session.at_step)
    told = replace(made.session, unsaid=made.session.unsaid - frozenset(named))
    needs = may_be_forgotten(setup, told, judged, vouched)
    if needs:
        following = ask_forgotten(setup, told, session.pending[0], needs, vouched)
    elif is_certain(event):
        following = accept(setup, told, judged)
    else:
        following = ask_to_confirm(setup, told, judged, "confirm.reading")
    return Turn(told, made.outputs).then(following)


def say_again_to_confirm(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The value was said again: the same twice is confirmed, another is asked about.

    The same heard doubtfully confirms nothing: two hearings of one number may err alike.
    """
    meaning = meaning_of(event)
    if not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    pending = session.pending[0]
    if same_value(setup, session, meaning, pending) or _number_again(meaning, pending):
        if is_doubtful(event):
            return say_it_again(setup, session, event)
        return confirm(setup, session, event)
    return _ask_about(setup, session, meaning, event)


def correct_pending(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Another value in place of the waiting one."""
    meaning = meaning_of(event)
    if not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    return _ask_about(setup, session, in_its_unit(meaning, session.pending[0]), event)


def correct_named_pending(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A value told for a step by its name: of that one in place of what waits, of no other."""
    assert isinstance(event, Heard)
    told = event.meanings[0]
    assert isinstance(told, Correction)
    named = step_called(setup.procedure, session, told.of)
    if named == session.step:
        return correct_pending(setup, session, event)
    stands = session.latest(named)
    if stands is None or stands.meaning != told.meaning:
        return not_expected(setup, session, event)
    agreed = Say(step=session.step, text=setup.book("inform.all_right"))
    return Turn(session, (agreed, *session.prompt))


def _ask_about(
    setup: SessionSetup,
    session: Session,
    meaning: Meaning,
    event: Event,
    key: str = "confirm.different",
) -> Turn:
    at_step = session.at_step
    if pointed := _pointed(meaning, session.pending[0]):
        return ask_among(setup, at_step, pointed, "confirm.which")
    if getattr(meaning, "unit", "") is None:
        meant = units_meant(setup, at_step, meaning)
        if len(meant) > 1:
            return ask_among(setup, at_step, meant, "confirm.which_unit")
        meaning = meant[0]
    judged = judge(setup, at_step, meaning)
    if judged.result is None:
        return refuse(session.undisturbed, judged)
    corrects = isinstance(event, Heard) and isinstance(event.meanings[0], Correction)
    if not corrects and _turns_another_step(setup, session, judged):
        key = "confirm.reading"
    elif is_certain(event) or (not is_doubtful(event) and _leads_alike(setup, session, judged)):
        return weigh(setup, at_step, meaning, event)
    elif is_doubtful(event) and hardly_possible(setup, at_step, judged.result):
        return say_it_again(setup, session, event)  # it was more likely misheard
    # Two hearings disagreed, or were doubtful, so even a passing value is asked about.
    return ask_to_confirm(setup, at_step, judged, key)


def _turns_another_step(setup: SessionSetup, session: Session, judged: Judged) -> bool:
    """Whether it is for an earlier step, and comes to something else than what waits for it.

    It may be of the step at hand, at which the leads are now.
    """
    if not (session.at_step.correcting and session.state is State.CONFIRM and judged.result):
        return False
    waiting = judge(setup, session.at_step, session.pending[0]).result
    return waiting is not None and waiting.outcome != judged.result.outcome


def _pointed(meaning: Meaning, pending: Meaning) -> tuple[Meaning, ...]:
    """A whole number with and without a point, where only that makes it like the one that waits.

    "Two four", told where 2.5 V waits, is 2.4 V or 24 V.
    """
    if not (isinstance(meaning, Reading) and isinstance(pending, Reading) and meaning.value):
        return ()
    whole, part = (reading.value.as_tuple().exponent == 0 for reading in (meaning, pending))
    one = replace(meaning, value=meaning.value.scaleb(-1), unit=meaning.unit or pending.unit)
    like = one.unit == pending.unit and 1 <= 2 * one.value / (pending.value or 1) <= 4
    return (one, replace(one, value=meaning.value)) if whole and not part and like else ()


def _leads_alike(setup: SessionSetup, session: Session, judged: Judged) -> bool:
    """Whether the value passes as all that was heard before: then it is only read back."""
    if judged.result is None or not judged.result.passed:
        return False
    before = [judge(setup, session.at_step, each) for each in session.pending]
    came_to = {(b.target, b.result.outcome if b.result is not None else "") for b in before}
    return came_to == {(judged.target, judged.result.outcome)}


def affirm_may_be_enough(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """One short word is too easily misheard to turn a verdict; typed, it is as good as two.

    But for a value that is hardly possible, for which he is to look once more.
    """
    result = judge(setup, session.at_step, session.pending[0]).result
    if is_certain(event) and result and not hardly_possible(setup, session.at_step, result):
        return confirm(setup, session, event)
    shown = show_critical(session.pending[0], setup.step(session), setup.book)
    ask = Ask(step=session.step, text=setup.book("confirm.more", shown=shown))
    return Turn(replace(session, prompt=(ask,)), (ask,))


def drop(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Forget what was waiting and ask for the step's answer again."""
    waiting = session.state in {State.CONFIRM, State.WHICH, State.FORGOTTEN}
    key = "confirm.dropped" if waiting else "inform.all_right"
    forgotten = Say(step=session.step, text=setup.book(key))
    stood = session.undisturbed.keeping(session)
    return Turn(stood, (forgotten,)).then(stand_again(setup, stood))


def made_as_asked(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The vehicle is told to be as it should be: the value that waits is to be read again."""
    again = Say(step=session.step, text=setup.book("forgotten.once_more"))
    made = as_made(setup, session.undisturbed.keeping(session), said=True)
    return Turn(made.session, (again, *made.outputs)).then(stand_again(setup, made.session))


def ask_which(setup: SessionSetup, session: Session, heard: Heard) -> Turn:
    """The words can mean several things: ask, unless only one of them fits here."""
    step = setup.step(session)
    told = [m for m in heard.meanings if isinstance(m, Correction)]
    corrected = [m.meaning for m in told]
    doubted = session.state in {State.CONFIRM, State.WHICH}
    only_corrected = len(corrected) == len(heard.meanings) and (session.resume is None or doubted)
    if only_corrected and not session.correcting and not doubted:
        asked = which_correction(setup, session, told)
        if asked is not None or told[0].of:  # never for another than the one that is named
            return asked or not_expected(setup, session, heard)
    said = corrected if only_corrected else heard.meanings
    here = [m for m in dict.fromkeys(said) if not isinstance(m, Correction) and fits(step, m)]
    fitting = can_be(setup, session.at_step, all_on_the_range(step, here))
    at_step = session.at_step
    if fitting and session.state in {State.CAUTION, State.CONDITION}:
        return Turn(session, (Say(step=step.name, text=what_comes_first(setup, session)),))
    if not fitting or at_step.state not in ANSWERING:
        return not_expected(setup, session, heard)
    one = fitting[0] if len(fitting) == 1 else likelier_vin(fitting)
    chosen = one or possible_value(setup, at_step, fitting, one=not is_doubtful(heard))
    again = session.at_step.correcting and session.state is State.CONFIRM
    if chosen is not None and doubted and (only_corrected or again):
        return _ask_about(setup, session, chosen, heard)
    if chosen is not None:
        return judge_and_weigh(setup, at_step, chosen, heard)
    words = not any(isinstance(m, Reading) for m in fitting)
    return ask_among(setup, at_step, fitting, "confirm.which_word" if words else "confirm.which")


def choose_which(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The value was said again: one of those asked about counts, another is asked about.

    Heard doubtfully once more, the likelier is asked about by itself: yes and no are heard better.
    The good answer to a question is taken when it was the likeliest both times.
    """
    assert isinstance(event, Heard)
    meaning = meaning_of(event)
    if not fits(setup.step(session), meaning):
        return not_expected(setup, session, event)
    if _only_units_differ(session.pending) and getattr(meaning, "unit", None) is None:
        return Turn(session, session.prompt)
    if any(same_value(setup, session, meaning, pending) for pending in session.pending):
        if is_doubtful(event) and _is_good_again(setup, session, meaning):
            return weigh(setup, session.at_step, meaning, replace(event, doubtful=False))
        if is_doubtful(event):
            return _ask_about(setup, session, meaning, event, "confirm.reading")
        return weigh(setup, session.at_step, meaning, replace(event, certain=True))
    return _ask_about(setup, session, meaning, event)


def _is_good_again(setup: SessionSetup, session: Session, meaning: Meaning) -> bool:
    step = setup.step(session)
    again = isinstance(meaning, Answer) and meaning == session.pending[0]
    return again and bool(step.good) and passes(setup, session.at_step, meaning)


def choose_answer(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes or no, where it was asked which of them was said; else no to what is asked about.

    One that would end in a finding is confirmed all the same.
    """
    if meaning_of(event) in session.pending and is_doubtful(event):
        return choose_which(setup, session, event)
    if meaning_of(event) in session.pending:
        return weigh(setup, session.at_step, meaning_of(event), event)
    if is_doubtful(event):
        return say_it_again(setup, session, event)
    no = meaning_of(event) == Answer("negative")
    return drop(setup, session, event) if no else not_expected(setup, session, event)


def _number_again(meaning: Meaning, pending: Meaning) -> bool:
    """The number that waits, said again without the unit that was settled for it."""
    if not (isinstance(meaning, Reading) and isinstance(pending, Reading)):
        return False
    return meaning.unit is None and meaning.value == pending.value


def _only_units_differ(pending: tuple[Meaning, ...]) -> bool:
    values = {m.value if isinstance(m, Reading) else None for m in pending}
    return len(pending) > 1 and len(values) == 1 and None not in values


def same_value(setup: SessionSetup, session: Session, one: Meaning, other: Meaning) -> bool:
    """Whether both come to the same at the step of ``session``."""
    if not (isinstance(one, Reading) and isinstance(other, Reading)):
        return one == other
    unit = setup.step(session).unit
    return _base(one, unit) == _base(other, unit)


def _base(reading: Reading, unit: Unit | None) -> tuple[object, object]:
    used = reading.unit or unit
    if used is None:
        raise MeasureError("a reading without a unit cannot be compared")
    return used.to_base(reading.value), used.quantity
