"""Questions at the finding, its offer and after it: they speak of what was just told."""

from voiceassist.procedure.model import PASS, Finding
from voiceassist.session.actions.inform import (
    FIXED,
    caution_explained,
    explained,
    reason_told,
    told_limit,
    told_to_come,
)
from voiceassist.session.actions.needed import without_it
from voiceassist.session.actions.not_heard import tell
from voiceassist.session.closing import because_lines
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, about_of
from voiceassist.session.outputs import Ask, CautionSpoken, Say
from voiceassist.session.own_words import own_words
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State
from voiceassist.session.to_come import of_steps
from voiceassist.session.warning import in_full
from voiceassist.session.worded import meanings

#: What a question is about that is asked of the value just given, or of the danger.
GIVEN, WORST = "given", "worst"
#: Sentences for who asks, once all is told, whether it is mended; by what the job came to.
_MENDED = frozenset({"repaired", "not_proved", "repair_done", "found", "unproved", "retry"})


def _finding(setup: SessionSetup, session: Session) -> Finding | None:
    return setup.procedure.findings.get(session.finding)


def why_found(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The readings that prove the finding; of a state or the battery, what its repair asks for."""
    finding = _finding(setup, session)
    if finding is not None and finding.repair:
        at_work = replace(session, step=finding.repair[0], state=State.DO)
        if needed := without_it(setup, at_work, event):
            return Turn(session, needed.outputs)
    because = because_lines(session, finding) if finding is not None else ()
    if not because:
        return tell(setup, session, "inform.no_why")
    return tell(setup, session, "finding.because", readings=". ".join(because))


def explain_found(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The finding, what proves it, and what puts it right; for the worst, the cautions told."""
    warned = tuple(o for o in session.prompt if isinstance(o, CautionSpoken))
    if about_of(event) == WORST and warned:
        return Turn(session, warned)
    finding = _finding(setup, session)
    if finding is None:
        return tell(setup, session, "inform.no_more")
    cause = Say(step=session.step, text=setup.book("finding.cause", cause=finding.cause))
    todo = setup.book("finding.correction", correction=finding.correction)
    because = why_found(setup, session, event).outputs
    return Turn(session, (cause, *because, Say(step=session.step, text=todo)))


def explain_asked(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """All of the step; of a value just found bad, what it should be and why it was read.

    Asked what a value would mean, that alone, and for the worst that can happen, the cautions.
    """
    needed = without_it(setup, session, event)
    if needed is not None:
        return needed
    last = _last(session) if about_of(event) == GIVEN and session.lately else None
    if last is not None and last.limit and not last.passed:
        reason = setup.procedure.step(last.step).why
        why_read = (Say(step=last.step, text=setup.book("inform.why", why=reason)),)
        return limit_of_last(setup, session, event).add(*(why_read if reason else ()))
    if session.state is State.CAUTION:
        return caution_explained(setup, session)
    step = setup.step(session)
    if about_of(event) == WORST:
        warned = in_full(setup, session, step)
        return Turn(session, warned) if warned else reason_told(setup, session)
    meant = meanings(setup, session, step) if about_of(event) == GIVEN else ()
    if meant:
        return Turn(session, (Say(step=session.step, text=" ".join(meant)),))
    return explained(setup, session)


def how_to_mend(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """What puts it right."""
    finding = _finding(setup, session)
    if finding is None:
        return tell(setup, session, "inform.no_how")
    return tell(setup, session, "finding.correction", correction=finding.correction)


def limit_asked(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The limit of the step; "is that good" is asked of the value that was just given.

    So is whatever is asked of a limit where the step has none.
    """
    step, given = setup.step(session), about_of(event) == GIVEN
    judged = step.limit or step.table or step.sweep or step.bright_enough
    last = _last(session) if session.lately and (given or not judged) else None
    if last is not None and last.limit:
        return limit_of_last(setup, session, event)
    if given and last is not None and last.quantity is not None:  # a later step goes by it
        return tell(setup, session, "limit.kept", step=spoken_name(last.step), shown=last.shown)
    return told_limit(setup, session)


def limit_of_last(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The limit of the reading that was taken last."""
    last = _last(session)
    if last is None or not last.limit:
        return tell(setup, session, "limit.none")
    step, shown = spoken_name(last.step), last.shown
    key = "limit.good_last" if last.passed else "limit.of_last"
    own = own_words(setup.procedure.step(last.step), PASS) if last.passed else ""
    key = "limit.own_last" if own else key  # good for the meter may be bad news of the vehicle
    return tell(setup, session, key, step=step, shown=shown, own=own, limit=last.limit)


def _last(session: Session) -> Result | None:
    counting = (r for r in reversed(session.ledger) if not r.superseded and r.meaning is not None)
    return next((r for r in counting if r.outcome != "done"), None)


def where_now(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The finding was given; what is awaited."""
    asked = " ".join(o.text for o in session.prompt if isinstance(o, Ask))
    finding = _finding(setup, session)
    if finding is None:
        return tell(setup, session, "inform.where_over", prompt=asked)
    return tell(setup, session, "inform.where_found", cause=finding.cause, prompt=asked)


def how_far_now(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """How many steps the repair and its proof have; asked whether it is mended, what it came to."""
    if session.state is not State.OFFER and about_of(event) == FIXED:
        ended = "retry" if session.state is State.RETRY else session.ending.replace("-", "_")
        return tell(setup, session, f"fixed.{ended}" if ended in _MENDED else "inform.how_far_over")
    finding = _finding(setup, session)
    done = session.stage is Stage.PROVE and not session.queue
    steps = (*finding.repair, *finding.prove_with) if finding is not None and not done else ()
    if not steps or session.ending:
        return tell(setup, session, "inform.how_far_over")
    return told_to_come(setup, session, "repair", of_steps(setup.procedure, steps))
