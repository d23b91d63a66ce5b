"""Where a thing lies: as far as the procedure tells, else that the maker's drawing does."""

from collections.abc import Iterator

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Point
from voiceassist.session.details import opens
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
from voiceassist.session.places_named import others_named, part_named, points_behind
from voiceassist.session.session import Session, SessionSetup, Turn


def place(setup: SessionSetup, session: Session, heard: Event) -> Turn:
    """Where the thing in the words of ``heard`` is, by the test points that tell of it."""
    words = heard.words.lower() if isinstance(heard, Heard) else ""
    small = frozenset(setup.book.plain("data.place_asking").split())
    thing = " ".join(word for word in words.strip(" ?.!").split() if word not in small)
    step = setup.step(session)
    told = [p for p in _points(setup, session) if f" {thing} " in f" {p.name}, {p.where} "]
    parts = dict.fromkeys(setup.book("step.point", name=p.name, where=p.where) for p in told)
    named = any(thing in point.name for point in told)
    said = [*parts, *opens(setup, step)]
    if not named:
        said.append(setup.book("data.place", thing=thing))
    return Turn(session, (Say(step=session.step, text=" ".join(said)),))


def elsewhere(setup: SessionSetup, session: Session, text: str) -> Turn | None:
    """Where a test point or a part that ``text`` names is; None where it speaks of the step.

    Of a part the circuit tells what it lies between, and the procedure no more.
    """
    part = part_named(setup.procedure, text)
    if part is not None:
        ends = setup.book.plain("data.ends").join(part.terminals.values())
        told = setup.book("data.between", part=capitalised(part.name), ends=ends)
        return Turn(session, (Say(step=session.step, text=told),))
    points = others_named(setup.procedure, setup.step(session), text)
    points = points or points_behind(setup.procedure, _thing(setup, text))[:1]
    told = " ".join(setup.book("step.point", name=p.name, where=p.where) for p in points)
    return Turn(session, (Say(step=session.step, text=told),)) if told else None


def _thing(setup: SessionSetup, words: str) -> str:
    """What is asked for, of two words or more, without those that only ask."""
    small = frozenset(setup.book.plain("data.place_asking").split())
    thing = [word for word in words.lower().strip(" ?.!").split() if word not in small]
    return " ".join(thing) if len(thing) > 1 else ""


def _points(setup: SessionSetup, session: Session) -> Iterator[Point]:
    """The test points of the step; where none of the file is told of else, those of the others."""
    yield from setup.step(session).points
    for step in setup.procedure.steps.values():
        yield from step.points
