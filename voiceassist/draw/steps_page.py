"""The pictures of all steps of a procedure as one page, for a screen or for paper."""

from collections.abc import Iterable, Iterator
from html import escape

from voiceassist.draw.step_picture import STYLE, step_picture
from voiceassist.procedure.model import Procedure, Step

_STYLE = (
    ":root{color-scheme:light dark}"
    "body{font:1rem/1.4 system-ui,sans-serif;margin:.5rem;background:Canvas;color:CanvasText}"
    "h1{font-size:1.3rem}h2{font-size:1.1rem;margin:1.5rem .25rem .5rem}"
    ".steps{display:grid;gap:1.5rem;align-items:start;"
    "grid-template-columns:repeat(auto-fill,minmax(min(100%,23rem),1fr))}"
    "figure{margin:0;break-inside:avoid}"
    ".step-picture{display:block;width:100%;max-width:27rem;height:auto}"
    "@media (prefers-color-scheme:dark){.step-picture{--lead-red:#ff6b60}}"
    # 93 mm leave the letters of a picture 7 points.
    "@page{size:A4;margin:10mm}@media print{:root{color-scheme:light}body{margin:0}"
    ".steps{grid-template-columns:93mm 93mm;gap:4mm}"
    ".step-picture{width:93mm;max-height:270mm;print-color-adjust:exact}}"
)
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def steps_page(procedure: Procedure) -> str:
    """A page that needs nothing else, with the picture of every step and repair step."""
    return "\n".join(_page(procedure)) + "\n"


def _page(procedure: Procedure) -> Iterator[str]:
    title = escape(f"{procedure.title}: the steps")
    yield (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        f"<title>{title}</title>\n<style>{_STYLE}{STYLE}</style>\n</head>\n<body>"
    )
    yield f"<h1>{title}</h1>\n<p>{escape(procedure.subject)}</p>"
    yield from _part(procedure, "Steps", procedure.steps.values())
    yield from _part(procedure, "Repair", procedure.repairs.values())
    yield "</body>\n</html>"


def _part(procedure: Procedure, title: str, steps: Iterable[Step]) -> Iterator[str]:
    names = [step.name for step in steps]
    if not names:
        return
    yield f'<h2>{title}</h2>\n<div class="steps">'
    for name in names:
        yield f"<figure>{step_picture(procedure, name, styled=False).strip()}</figure>"
    yield "</div>"
