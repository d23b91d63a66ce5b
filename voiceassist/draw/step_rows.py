"""The picture of a step for a terminal: where the leads stand, the plug in box characters, live."""

from collections.abc import Iterator, Sequence

from voiceassist.draw.faces import Cavity, Face, faces_of
from voiceassist.draw.step_view import StepView
from voiceassist.draw.step_words import held_words, state_words

#: Cavities side by side.
_ROW = 8


def step_rows(view: StepView) -> tuple[str, ...]:
    """Rows of letters, none wider than 80 columns where names are short."""
    return tuple(_rows(view))


def _rows(view: StepView) -> Iterator[str]:
    if not view.held and not view.needs:
        return
    yield from (held_words(one) for one in view.held)
    for face in faces_of(view):
        yield from _face(face)
    yield from state_words(view)


def _face(face: Face) -> Iterator[str]:
    yield f"{face.connector}, open" if face.is_open else face.connector
    if not any(cavity.number for cavity in face.cavities):
        yield from (_named(cavity) for cavity in face.cavities)
        return
    for i in range(0, len(face.cavities), _ROW):
        yield from _boxes(face.cavities[i : i + _ROW])


def _named(cavity: Cavity) -> str:
    """A cavity without a number."""
    told = " ".join(filter(None, (cavity.name, cavity.colour)))
    ends = ", ".join(map(_short, cavity.ends))
    return f"[■] {told} ← {ends}" if ends else f"[ ] {told}"


def _boxes(cavities: Sequence[Cavity]) -> Iterator[str]:
    """A row of cavities: number, colour, and below it what is held there."""
    ends = [" ".join(map(_short, cavity.ends)) for cavity in cavities]
    numbers = [f"[{c.number}]" if c.ends else c.number for c in cavities]
    colours = [cavity.colour for cavity in cavities]
    wide = [max(4, *map(len, each)) + 2 for each in zip(numbers, colours, ends, strict=True)]

    def row(left: str, cells: Sequence[str], between: str, right: str) -> str:
        centred = (cell.center(width) for cell, width in zip(cells, wide, strict=True))
        return left + between.join(centred) + right

    lines = ["─" * width for width in wide]
    yield row("┌", lines, "┬", "┐")
    yield row("│", numbers, "│", "│")
    yield row("│", colours, "│", "│")
    yield row("└", lines, "┴", "┘")
    if any(ends):
        pointed = [f"▲ {said}" if said else "" for said in ends]
        yield row(" ", pointed, " ", "").rstrip()


def _short(end: str) -> str:
    return end.removesuffix(" lead")
