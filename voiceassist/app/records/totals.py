"""What many jobs come to together."""

from decimal import Decimal
from pathlib import Path
from typing import Any

from voiceassist.app.new_file import write_plot
from voiceassist.archive.find import OPEN
from voiceassist.archive.plot_totals import drawing_of_totals
from voiceassist.archive.spread import ValueSpread
from voiceassist.archive.totals import Totals
from voiceassist.record.outcomes import OUTCOMES

WORDS = {**OUTCOMES, OPEN: "not ended"}


def about_totals(totals: Totals) -> dict[str, Any]:
    """Totals as the JSON object of ``records totals``; numbers with a point are decimal strings."""
    return {
        "jobs": totals.jobs,
        "weeks": [
            {"monday": str(week.monday), "jobs": week.jobs, "outcomes": dict(week.outcomes)}
            for week in totals.weeks
        ],
        "outcomes": dict(totals.outcomes),
        "minutes": _spread(totals.minutes),
        "questions": _spread(totals.questions),
        "skipped": [
            {"procedure": procedure, "step": step, "jobs": count}
            for procedure, step, count in totals.skipped
        ],
    }


def _spread(found: ValueSpread | None) -> dict[str, Any] | None:
    if found is None:
        return None
    names = ("least", "lower", "median", "upper", "most")
    return {name: plainly(getattr(found, name)) for name in names}


def plainly(value: Decimal) -> str:
    """Figures with one place behind the point at most, and no power of ten."""
    return f"{value.quantize(Decimal('0.1')):f}".removesuffix(".0")


def draw_totals(totals: Totals, out: Path) -> None:
    """Write the drawing of ``told`` to a new SVG file.

    Raises:
        RecordError: the name does not end in .svg, the file is there, or the disk refuses it.
    """
    write_plot(out, drawing_of_totals(totals, WORDS))
