"""Where a thing lies: as far as the procedure tells, else that the maker's drawing does."""

from collections.abc import Iterator

from voiceassist.procedure.model import Point
from voiceassist.session.details import opens
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
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


def _points(setup: SessionSetup, session: Session) -> Iterator[Point]:
    """The test points of the step; where none of the file is told of else, those of the others."""
    yield from setup.step(session).points
    for step in setup.procedure.steps.values():
        yield from step.points
