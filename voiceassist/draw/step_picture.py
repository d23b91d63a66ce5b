"""The picture of a step as an SVG: the circuit with the instrument in it, and where it is held."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from voiceassist.draw.canvas import Canvas
from voiceassist.draw.face_panel import face_panel
from voiceassist.draw.faces import faces_of
from voiceassist.draw.panels import head_panel, leads_panel, notes_panel
from voiceassist.draw.scale_panel import scale_panel
from voiceassist.draw.step_circuit import DrawingOrder, StepCircuit, step_circuit
from voiceassist.draw.step_view import StepMoment, StepView, step_view
from voiceassist.draw.step_words import step_words
from voiceassist.procedure.model import Procedure

__all__ = ["STYLE", "StepMoment", "step_picture"]

#: Width of a picture for a telephone, and the height it has at most where that can be.
NARROW, TALLEST = 372.0, 1110.0
#: Width and height of one with its panels side by side, on A4 across and upright: with 10 mm at
#: each edge its letters have 7 points there.
PAPERS = ((960.0, 750.0), (750.0, 1110.0))
_MARGIN, _GAP, _BESIDE = 4.0, 12.0, 300.0
#: Height of what is told of parts that are left out.
_NOTES = 44.0

#: What an id in a page had better not have.
_UNFIT = re.compile(r"[^\w-]+")
#: For every picture of a step; put into a page's own style sheet where none may stand in a picture.
STYLE = (
    ".step-picture{color:inherit;--lead-red:#d3302f}"
    '.step-picture text{font-family:"Liberation Sans",Arial,Helvetica,sans-serif;'
    "fill:currentColor}"
    ".step-picture .bold{font-weight:bold}.step-picture .pale{fill-opacity:.8}"
    ".step-picture .on-dark{fill:#fff}.step-picture .on-light{fill:#000}"
    ".step-picture :is(.wire,.part,.thin,.dashed,.rail,.live,.live-rail,.thick,.box,.dial,.clamp,"
    ".probed,.unknown,.lead-red,.lead-black,.lead-lamp){fill:none;stroke:currentColor;"
    "stroke-width:1.3}"
    ".step-picture .thick{stroke-width:3}.step-picture .rail{stroke-width:2}"
    ".step-picture .live{stroke-width:3.6}.step-picture .live-rail{stroke-width:4.4}"
    ".step-picture .dashed,.step-picture .unknown{stroke-dasharray:3 2}"
    ".step-picture .box{stroke-opacity:.6}.step-picture .dial{stroke-width:2}"
    ".step-picture .clamp,.step-picture .probed{stroke-width:3.2}"
    ".step-picture .dot{fill:currentColor;stroke:none}"
    ".step-picture .lead-red{stroke:var(--lead-red);stroke-width:2.2}"
    ".step-picture :is(.lead-black,.lead-lamp){stroke-width:2.2;stroke-dasharray:7 2}"
    ".step-picture .tip-red{fill:var(--lead-red);stroke:none}"
    ".step-picture :is(.tip-black,.tip-lamp){fill:currentColor;stroke:none}"
    ".step-picture .within{fill:currentColor;fill-opacity:.3;stroke:none}"
    ".step-picture .signal-danger{fill:#c8102e}.step-picture .signal-warning{fill:#ff8200}"
    ".step-picture .signal-caution{fill:#ffd100}.step-picture .signal-notice{fill:#0057b8}"
)
#: For a picture in a file of its own, which brings its paper along.
_ALONE = (
    ".step-picture{color-scheme:light dark;background:Canvas;color:CanvasText}"
    "@media (prefers-color-scheme:dark){.step-picture{--lead-red:#ff6b60}}"
    "@media print{.step-picture{color:#000;background:#fff}}"
)


def step_picture(
    procedure: Procedure,
    name: str,
    moment: StepMoment | None = None,
    *,
    wide: bool = False,
    styled: bool = True,
    alone: bool = False,
) -> str:
    """The picture of a step, or of a step of a repair.

    Args:
        procedure: that the step is of.
        name: of the step.
        moment: what is known while it is under way.
        wide: panels stand side by side; otherwise one below the other, for a telephone.
        styled: with ``STYLE`` in it, as a page needs that has it not.
        alone: for a file of its own, with paper behind it.

    Raises:
        KeyError: there is no such step.
    """
    view = step_view(procedure, name, moment or StepMoment())
    return _svg(view, picture_canvas(view, wide=wide), styled=styled, alone=alone)


def picture_canvas(view: StepView, *, wide: bool = False) -> Canvas:
    """Everything on one canvas."""
    if not wide or view.look is None:
        return _one_below_the_other(view)
    found = [_side_by_side(view, width, height) for width, height in PAPERS]
    return min(found, key=lambda one: (not one.fits, one.left_out)).canvas


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A picture, whether it fits on its paper, and how many parts are left out."""

    canvas: Canvas
    fits: bool
    left_out: int


