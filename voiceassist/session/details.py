"""What a step takes and what its test points are, in sentences: asked for by its topic.

Only what the file or its circuit tells is said; where neither does, there is no sentence.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType

from voiceassist.measure.fuse import fuse_colour
from voiceassist.measure.limit import Limit
from voiceassist.procedure.fuses import fuses_of
from voiceassist.procedure.model import Need, Point, Step, Torque
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.session import SessionSetup
from voiceassist.session.shown import short, show_limit

#: A circuit with more fuses than these does not tell which is meant.
_MOST_FUSES = 3
_LETTERS = 2


def wire(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The wire of each test point, by colour and cross-section."""
    for point in step.points:
        if point.colour:
            colour, key = _colour(setup, point), "data.wire_size" if point.size else "data.wire"
            yield setup.book(key, point=point.name, colour=colour, size=point.size)


def colour(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The colour of each test point's wire."""
    for point in step.points:
        if point.colour:
            yield setup.book("data.colour", point=point.name, colour=_colour(setup, point))


def _colour(setup: SessionSetup, point: Point) -> str:
    """Its colour in words, with its stripe if it has one."""
    whole, stripe = point.colour[:_LETTERS], point.colour[_LETTERS:]
    words = setup.book.plain(f"colour.{whole}")
    if not stripe:
        return words
    striped = setup.book.plain(f"colour.{stripe}")
    return setup.book.plain("data.striped", colour=words, stripe=striped)


def pin(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The pin of each test point, in its connector."""
    for point in step.points:
        if point.pin:
            key = "data.pin_of" if point.connector else "data.pin"
            named = {"pin": point.pin, "connector": point.connector}
            yield setup.book(key, point=point.name, **named)


def connector(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The connector of each test point."""
    for point in step.points:
        if point.connector:
            yield setup.book("data.connector", point=point.name, connector=point.connector)


def torque(setup: SessionSetup, step: Step) -> Iterator[str]:
    """How tight its fasteners are drawn."""
    return torques_text(setup, step.details.torques)


def torques_text(setup: SessionSetup, torques: Iterable[Torque]) -> Iterator[str]:
    """Each of ``torques`` with what it is for."""
    for one in torques:
        key = "data.torque_of" if one.what else "data.torque"
        yield setup.book(key, what=one.what, torque=show_torque(setup, one.limit))


def show_torque(setup: SessionSetup, limit: Limit) -> str:
    """A torque in words and figures; both ends only where they differ."""
    return short(limit.low) if limit.low == limit.high else show_limit(limit, setup.book)


def part(setup: SessionSetup, step: Step) -> Iterator[str]:
    """What is fitted or used up."""
    parts = step.details.parts
    if parts:
        key = "data.part" if len(parts) == 1 else "data.parts"
        yield setup.book(key, parts=setup.book.join("list.and", parts))


def tool(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The tools it takes beside the meter."""
    if step.details.tools:
        yield setup.book("tool.step", tools=setup.book.join("list.and", step.details.tools))


def opens(setup: SessionSetup, step: Step) -> Iterator[str]:
    """What must be opened or taken off to get there."""
    if step.details.opens:
        opened = setup.book.join("list.and", step.details.opens)
        yield setup.book("data.opens", parts=opened)


def fuse(setup: SessionSetup, step: Step) -> Iterator[str]:
    """The fuse that the step is about, or that it changes; else the few of the circuit."""
    if step.fuse is not None:
        colour = fuse_colour(step.fuse)
        key = "step.fuse" if colour else "data.fuse"
        yield setup.book(key, name="fuse", rating=step.fuse, colour=colour)
        return
    if own := [how for need in step.needs if (how := _of_fuse(setup, need))]:
        yield from (setup.book("data.own", text=how) for how in own)
        return
    fuses = fuses_of(setup.procedure)
    for name, rating in fuses if len(fuses) <= _MOST_FUSES else ():
        colour = fuse_colour(rating)
        key = "data.fuse_colour" if colour else "data.fuse"
        yield setup.book(key, name=name, rating=rating, colour=colour)


def _of_fuse(setup: SessionSetup, need: Need) -> str:
    """What the file tells of a fuse that the step has changed; empty for anything else."""
    named = setup.book.plain("data.fuse_named") in need.condition.split()
    return wording_in(setup.procedure, need.condition, need.state).how if named else ""


Told = Callable[[SessionSetup, Step], Iterable[str]]
#: What a question can be about, in the names that the grammar files give it.
TOPICS: Mapping[str, Told] = MappingProxyType(
    {
        "wire": wire,
        "colour": colour,
        "pin": pin,
        "connector": connector,
        "torque": torque,
        "part": part,
        "tool": tool,
        "opens": opens,
        "fuse": fuse,
    }
)
