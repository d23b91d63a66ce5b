"""What the picture of a step tells, in words: for who hears it, and for a terminal."""

from collections.abc import Iterator

from voiceassist.draw.chart import wish
from voiceassist.draw.faces import Face, faces_of
from voiceassist.draw.panels import colour_told
from voiceassist.draw.step_view import LeadEnd, StepView

_MOST_LIVE = 8


def step_words(view: StepView) -> list[str]:
    """Sentences without their full stops; the first is the title."""
    return [f"{view.step.name.replace('-', ' ')}: {wish(view.step)}", *_rest(view)]


def _rest(view: StepView) -> Iterator[str]:
    yield from (f"{one.signal}: {one.hazard}, {one.avoid}" for one in view.step.cautions)
    yield from (held_words(one) for one in view.held)
    yield from (face_words(face) for face in faces_of(view))
    yield from state_words(view)
    if view.limit:
        yield f"should be {view.limit}"
    if view.moment.reading:
        yield " ".join(filter(None, ("reads", view.moment.reading, view.moment.verdict)))


def held_words(one: LeadEnd) -> str:
    """Where one end of the instrument stands."""
    point = one.point
    if point is None:
        return f"{one.end} at {one.name}"
    seat = " ".join(filter(None, (point.connector, f"pin {point.pin}" if point.pin else "")))
    more = filter(None, (seat, colour_told(point.colour)))
    return ", ".join((f"{one.end} at {one.name}", *more))


def face_words(face: Face) -> str:
    """A connector and the pins that are known."""
    known = (cavity for cavity in face.cavities if cavity.name)
    pins = ", ".join(" ".join(filter(None, (c.number, c.name, c.colour))) for c in known)
    state = " is open" if face.is_open else ""
    return f"{face.connector}{state}, pins {pins}" if pins else f"{face.connector}{state}"


def state_words(view: StepView) -> Iterator[str]:
    """What is live and what is open in a good vehicle."""
    look = view.look
    if look is None:
        return
    live = sorted(node for node in look.live if look.names(node))
    if live:
        more = f" and {len(live) - _MOST_LIVE} more" if len(live) > _MOST_LIVE else ""
        yield f"live: {', '.join(live[:_MOST_LIVE])}{more}"
    is_open = sorted(look.open_plugs | look.opened)
    if is_open:
        yield f"open: {', '.join(is_open)}"
