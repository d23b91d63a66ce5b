"""Trends as a drawing. Pure: trends in, SVG text out.

One panel a step: readings over time as dots, outliers as diamonds, the middle half as a band,
the median as a line. Shapes and words carry the meaning, not colours. Binary floats hold places
on the paper only, never a reading.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from voiceassist.archive.spread import ValueSpread
from voiceassist.archive.svg import INK, line, rect, sheet, text
from voiceassist.archive.trend import Sample, Trend
from voiceassist.record import times

WIDTH, HEIGHT = 820, 300
_LEFT, _RIGHT, _TOP, _BOTTOM = 80, 110, 46, 60
#: Half the width of the sign for an end of a limit.
_TICK = 6


@dataclass(frozen=True, slots=True)
class _Scale:
    """Places of times and values in one panel."""

    first: float
    last: float
    low: float
    high: float
    top: float

    def x(self, moment: float) -> float:
        share = (moment - self.first) / (self.last - self.first) if self.last > self.first else 0.5
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.top + HEIGHT - _BOTTOM - share * (HEIGHT - _TOP - _BOTTOM)


def drawing(found: Sequence[Trend]) -> str:
    """The drawing of ``found``, panels below each other; says so when there is none."""
    parts = [part for n, trend in enumerate(found) for part in _panel(trend, n * HEIGHT)]
    return sheet(WIDTH, HEIGHT * max(1, len(found)), parts or [text(_LEFT, _TOP, "no readings")])


def _panel(trend: Trend, top: int) -> Iterator[str]:
    spread = trend.spread
    scale = _scale(trend, spread, top)
    readings = "1 reading" if spread.count == 1 else f"{spread.count} readings"
    jobs = "1 job" if trend.jobs == 1 else f"{trend.jobs} jobs"
    yield f"<title>{escape(trend.step)}</title>" if top == 0 else ""
    head = f"{trend.step}, {trend.procedure}: {readings} of {jobs}, in {trend.unit}"
    yield text(_LEFT, top + 24, head, weight="bold")
    yield from _frame(scale, trend, spread)
    for sample in trend.samples:
        yield from _limit(scale, sample)
    for sample in trend.samples:
        yield _mark(scale, sample, apart=spread.lies_apart(sample.quantity.value))
    legend = "● reading, ◆ outlier; grey band: the middle half; line: the median"
    if any(end is not None for sample in trend.samples for end in sample.ends):
        legend += "; ┬ ┴: its limit"
    yield text(_LEFT, top + HEIGHT - 12, legend)


def _scale(trend: Trend, spread: ValueSpread, top: int) -> _Scale:
    moments = [_moment(sample) for sample in trend.samples]
    ends = [float(end) for sample in trend.samples for end in sample.ends if end is not None]
    low, high = min([float(spread.least), *ends]), max([float(spread.most), *ends])
    room = (high - low) * 0.08 or abs(high) * 0.1 or 1.0
    return _Scale(min(moments), max(moments), low - room, high + room, top)


def _frame(scale: _Scale, trend: Trend, spread: ValueSpread) -> Iterator[str]:
    """Band, median, the values at the edge, the first and the last day."""
    left, right = _LEFT, WIDTH - _RIGHT
    upper, lower = scale.y(float(spread.upper)), scale.y(float(spread.lower))
    yield rect(left, upper, right - left, max(lower - upper, 1.0))
    median, floor = scale.y(float(spread.median)), scale.y(scale.low)
    yield line(left, median, right, median, 2)
    yield line(left, scale.y(scale.high), left, floor, 1)
    yield line(left, floor, right, floor, 1)
    yield text(right + 8, median + 4, f"{spread.median:f} {trend.unit}")
    for value in sorted({spread.least, spread.most}):
        yield text(left - 8, scale.y(float(value)) + 4, f"{value:f}", anchor="end")
    first, last = trend.samples[0].at[:10], trend.samples[-1].at[:10]
    yield text(left, floor + 18, first)
    if last != first:
        yield text(right, floor + 18, last, anchor="end")


def _limit(scale: _Scale, sample: Sample) -> Iterator[str]:
    """The ends of a reading's limit above and below it; from one vehicle to the next they move."""
    x = scale.x(_moment(sample))
    for end, inward in zip(sample.ends, (-_TICK, _TICK), strict=True):
        if end is not None:
            y = scale.y(float(end))
            yield line(x - _TICK, y, x + _TICK, y, 2)
            yield line(x, y, x, y + inward, 2)


def _mark(scale: _Scale, sample: Sample, *, apart: bool) -> str:
    x, y = scale.x(_moment(sample)), scale.y(float(sample.quantity.value))
    about = [sample.verdict or "no verdict", sample.limit and f"limit {sample.limit}"]
    about += [sample.vehicle, sample.at[:10], sample.session]
    told = ", ".join([str(sample.quantity), *filter(None, about)])
    title = f"<title>{escape(told)}</title>"
    if apart:
        corners = f"M{x:.1f} {y - 7:.1f}l7 7l-7 7l-7 -7z"
        return f'<path d="{corners}" fill="{INK}">{title}</path>'
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill-opacity="0.6">{title}</circle>'


def _moment(sample: Sample) -> float:
    return times.parsed(sample.at).timestamp()
