"""The readings of one test point across jobs: figures, a line for the terminal, a drawing."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from voiceassist.app.new_file import write_plot
from voiceassist.app.records.opened import Records
from voiceassist.archive.plot import drawing
from voiceassist.archive.trend import Trend

_BARS = "▁▂▃▄▅▆▇█"


def trends(records: Records, point: str, procedure: str, vehicle: str) -> Sequence[Trend]:
    """The trends at ``point``; ``procedure`` and ``vehicle`` narrow them when not empty."""
    records.sync()
    return records.archive.trends(point, procedure, vehicle)


def about(trend: Trend) -> dict[str, Any]:
    """A trend as the JSON object of ``records trend``; numbers are decimal strings."""
    found = trend.spread
    return {
        "procedure": trend.procedure,
        "step": trend.step,
        "unit": trend.unit,
        "count": found.count,
        "jobs": trend.jobs,
        "median": plain(found.median),
        "lower_quartile": plain(found.lower),
        "upper_quartile": plain(found.upper),
        "interquartile_range": plain(found.interquartile),
        "min": plain(found.least),
        "max": plain(found.most),
        "verdicts": dict(Counter(s.verdict for s in trend.samples if s.verdict)),
        "outliers": [
            {
                "session": s.session,
                "at": s.at,
                "value": plain(s.quantity.value),
                "verdict": s.verdict,
            }
            for s in trend.samples
            if found.lies_apart(s.quantity.value)
        ],
    }


def plain(value: Decimal) -> str:
    """Figures without a power of ten."""
    return f"{value:f}"


def sparkline(trend: Trend, width: int = 60) -> str:
    """The readings from the oldest to the youngest, higher bars for higher readings.

    More readings than ``width`` are taken together, each bar the median of its share.
    """
    values = [sample.quantity.value for sample in trend.samples]
    bars = min(width, len(values))
    shares = [values[i * len(values) // bars : (i + 1) * len(values) // bars] for i in range(bars)]
    middles = [sorted(share)[len(share) // 2] for share in shares]
    low, high = min(middles), max(middles)
    if low == high:
        return _BARS[3] * bars
    top = len(_BARS) - 1
    return "".join(_BARS[int((middle - low) / (high - low) * top)] for middle in middles)


def draw(found: Sequence[Trend], out: Path) -> None:
    """Write the drawing of ``found`` to a new SVG file.

    Raises:
        RecordError: the name does not end in .svg, the file is there, or the disk refuses it.
    """
    write_plot(out, drawing(found))
