"""What is wrong, told in one's own words before it is asked for.

It answers a question that is still to come, or names one of several tests that are alike: the lamp
that is dark, of those that are measured one after another.
"""

import re
from collections.abc import Iterator, Mapping

from voiceassist.procedure.model import PASS, Kind, Procedure, Step
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import AT_A_STEP, State

_WORD = re.compile(r"[^\W\d_]+")
#: A word this short tells nothing of a fault: "it", "the", "on".
_SHORT = 3
#: Nor do these.
_SMALL = frozenset({"the", "and", "not", "for", "with", "one", "its", "all", "was", "now", "too"})
#: What else the lamps of a vehicle are called, and one lamp of them.
_CALLED = {
    "turn": ("indicator", "blinker", "flasher"),
    "stop": ("brake",),
    "tail": ("side", "position"),
    "reverse": ("reversing",),
}
#: A question is answered early by no plain yes or no: these answer what stands now.
_PLAIN = frozenset({"affirm", "negative"})


def may_be_told(session: Session) -> bool:
    """Whether the session is on its way to the cause, and no answer is asked about."""
    free = session.stage is Stage.DIAGNOSE and not session.finding
    return free and not session.correcting and session.state in AT_A_STEP - {State.WAIT}


def words_of(text: str) -> frozenset[str]:
    """The words of ``text``, each lamp by one name: "the left indicator's dead"."""
    said = {_one(word) for word in _WORD.findall(text.lower())}
    also = {name for name, calls in _CALLED.items() if said & set(calls)}
    return frozenset(said | also)


def _one(word: str) -> str:
    return word.removesuffix("s") if len(word) > _SHORT else word


def question_ahead(setup: SessionSetup, session: Session) -> Step | None:
    """The question with answers of its own that comes first on the straight way from here."""
    asked = (step for step in _straight_on(setup.procedure, session.step) if step.kind is Kind.ASK)
    step = next(asked, None)
    at_it = step is not None and step.name == session.step and session.state is State.ASK
    if step is None or at_it or session.latest(step.name) is not None:
        return None
    return step if any(r.name not in _PLAIN for r in step.replies) else None


def test_named(setup: SessionSetup, session: Session, text: str) -> str:
    """The one test that ``text`` names, of several alike; empty where it names none or more."""
    said = words_of(text)
    steps = setup.procedure.steps
    named = [
        name
        for name in steps
        if words_of(spoken_name(name)) <= said and any(_are_alike(steps, name, s) for s in steps)
    ]
    return named[0] if len(named) == 1 else ""


def words_of_complaint(procedure: Procedure, text: str) -> int:
    """How many words of ``text`` are those of the complaint."""
    known = words_of(" ".join((procedure.title, procedure.subject, *procedure.complaints)))
    return len({word for word in known & words_of(text) if len(word) >= _SHORT} - _SMALL)


def are_alike(setup: SessionSetup, one: str, other: str) -> bool:
    """Whether two tests are the same of two things, and lead elsewhere when they fail."""
    return one == other or _are_alike(setup.procedure.steps, one, other)


def _are_alike(steps: Mapping[str, Step], one: str, other: str) -> bool:
    first, second = _without_name(steps[one]), _without_name(steps[other])
    apart = not _astray(steps[one]) & _astray(steps[other])
    return one != other and apart and first == second != "" and steps[one].unit == steps[other].unit


def _astray(step: Step) -> set[str]:
    """Where it leads when it does not pass."""
    return {to for outcome, to in step.routes.items() if outcome != PASS}


def _without_name(step: Step) -> str:
    """What is measured, with no word of the step's own name; empty where it has none there."""
    name = spoken_name(step.name)
    return step.text.replace(name, "") if step.unit is not None and name in step.text else ""


def _straight_on(procedure: Procedure, name: str) -> Iterator[Step]:
    """The steps from ``name`` on, as long as each passes."""
    known = set[str]()
    while name in procedure.steps and name not in known:
        known.add(name)
        step = procedure.steps[name]
        yield step
        name = step.routes.get(PASS, "")
