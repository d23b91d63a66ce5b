"""The circuit of a procedure as an SVG, drawn as current paths.

The supply is the rail above, earth the rail below, and the current runs down the paths between
them. The paths are numbered; a relay's coil tells the path of its contact, and the other way round.
The numbers of the rails are those of DIN 72552 (from memory).
"""

from collections.abc import Container, Iterator

from voiceassist.circuit.model import Circuit
from voiceassist.draw.canvas import Canvas
from voiceassist.draw.columns import sheet_of
from voiceassist.draw.elements import elements_of, joined_only, levels_of
from voiceassist.draw.letters import TEXT, letters_of
from voiceassist.draw.path_drawing import drawn
from voiceassist.draw.paths import PathPlan, cuts, numbered
from voiceassist.draw.places import places_of
from voiceassist.procedure.model import Procedure

_STYLE = (
    ".wire{fill:none;stroke:#333;stroke-width:1.4}.thick{fill:none;stroke:#333;stroke-width:3.5}"
    ".part{fill:#fff;stroke:#333;stroke-width:1.4}.dot{fill:#333;stroke:none}"
    ".rail{fill:none;stroke:#333;stroke-width:2.6}"
    ".dashed{fill:none;stroke:#333;stroke-width:1.2;stroke-dasharray:3 2}"
)
#: Points of letters that are read with ease on paper; common practice, no source.
LEAST_LETTER = 7.0
#: ISO 216 A4 in mm, and the margin that printers leave.
A4, _EDGE = (210.0, 297.0), 8.0
#: Units of the drawing in a millimetre of paper when its letters have ``LEAST_LETTER`` points.
_UNITS = 72 / 25.4 * TEXT / LEAST_LETTER


def draw_circuit(procedure: Procedure) -> str:
    """The circuit as a standalone SVG, from the supply above to earth below.

    Raises:
        ValueError: the procedure has no circuit.
    """
    canvas = circuit_canvas(_circuit(procedure))
    return canvas.svg(f"{procedure.name}: the circuit", _STYLE)


def circuit_sheets(procedure: Procedure) -> tuple[str, ...]:
    """The circuit on as many sheets of A4 as it needs for letters of ``LEAST_LETTER`` points.

    A bar that goes on on another sheet tells the path in which it ends there.

    Raises:
        ValueError: the procedure has no circuit.
    """
    canvases = tuple(sheet_canvases(_circuit(procedure)))
    return tuple(
        canvas.svg(f"{procedure.name}: the circuit, sheet {i} of {len(canvases)}", _STYLE, paper=a4)
        for i, canvas in enumerate(canvases, 1)
        for a4 in [A4 if canvas.height > canvas.width else A4[::-1]]
    )


def _circuit(procedure: Procedure) -> Circuit:
    if procedure.circuit is None:
        raise ValueError(f"{procedure.name} has no circuit")
    return procedure.circuit


def circuit_canvas(circuit: Circuit) -> Canvas:
    """The circuit on one canvas."""
    sheet = laid_out(circuit)
    places = places_of(sheet, letters_of(sheet, numbered(sheet)))
    return drawn(places, circuit.supply, circuit.earth)


def laid_out(
    circuit: Circuit, names: Container[str] | None = None, *, rough: bool = False
) -> PathPlan:
    """The paths of ``circuit`` in their order, or in a ``rough`` one; of the parts ``names`` only.

    All parts are laid out without ``names``; with them, only terminals that lead to one another.
    """
    elements = elements_of(circuit)
    if names is not None:
        elements = joined_only([one for one in elements if one.part.name in names], circuit.supply)
    level = levels_of(elements, circuit.supply)
    return sheet_of(elements, level, circuit.supply, rough=rough)


def sheet_canvases(circuit: Circuit) -> Iterator[Canvas]:
    """The circuit cut between paths, each piece as wide as a sheet can take."""
    sheet = laid_out(circuit)
    letters = letters_of(sheet, numbered(sheet))
    first, ends = 0, cuts(sheet)
    while first < len(sheet.paths):
        pieces = [
            drawn(places_of(sheet, letters, first, last), circuit.supply, circuit.earth)
            for last in ends
            if last > first
        ]
        fitting = [piece for piece in pieces if fits(piece)] or pieces[:1]
        yield fitting[-1]
        first = [last for last in ends if last > first][len(fitting) - 1]


def fits(canvas: Canvas) -> bool:
    """True when it can be printed on A4, upright or across, with letters that can be read."""
    return any(
        canvas.width <= (wide - 2 * _EDGE) * _UNITS and canvas.height <= (tall - 2 * _EDGE) * _UNITS
        for wide, tall in (A4, A4[::-1])
    )
