"""Going back, disregarding and skipping. The ledger keeps what was replaced."""

from voiceassist.procedure.model import Kind
from voiceassist.session.actions.enter import asked, enter, stand_again
from voiceassist.session.actions.finding import arrive, go_on
from voiceassist.session.copying import replace
from voiceassist.session.earlier import restore
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.outputs import Ask, FindingWithdrawn, Output, Say, StepSkipped, Withdrawn
from voiceassist.session.session import VALUE, Result, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.skipping import known_reason, way_on, why_not_skip
from voiceassist.session.states import State
from voiceassist.session.waits import waited

#: What one goes back over, when it was not meant.
_SKIPPED = "skipped"


def go_back(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Return to the step before; its result no longer counts."""
    if getattr(meaning_of(event), "about", "") == _SKIPPED and not _just_skipped(session):
        text = setup.book("nothing.skipped", prompt=asked(session))
        return Turn(session, (Say(step=session.step, text=text),))
    if session.before_correction is not None:
        return leave_as_it_was(setup, session, session.before_correction)
    if session.chosen:  # back to the order that was left
        in_order = replace(session, chosen="")
        return arrive(setup, in_order, session.left[0])
    if session.previous is None:
        return Turn(session, (Say(step=session.step, text=setup.book("nothing.back")),))
    target = _asked(setup, session.previous)
    earlier = restore(session, target)
    gone = session.ledger[len(target.ledger) :]
    withdrawn: list[Output] = [Withdrawn(step=r.step) for r in gone if not r.superseded]
    if session.finding and not earlier.finding:
        withdrawn.append(FindingWithdrawn(name=session.finding))
    return Turn(earlier, tuple(withdrawn)).then(enter(setup, earlier, earlier.step))


def _just_skipped(session: Session) -> bool:
    given = [r for r in session.ledger if not r.by_itself]
    return bool(given) and given[-1].outcome == _SKIPPED and not given[-1].superseded


def leave_as_it_was(setup: SessionSetup, session: Session, stood: Session) -> Turn:
    """Drop a correction: the old value counts, the vehicle is as it has become meanwhile."""
    kept = Say(step=stood.step, text=setup.book("revise.kept"))
    back = stood.keeping(session)
    return Turn(back, (kept,)).then(stand_again(setup, back))


def _asked(setup: SessionSetup, session: Session) -> Session:
    """The last session that waited for the technician: sums are passed through on the way."""
    while setup.step(session).kind is Kind.COMPUTE and session.previous is not None:
        session = session.previous
    return session


def disregard(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Forget what was said last, by its name; of what was said before that, nothing.

    A reading too close to tell never counted; it is forgotten, and no earlier one.
    """
    if session.correcting:
        return go_back(setup, session, event)
    if session.tries:
        forgotten = Say(step=session.step, text=setup.book("confirm.dropped"))
        before = replace(session, tries=session.tries - 1)
        return Turn(before, (forgotten,)).then(stand_again(setup, before))
    last = next((r for r in reversed(session.ledger) if not r.by_itself), None)
    if last is None or last.superseded:
        return Turn(session, (Say(step=session.step, text=setup.book("nothing.forget")),))
    if session.lately != VALUE:
        since = setup.book("nothing.since", step=spoken_name(last.step), shown=last.shown)
        return Turn(session, (Say(step=session.step, text=since),))
    text = setup.book("confirm.forgotten", step=spoken_name(last.step), shown=last.shown)
    forgotten = Say(step=session.step, text=text)
    return Turn(session, (forgotten,)).then(go_back(setup, session, event))


# --- skipping ---


def ask_skip(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Ask why the step is to be skipped, unless it cannot be, or the reason is known.

    Where a value is to be put right, the old one is kept.
    """
    if session.correcting:
        return go_back(setup, session, event)
    refusal = why_not_skip(setup, session)
    if refusal:
        return Turn(session, (Say(step=session.step, text=setup.book(refusal)),))
    known = known_reason(session)
    if known:
        return skipped(setup, session, known, setup.book.plain(f"skip.{known}"))
    reasons = setup.book.join("list.or", (c.phrases[0] for c in setup.book.reasons))
    ask = Ask(step=session.step, text=setup.book("skip.why", reasons=reasons))
    waiting = replace(session, state=State.SKIP, resume=session, prompt=(ask,))
    return Turn(waiting, (ask,))


def skip_because(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The reason was told."""
    name = getattr(meaning_of(event), "name", "")
    reason = next((c for c in setup.book.reasons if c.name == name), None)
    if reason is None:
        return Turn(session, session.prompt)
    return skipped(setup, session.at_step, reason.name, reason.phrases[0])


def skipped(setup: SessionSetup, at_step: Session, reason: str, phrase: str) -> Turn:
    """Leave the step out and go where it says, or as if it had passed; the record shows it."""
    step = setup.step(at_step)
    shown = setup.book.plain("outcome.skipped")
    again = bool(at_step.returning)
    result = Result(step.name, at_step.stage, None, "skipped", False, shown, by_itself=again)
    skip_said = StepSkipped(
        step=step.name, text=setup.book("skip.done", reason=phrase), reason=reason
    )
    before = at_step.previous if again else at_step
    taken = replace(at_step, ledger=(*at_step.ledger, result), previous=before)
    if step.kind is Kind.WAIT:
        taken = waited(setup, taken, step)
    passing = replace(result, passed=True)
    return Turn(taken, (skip_said,)).then(go_on(setup, taken, passing, way_on(setup, step)))
