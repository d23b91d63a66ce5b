"""What can be said next, for listener and parser."""

from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.meanings import Answer
from voiceassist.procedure.model import Kind, Step
from voiceassist.session.actions.enter import unmade
from voiceassist.session.actions.revise import choices, last_answered
from voiceassist.session.copying import replace
from voiceassist.session.naming import called
from voiceassist.session.offered import tells_repair, warns
from voiceassist.session.outputs import Ask
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State

#: States in which the step's own answer can be given.
_ANSWERING = frozenset(
    {
        State.MEASURE,
        State.SWEEP,
        State.LAMP,
        State.ASK,
        State.DO,
        State.IDENTIFY,
        State.COMPUTE,
        State.WAIT,
        State.CONFIRM,
        State.WHICH,
        State.CONDITION,
        State.CAUTION,
        State.CARRIED,
        State.FORGOTTEN,
        State.OFFER,
        State.RETRY,
        State.AFTER,
    }
)

#: Where a question's own words for yes and no answer that question; a caution is not
#: acknowledged, nor a repair begun, by "the belt is good".
_ASKED = frozenset({State.ASK, State.CONFIRM, State.WHICH})
_PLAIN = frozenset({"affirm", "negative", "done"})

#: Where an earlier value that is to be put right can still be kept.
_STEPS_OWN = frozenset({State.MEASURE, State.LAMP})

_AT = {
    State.LAMP: "lamp",
    State.ASK: "ask",
    State.CONDITION: "change",
    State.DO: "change",
    State.CAUTION: "caution",
    State.CONFIRM: "confirm",
    State.WHICH: "confirm",
    State.WAIT: "wait",
    State.OFFER: "offer",
    State.RETRY: "offer",
    State.FINISH: "offer",
    State.STILL: "offer",
    State.CARRIED: "offer",
    State.FORGOTTEN: "offer",
    State.AFTER: "after",
    State.PUT_BACK: "after",
    State.TO_PARK: "after",
    State.STAND_BY: "paused",
}


#: The plain answers that each state waits for.
AWAITED = {
    State.CAUTION: ("affirm",),
    State.CONDITION: ("done",),
    State.DO: ("done",),
    State.OFFER: ("affirm", "negative"),
    State.RETRY: ("affirm", "negative"),
    State.FINISH: ("affirm", "negative"),
    State.AFTER: ("done", "finish"),
    State.PUT_BACK: ("done", "finish"),
    State.TO_PARK: ("done", "finish"),
    State.STILL: ("affirm", "negative"),
    State.CARRIED: ("affirm", "negative"),
    State.FORGOTTEN: ("affirm", "negative", "done"),
    State.SWEEP: ("affirm-reading", "done"),
    State.CONFIRM: ("affirm-reading", "negative"),
    State.STAND_BY: ("go-ahead",),
}


def expectation(setup: SessionSetup, session: Session) -> Expectation:
    """What the current state can be answered with, beside commands and plain answers."""
    if session.state is State.MEANT and session.resume is not None:
        meanwhile = expectation(setup, session.resume)
        return replace(meanwhile, awaited=(*meanwhile.awaited, "affirm", "negative"))
    expected = _answers(setup, session)
    if session.state is State.STAND_BY:  # a value may be told together with being back
        expected = replace(_answers(setup, session.at_step), choices=(), identifier="")
    awaited = AWAITED.get(session.state, ())
    if session.state is not State.DO and unmade(setup, session):
        awaited = AWAITED[State.SWEEP]  # readings are in turn, and so is "done"
    if tells_repair(setup, session):
        awaited = (*awaited, "done")
    if session.correcting and session.state in _STEPS_OWN:
        awaited = (*awaited, "go-back")
    question = ""
    if session.state is State.ASK:
        question, awaited = setup.step(session).question, asked_for(setup, session)
    if session.state is State.WHICH:
        awaited = tuple(each.name for each in session.pending if isinstance(each, Answer))
    if session.state is State.CAUTION:
        question = " ".join(caution.avoid for caution in setup.step(session).cautions)
    if session.state is State.FORGOTTEN:
        question = " ".join(output.text for output in session.prompt if isinstance(output, Ask))
    return replace(expected, awaited=awaited, at=_at(expected, session), question=question)