def _one_below_the_other(view: StepView) -> Canvas:
    canvas = Canvas(width=NARROW)
    _below(canvas, [head_panel(view, NARROW)])
    left = TALLEST - canvas.height - sum(p.height + _GAP for p in _rest(view, (), NARROW)) - _NOTES
    circuit = _circuit(view, (NARROW, left))
    _below(canvas, [circuit.canvas] if circuit else [])
    _below(canvas, _rest(view, circuit.left_out if circuit else (), NARROW))
    return canvas


def _side_by_side(view: StepView, width: float, height: float) -> _Sheet:
    """The circuit, and beside it the rest, on a paper of ``width`` and ``height``."""
    canvas, column = Canvas(), Canvas()
    _below(canvas, [head_panel(view, width)])
    y = canvas.height + _GAP
    circuit = _circuit(view, (width - _BESIDE - _GAP, height - y))
    if circuit is None:
        return _Sheet(canvas, fits=False, left_out=0)
    _below(column, _rest(view, circuit.left_out, _BESIDE))
    canvas.put(circuit.canvas, 0, y)
    canvas.put(column, circuit.canvas.width + _GAP, y)
    fits = canvas.width <= width and canvas.height <= height
    return _Sheet(canvas, fits, len(circuit.left_out))


def _rest(view: StepView, left_out: Sequence[str], width: float) -> list[Canvas]:
    """What stands below or beside the circuit."""
    return [
        leads_panel(view.held, width),
        *(face_panel(face, width) for face in faces_of(view)),
        scale_panel(view, width),
        notes_panel(view, left_out, width),
    ]


def _below(canvas: Canvas, panels: Sequence[Canvas]) -> None:
    """Each panel below what is there."""
    for panel in panels:
        if panel.height:
            canvas.put(panel, 0, canvas.height + (_GAP if canvas.height else 0))


def _circuit(view: StepView, room: tuple[float, float]) -> StepCircuit | None:
    circuit = view.procedure.circuit
    if circuit is None or view.look is None:
        return None
    wish = DrawingOrder(view.look, told_in(view), (room[0], max(room[1], 0.0)))
    return step_circuit(circuit, view.probe, wish)


def told_in(view: StepView) -> tuple[str, ...]:
    """Names of nodes and parts of the circuit that the step speaks of."""
    circuit = view.procedure.circuit
    names = [point.name for point in view.step.points]
    if circuit is not None:
        names += [name for name in circuit.parts if name in view.step.text]
        names += [name for name in circuit.plugs if name in dict(view.needs)]
    return tuple(dict.fromkeys(names))


def _svg(view: StepView, canvas: Canvas, *, styled: bool, alone: bool) -> str:
    width, height = canvas.width + 2 * _MARGIN, canvas.height + 2 * _MARGIN
    key = _UNFIT.sub("-", f"{view.procedure.name}-{view.step.name}")
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="step-picture" role="img" '
        f'aria-labelledby="{key}-title {key}-desc" width="{width:.0f}" height="{height:.0f}" '
        f'viewBox="{-_MARGIN:g} {-_MARGIN:g} {width:.0f} {height:.0f}">'
    )
    title, *rest = step_words(view)
    told = [
        f'<title id="{key}-title">{escape(title)}</title>',
        f'<desc id="{key}-desc">{escape(". ".join(rest))}.</desc>',
    ]
    style = (STYLE if styled else "") + (_ALONE if alone else "")
    parts = [head, *told, *([f"<style>{style}</style>"] if style else []), canvas.drawn, "</svg>"]
    return "\n".join(parts) + "\n"
