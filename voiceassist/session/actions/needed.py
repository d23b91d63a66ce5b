"""What would go wrong without a state of the vehicle that the step asks for."""

import re

from voiceassist.language.phrasebook import capitalised
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
from voiceassist.session.work_told import work_at
from voiceassist.session.work_words import parts_of

#: A word of an instruction this short is no name of anything: "to", "off".
_SHORT = 3
_OFF = "off"
_WORD = re.compile(r"[^\W\d_]+")
#: Kinds of step that end in no reading or answer.
_WORKS = frozenset({Kind.DO, Kind.WAIT})


def without_it(setup: SessionSetup, session: Session, asked: Event) -> Turn | None:
    """Why it is asked for what is ``asked`` about; None where it is about no such thing."""
    if about_of(asked) != NEEDED or not isinstance(asked, Heard):
        return None
    words = _of_the_question(setup, session, asked.words.lower())
    text = "" if _names_one(setup, session, words) else _not_asked_for(setup, session, words)
    if text:
        return Turn(session, (Say(step=session.step, text=text),))
    needs = _asked(setup, session, words)
    if not needs:
        return None
    told = [Say(step=session.step, text=without(setup, session, need)) for need in needs]
    warned = () if all(_why(setup, session, n) for n in needs) else _cautions(setup, session)
    return Turn(session, (*told, *warned))


def _of_the_question(setup: SessionSetup, session: Session, text: str) -> frozenset[str]:
    """The words of the last clause of ``text`` where that names something, else all of them."""
    last = frozenset(_WORD.findall(text.rsplit(",", maxsplit=1)[-1]))
    named = _names_one(setup, session, last) or _not_asked_for(setup, session, last)
    return last if named else frozenset(_WORD.findall(text))


def _not_asked_for(setup: SessionSetup, session: Session, words: frozenset[str]) -> str:
    """What is so of the battery or of another load that the step does not name; else nothing."""
    battery = frozenset(setup.book.plain("needed.battery_words").split())
    if battery & words:
        return _of_battery(setup, session, battery)
    loads = frozenset(setup.book.plain("needed.loads").split())
    return setup.book("needed.leave_off") if loads & words else ""


def _of_battery(setup: SessionSetup, session: Session, battery: frozenset[str]) -> str:
    """Whether the battery is to be taken off: by its clamp, or in the work itself."""
    clamps = [name for name in setup.procedure.conditions if len(battery & set(name.split())) > 1]
    own = [need for need in setup.step(session).needs if need.condition in clamps]
    if own:
        return " ".join(without(setup, session, need) for need in own)
    if any(session.condition(name) == _OFF for name in clamps):
        return setup.book("needed.battery_off")
    work = work_at(setup, session) or setup.step(session).text
    part = next((part for part in parts_of(work) if len(battery & set(part.split())) > 1), "")
    text = capitalised(part)
    return setup.book("needed.battery", text=text) if part else setup.book("needed.no_battery")


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


def _names_one(setup: SessionSetup, session: Session, words: frozenset[str]) -> bool:
    """Whether ``words`` name what the step asks for."""
    own = (*open_needs(setup, session), *setup.step(session).needs)
    return any(_named(need, words) for need in own)


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