def asked_for(setup: SessionSetup, session: Session) -> tuple[str, ...]:
    """The plain answers to the question of an ASK step; "done" while a task or change is open."""
    step = setup.step(session)
    open_task = step.task and not session.wait_over
    done = ("done",) if open_task or unmade(setup, session) else ()
    return (*(reply.name for reply in step.replies if not reply.phrases), *done)


def _at(expected: Expectation, session: Session) -> str:
    """What loose talk is taken for."""
    if session.state in {State.MEASURE, State.SWEEP}:
        unit = expected.unit
        return "ohms" if unit is not None and unit.quantity == "resistance" else "live"
    return _AT[State.CAUTION] if warns(session) else _AT.get(session.state, "")


def _answers(setup: SessionSetup, session: Session) -> Expectation:
    if session.state in {State.SKIP, State.FINISH}:
        reasons = setup.book.reasons if session.state is State.SKIP else ()
        return replace(_answers(setup, session.at_step), choices=reasons)
    if session.state is State.WHOSE:
        return Expectation(choices=_either(setup, session.at_step))
    if session.state is State.PICK:
        return Expectation(choices=_by_name(setup, session.at_step))
    if session.state not in _ANSWERING:
        return Expectation()
    expected = of_step(setup.step(session))
    if session.state not in _ASKED:
        others = tuple(choice for choice in expected.choices if choice.name not in _PLAIN)
        expected = replace(expected, choices=others)
    earlier = None if session.correcting else last_answered(setup, session)
    if earlier is None or earlier.step == session.step:
        return expected
    return _joined(expected, of_step(setup.step(earlier)))


def _either(setup: SessionSetup, session: Session) -> tuple[Choice, ...]:
    """Both steps, by their names, by a word that only one of them has, or as this and the last."""
    earlier = last_answered(setup, session)
    ways = {session.step: _ways(setup, session.step, "revise.here")}
    if earlier is not None:
        ways[earlier.step] = _ways(setup, earlier.step, "revise.there")
    return called(ways)


def _ways(setup: SessionSetup, step: str, place: str) -> tuple[str, ...]:
    return (spoken_name(step), *setup.book.plain(place).split(", "))


def _by_name(setup: SessionSetup, session: Session) -> tuple[Choice, ...]:
    names = (result.step for result in choices(setup, session))
    return tuple(Choice(name, (spoken_name(name),)) for name in names)


def of_step(step: Step) -> Expectation:
    """What ``step`` itself can be answered with."""
    if step.kind is Kind.LAMP:
        return Expectation(lamp=True)
    if step.kind is Kind.ASK:
        said = ((r.name, (*r.phrases, *r.also)) for r in step.replies)
        own = tuple(Choice(name, ways) for name, ways in said if ways)
        return Expectation(choices=own)
    if step.kind is Kind.IDENTIFY:
        return Expectation(identifier=step.text)
    if step.kind not in {Kind.MEASURE, Kind.SWEEP, Kind.COUNT} or step.unit is None:
        return Expectation()
    lowest, highest = step.plausible or (None, None)
    return Expectation(
        quantities=(step.unit.quantity,), unit=step.unit, lowest=lowest, highest=highest
    )


def _joined(now: Expectation, earlier: Expectation) -> Expectation:
    """What fits now, and what a correction of the step before could hold."""
    return Expectation(
        quantities=tuple(dict.fromkeys(now.quantities + earlier.quantities)),
        unit=now.unit or earlier.unit,
        # Bounds settle what an unclear number means; those of one step must not settle the other.
        lowest=now.lowest if not earlier.quantities else None,
        highest=now.highest if not earlier.quantities else None,
        lamp=now.lamp or earlier.lamp,
        choices=now.choices,
        identifier=now.identifier,
    )
