"""The flow chart in the text that the Mermaid library draws (flowchart, from the top down)."""

import re
from collections.abc import Iterator, Sequence

from voiceassist.draw.chart import Chart, Likely, chart_of, limit_text, pins, takes, wish
from voiceassist.procedure.model import Kind, Procedure, Step

#: What would end a text in quotes, or begin a mark of the library; written by its number.
_MARKS = re.compile(r'[#"<>&;\\`]')


def flow_mermaid(
    procedure: Procedure, path: Sequence[str] = (), likely: Likely | None = None
) -> str:
    """The flow chart as Mermaid text; ``path`` and ``likely`` as in ``draw_flow``."""
    return "\n".join(_lines(chart_of(procedure, path, likely))) + "\n"


def _lines(chart: Chart) -> Iterator[str]:
    yield "flowchart TD"
    yield f"  %% {_plain(chart.procedure.name)}"
    ids = {step.name: f"s{i}" for i, step in enumerate(chart.steps)}
    targets = dict.fromkeys(one.target for one in chart.exits)
    ends = [name for name in targets if name in chart.procedure.findings]
    ids |= {name: f"f{i}" for i, name in enumerate(ends)}
    for step in chart.steps:
        yield f"  {ids[step.name]}{_shape(step)}"
    for name in ends:
        told = (name, chart.procedure.findings[name].cause, chart.share_of(name))
        text = "<br/>".join(quoted(one) for one in told if one)
        yield f'  {ids[name]}(["{text}"])'
    for one in chart.exits:
        arrow = "==>" if one.taken else "-->"
        yield f'  {ids[one.step]} {arrow}|"{quoted(one.label)}"| {ids[one.target]}'
    taken = [ids[name] for name in ids if name in chart.taken]
    if taken:
        yield "  classDef taken stroke-width:4px"
        yield f"  class {','.join(taken)} taken"


def _shape(step: Step) -> str:
    lines = [quoted(step.name), quoted(wish(step))]
    limit = limit_text(step)
    lines += [f"→ {quoted(limit)}"] if limit else []
    lines += [quoted(told) for told in (*pins(step), *takes(step))]
    text = "<br/>".join(line for line in lines if line)
    return f'{{{{"{text}"}}}}' if step.kind is Kind.ASK else f'["{text}"]'


def quoted(text: str) -> str:
    """``text`` as it can stand in quotes, its marks by their number: '"' is '#34;'."""
    return _MARKS.sub(lambda mark: f"#{ord(mark[0])};", text.replace("\n", " "))


def _plain(text: str) -> str:
    return re.sub(r"[{}%]", " ", text)
