"""Totals as a drawing. Pure: totals in, SVG text out.

Above, the jobs of each week as bars; below, outcomes and skipped steps as bars with their
figures in words. Shapes and words carry the meaning, not colours.
"""

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from voiceassist.archive.svg import SOFT, line, rect, sheet, text
from voiceassist.archive.totals import Totals, Week

WIDTH = 820
_LEFT, _RIGHT, _TOP = 60, 30, 46
_HIGH, _ROW = 190, 22
_NAMES = 330  # where bars below begin: left of them stand their names
_DONE = "#23445c"
_WIDEST = 90
#: Weeks under which a day is written: as many as fit.
_DAYS = 8
#: Outcome that the dark part of a week's bar counts.
_PROVED = "repaired"


def drawing_of_totals(found: Totals, words: Mapping[str, str]) -> str:
    """The drawing of ``found``; ``words`` tells outcomes as people read them."""
    outcomes = [(words.get(name, name), count) for name, count in found.outcomes]
    skipped = [(f"{step} ({procedure})", count) for procedure, step, count in found.skipped]
    rows = len(outcomes) + len(skipped)
    height = _TOP + _HIGH + 60 + rows * _ROW + (90 if skipped else 50)
    parts = [
        text(_LEFT, 24, f"Jobs a week, {found.jobs} in all", weight="bold"),
        *_weeks(found.weeks),
    ]
    y = _TOP + _HIGH + 62
    parts += [text(_LEFT, y, "Outcomes", weight="bold"), *_bars(outcomes, y + 8)]
    if skipped:
        y += 8 + len(outcomes) * _ROW + 30
        parts += [text(_LEFT, y, "Steps skipped most, jobs", weight="bold"), *_bars(skipped, y + 8)]
    return sheet(WIDTH, height, parts, "Jobs by week, outcome and skipped step")


def _weeks(weeks: Sequence[Week]) -> Iterator[str]:
    if not weeks:
        yield text(_LEFT, _TOP + 20, "no jobs")
        return
    most = max(week.jobs for week in weeks)
    wide = min(_WIDEST, (WIDTH - _LEFT - _RIGHT) / len(weeks))
    floor = _TOP + _HIGH
    every = -(-len(weeks) // _DAYS)
    for number, week in enumerate(weeks):
        x, high = _LEFT + number * wide, _HIGH * week.jobs / max(1, most)
        proved = dict(week.outcomes).get(_PROVED, 0)
        dark = _HIGH * proved / max(1, most)
        title = f"week of {week.monday}: {week.jobs} jobs, {proved} repaired and proved"
        yield f"<g><title>{escape(title)}</title>"
        yield rect(x + wide * 0.1, floor - high, wide * 0.8, high)
        yield rect(x + wide * 0.1, floor - dark, wide * 0.8, dark, _DONE)
        yield "</g>"
        if number % every == 0:
            yield text(x + wide * 0.1, floor + 17, str(week.monday))
    yield line(_LEFT, floor, WIDTH - _RIGHT, floor)
    yield text(_LEFT - 8, _TOP + 6, str(most), anchor="end")
    yield text(_LEFT - 8, floor + 4, "0", anchor="end")
    yield text(_LEFT, floor + 35, "dark: repaired, and the repair proved", colour=SOFT)


def _bars(rows: Sequence[tuple[str, int]], top: float) -> Iterator[str]:
    most = max((count for _, count in rows), default=1)
    for number, (name, count) in enumerate(rows):
        y = top + number * _ROW
        long = (WIDTH - _NAMES - _RIGHT - 50) * count / most
        shown = name if len(name) <= 42 else f"{name[:41]}…"
        yield text(_NAMES - 10, y + 15, shown, anchor="end")
        yield rect(_NAMES, y + 3, long, _ROW - 7)
        yield text(_NAMES + long + 6, y + 15, str(count))
