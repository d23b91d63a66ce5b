"""Steps that a technician may take before their turn, and what is made good of that.

A step can be taken early when all that its order guards holds: what is passed over is a test that
anybody may leave for later, no limit is taken from it, nothing is done to the vehicle there, and
it has no caution to acknowledge that the step itself does not have. What was passed over comes
afterwards: when the step passes the job goes back to it, and else before a finding counts that it
proves.
"""

from collections.abc import Iterator

from voiceassist.procedure.model import NEVER, PASS, Finding, Kind, Step
from voiceassist.session.complaint import are_alike
from voiceassist.session.copying import replace
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.skipping import way_on
from voiceassist.session.states import AT_A_STEP, State
from voiceassist.session.values import applies
from voiceassist.session.warning import must_acknowledge

#: What can be taken before its turn: one look with an instrument.
_EARLY = frozenset({Kind.MEASURE, Kind.COUNT, Kind.LAMP})
#: What can be left for later.
_LATER = _EARLY | {Kind.SWEEP, Kind.ASK, Kind.COMPUTE}


def choosable(setup: SessionSetup, session: Session) -> tuple[str, ...]:
    """The steps that can be taken now before their turn, in the file's order."""
    return tuple(name for name, _ in _ahead(setup, session))


def passed_over(setup: SessionSetup, session: Session, name: str) -> tuple[str, ...]:
    """What is left for later when ``name`` is taken now."""
    return next((path for step, path in _ahead(setup, session) if step == name), ())


def can_leave(setup: SessionSetup, session: Session) -> bool:
    """True when the session stands where another step can be chosen at all."""
    free = session.stage is Stage.DIAGNOSE and not session.finding and not session.returning
    waiting = session.correcting or session.points or session.tries or session.chosen
    return free and not waiting and session.state in AT_A_STEP - {State.WAIT, State.DO}


def _ahead(setup: SessionSetup, session: Session) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each step along the file's order that can be taken now, with what lies before it."""
    if not can_leave(setup, session):
        return
    steps, name, path = setup.procedure.steps, session.step, tuple[str, ...]()
    taken = dict(session.ahead)
    while name in steps and name not in path:
        step = steps[name]
        if name != session.step and name not in taken and _early(setup, session, step, path):
            yield name, path
        if applies(setup, session, step) and name not in taken:
            if not _can_wait(setup, session, step):
                return
            path = (*path, name)
        name = taken.get(name) or _on(setup, step)


def _on(setup: SessionSetup, step: Step) -> str:
    return way_on(setup, step) if step.kind is Kind.ASK else step.routes.get(PASS, "")


def _early(setup: SessionSetup, session: Session, step: Step, path: tuple[str, ...]) -> bool:
    """True when nothing that ``step`` stands on lies in ``path``."""
    fits = step.kind in _EARLY and applies(setup, session, step) and not step.fact
    own = {caution.name for caution in step.cautions}
    guards = {name for before in path for name in _guards(session, setup.procedure.steps[before])}
    return fits and not step.names & set(path) and guards <= own


def _guards(session: Session, step: Step) -> set[str]:
    """Cautions of ``step`` that are still to be acknowledged."""
    return {caution.name for caution in step.cautions if must_acknowledge(caution, session)}


def _can_wait(setup: SessionSetup, session: Session, step: Step) -> bool:
    """True for a step that can come later: it is a test alone, and nothing rests on it."""
    test = step.kind in _LATER and step.skip != NEVER and not step.fact
    judged = (s for s in setup.procedure.steps.values() if s.kind is not Kind.COMPUTE)
    needed = any(step.name in s.names for s in judged)
    decides = any(step.name in dict(s.only_if) for s in setup.procedure.steps.values())
    return test and not needed and not decides


def chose(setup: SessionSetup, session: Session, name: str) -> Session:
    """The session with ``name`` to be taken before its turn."""
    left = (*passed_over(setup, session, name), *session.left)
    return replace(session, chosen=name, left=tuple(dict.fromkeys(left)))


def after_chosen(session: Session, result: Result, target: str) -> tuple[Session, str]:
    """The session after a result, and where it goes: from a chosen step that passed, back."""
    if not session.chosen or session.chosen != result.step:
        return session, target
    on = replace(session, chosen="")
    if not (result.passed and session.left):
        return on, target
    return replace(on, ahead=(*session.ahead, (result.step, target))), session.left[0]


def arrived(session: Session, name: str) -> Session:
    """The session once ``name`` is come to: it is not left for later any more."""
    if name not in session.left:
        return session
    return replace(session, left=tuple(step for step in session.left if step != name))


def known_way(session: Session, name: str) -> str:
    """Where the step ``name`` led when it was taken before its turn; empty if it was not."""
    result = session.latest(name)
    return dict(session.ahead).get(name, "") if result is not None and result.passed else ""


def wished(setup: SessionSetup, entered: Turn) -> tuple[Session, str]:
    """The session, and the test that the complaint named, once nothing but the like is before it.

    The name is empty where it is not time yet, or that test was come to already.
    """
    session = entered.session
    before = passed_over(setup, session, session.wished) if session.wished else ()
    if not before or not all(are_alike(setup, each, session.wished) for each in before):
        return session, ""
    return chose(setup, session, session.wished), session.wished


def still_to_prove(setup: SessionSetup, session: Session, finding: Finding) -> tuple[str, ...]:
    """What was left for later and has to pass before ``finding`` counts.

    Those that are like the one that the complaint named, and that failed, stand for themselves.
    """
    named = session.latest(session.wished)
    failed = named is not None and not named.passed
    return tuple(
        step
        for step in session.left
        if (step in finding.because or not finding.because)
        and not (failed and are_alike(setup, step, session.wished))
    )
