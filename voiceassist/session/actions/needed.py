"""What would go wrong without a state of the vehicle that the step asks for."""

import re

from voiceassist.procedure.model import Kind, Need
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.enter import open_needs
from voiceassist.session.events import Event, Heard, about_of
from voiceassist.session.naming import NEEDED, things
from voiceassist.session.outputs import CautionSpoken, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State
from voiceassist.session.warning import in_full
from voiceassist.session.worded import band

#: A word of an instruction this short is no name of anything: "to", "off".
_SHORT = 3
_WORD = re.compile(r"[^\W\d_]+")
#: Kinds of step that end in no reading or answer.
_WORKS = frozenset({Kind.DO, Kind.WAIT})


def without_it(setup: SessionSetup, session: Session, asked: Event) -> Turn | None:
    """Why it is asked for what is ``asked`` about; None where it is about no such thing."""
    if about_of(asked) != NEEDED or not isinstance(asked, Heard):
        return None
    needs = _asked(setup, session, frozenset(_WORD.findall(asked.words.lower())))
    if not needs:
        return None
    told = [Say(step=session.step, text=without(setup, session, need)) for need in needs]
    warned = () if all(_why(setup, session, n) for n in needs) else _cautions(setup, session)
    return Turn(session, (*told, *warned))


def _cautions(setup: SessionSetup, session: Session) -> tuple[CautionSpoken, ...]:
    return in_full(setup, session, setup.step(session))


def _asked(setup: SessionSetup, session: Session, words: frozenset[str]) -> tuple[Need, ...]:
    """What the most words name, else what is to be changed, else what is in the state named."""
    to_make = open_needs(setup, session)
    own = tuple(dict.fromkeys((*to_make, *setup.step(session).needs)))
    counts = [_named(need, words) for need in own]
    if most := max(counts, default=0):
        return tuple(need for need, count in zip(own, counts, strict=True) if count == most)
    if session.state is State.CAUTION:
        return ()
    states = setup.procedure.conditions
    return to_make or tuple(n for n in own if words & {n.state, *states.get(n.condition, ())})


def _named(need: Need, words: frozenset[str]) -> int:
    """How many of ``words`` are of its name, or of how it is brought about: "plugged" in."""
    told = {word for word in _WORD.findall(need.instruction.lower()) if len(word) > _SHORT}
    called = (word for way in things([need.condition])[0].phrases for word in way.split())
    names = tuple(told.union(_WORD.findall(need.condition), called))
    return sum(word.startswith(names) for word in words)


def without(setup: SessionSetup, session: Session, need: Need) -> str:
    """Why it is needed, and what would be read without; where neither is known, that it counts."""
    worded, step = wording_in(setup.procedure, need.condition, need.state), setup.step(session)
    parts = [why] if (why := _why(setup, session, need)) else []
    looks = next((each for each in step.lookalikes if each.need.condition == need.condition), None)
    if looks is not None:
        shown = band(setup, session, looks.limit)
        parts.append(setup.book("needed.looks", denied=worded.denied, shown=shown))
    elif not parts:
        key = "needed.work" if step.kind in _WORKS else "needed.counts"
        parts.append(setup.book(key, holds=worded.holds))
    return " ".join(parts)


def _why(setup: SessionSetup, session: Session, need: Need) -> str:
    """Why the file says it is needed, else why such a thing mostly is; empty where not known."""
    own = wording_in(setup.procedure, need.condition, need.state).why
    if own:
        return setup.book("needed.why", why=own)
    mostly = f"needed.{need.condition.rsplit(maxsplit=1)[-1]}-{need.state}"
    works = setup.step(session).kind in _WORKS
    return setup.book(mostly) if mostly in setup.book.sentences and not works else ""
