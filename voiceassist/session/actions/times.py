"""How long something is to be done: the time that the step, or its advice, names for it."""

import re
from collections.abc import Iterable, Iterator, Sequence

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.waiting import not_yet
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.spans import show_time
from voiceassist.session.states import State
from voiceassist.session.worded import moment

_WORD = re.compile(r"[^\W\d_]+")
#: Forms of a word differ in no more letters than these: "charge" and "charging".
_MOST_ENDING = 4


def named_time(setup: SessionSetup, session: Session, heard: Event) -> Turn:
    """What tells how long, of what is asked about; else that the procedure does not say."""
    if session.state is State.WAIT:
        return not_yet(setup, session, heard)
    words = heard.words if isinstance(heard, Heard) else ""
    small = frozenset(setup.book.plain("time.asking").split())
    asked = [word for word in _words(words) if word not in small]
    times = frozenset(setup.book.plain("time.words").split())
    told = (text for text in _texts(setup, session) if times & set(_words(text)))
    found = next((text for text in told if _is_of(asked, text)), "")
    text = f"{capitalised(found).rstrip('.')}." if found else setup.book("data.none")
    return Turn(session, (Say(step=session.step, text=text),))


def _is_of(asked: Iterable[str], text: str) -> bool:
    """Whether ``text`` has a word of ``asked``, in any of its forms."""
    words = _words(text)
    return any(_alike(one, other) for one in asked for other in words)


def _alike(one: str, other: str) -> bool:
    short, long = sorted((one, other), key=len)
    if len(long) - len(short) > _MOST_ENDING:
        return False
    return short in long or long.startswith(short[:-1])


def _texts(setup: SessionSetup, session: Session) -> Iterator[str]:
    """What may tell it: the step, its states, what is held; the finding; each wait of the file."""
    finding = setup.procedure.findings.get(session.finding)
    repairs = finding.repair if finding is not None else ()
    steps = (setup.step(session), *(setup.procedure.step(name) for name in repairs))
    yield from moment(setup, steps[0])
    for step in steps:
        yield from filter(None, (step.text, step.how, step.before))
        yield from _of_states(setup, step)
    if finding is not None:
        yield from re.split(r"[,.;] ", finding.correction)
    waits = (step for step in setup.procedure.steps.values() if step.kind is Kind.WAIT)
    for step in waits:
        yield setup.book("step.wait", time=show_time(setup, step.wait_s), text=step.text)


def _of_states(setup: SessionSetup, step: Step) -> Iterator[str]:
    for need in step.needs:
        yield need.instruction
        yield wording_in(setup.procedure, need.condition, need.state).how


def _words(text: str) -> Sequence[str]:
    return _WORD.findall(text.lower())
