"""Questions about a detail of the step: its wire, pin, torque, part. None moves the job."""

from voiceassist.procedure.model import Point, Step
from voiceassist.session.actions.metering import MEASURED
from voiceassist.session.copying import replace
from voiceassist.session.details import TOPICS, torques_text
from voiceassist.session.named_torque import Named
from voiceassist.session.outputs import Say
from voiceassist.session.places_named import others_named
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.worded import points_text

#: Of these the words about a test point may tell, where no data do.
_IN_WORDS = frozenset({"wire", "colour", "pin", "connector"})


def detail(setup: SessionSetup, session: Session, topic: str, words: str = "") -> Turn:
    """What is asked for: data come first, then words about it, else that nothing is told.

    The words of the step itself may tell: "current in the brown wire". A torque is told only for
    the fastener that ``words`` name, if they name one.
    """
    step = setup.step(session)
    if topic in _IN_WORDS and (others := others_named(setup.procedure, step, words)):
        return Turn(session, (Say(step=session.step, text=_of_others(setup, topic, others)),))
    text = _told(setup, session, topic)
    if text and topic == "torque":
        text = _of_named(setup, session, Named(setup, words)) or text
    if not text and topic in _IN_WORDS:
        measured = step.text if step.kind in MEASURED and topic != "connector" else ""
        text = points_text(setup, step) or (measured and setup.book("data.only", text=measured))
    return Turn(session, (Say(step=session.step, text=text or setup.book("data.none")),))


def _of_others(setup: SessionSetup, topic: str, points: tuple[Point, ...]) -> str:
    """What is told of ``points``, which are not those of the step."""
    told = " ".join(
        TOPICS[topic](setup, replace(setup.procedure.step(setup.procedure.first), points=points))
    )
    return told or " ".join(setup.book("step.point", name=p.name, where=p.where) for p in points)


def tools(setup: SessionSetup, session: Session) -> str:
    """The tools that the step takes beside the meter; empty when it tells none."""
    return _told(setup, session, "tool")


def _told(setup: SessionSetup, session: Session, topic: str) -> str:
    """What the step tells; else what the steps of the repair do, once it is known."""
    return _of((setup.step(session),), setup, topic) or _of(_repair(setup, session), setup, topic)


def _of_named(setup: SessionSetup, session: Session, named: Named) -> str:
    """The torque of what was named, or that none is given for it; empty when nothing was."""
    if not named:
        return ""
    for steps in ((setup.step(session),), _repair(setup, session)):
        torques = named.of(torque for step in steps for torque in step.details.torques)
        if torques:
            return " ".join(dict.fromkeys(torques_text(setup, torques)))
    return setup.book("data.torque_other", torques=_told(setup, session, "torque"))


def _of(steps: tuple[Step, ...], setup: SessionSetup, topic: str) -> str:
    return " ".join(dict.fromkeys(t for step in steps for t in TOPICS[topic](setup, step)))


def _repair(setup: SessionSetup, session: Session) -> tuple[Step, ...]:
    finding = setup.procedure.findings.get(session.finding)
    names = finding.repair if finding is not None and not session.suspected else ()
    return tuple(setup.procedure.step(name) for name in names)
