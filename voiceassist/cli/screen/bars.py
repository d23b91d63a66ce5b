"""Bars of block characters: a reading on its limit, and the microphone's level. Pure."""

from decimal import Decimal

from voiceassist.app.view import Scale

#: Outside the limit, too close to call, inside.
OUTSIDE, CLOSE, INSIDE = "░", "▒", "█"
_VALUE, _BELOW, _ABOVE = "▼", "◀", "▶"
_QUIETEST_DB = -80


def limit_bar(scale: Scale, shown: str, width: int) -> tuple[str, str, str]:
    """A reading on its limit, three rows of at most ``width`` columns.

    Returns:
        The reading over its place (an arrow that points outwards where it lies beyond the bar);
        the bar; the ends of the limit under their places.
    """
    places = [_place(scale, value, width) for value in scale.values]
    bar = "".join(_zone(scale, cell, width) for cell in range(width))
    return _pointer(places, shown, width), bar, _marks(scale, width)


def level_bar(dbfs: int, noise_dbfs: int, width: int) -> str:
    """The microphone's level from -80 dB to full scale; "|" marks the noise of the room."""
    filled, noise = (_cells(level, width) for level in (dbfs, noise_dbfs))
    bar = INSIDE * filled + OUTSIDE * (width - filled)
    at = min(noise, width - 1)
    return f"{bar[:at]}|{bar[at + 1 :]}"


def _cells(dbfs: int, width: int) -> int:
    return max(0, min(width, (dbfs - _QUIETEST_DB) * width // -_QUIETEST_DB))


def _place(scale: Scale, value: Decimal, width: int) -> int:
    """The column of ``value``; -1 or ``width`` when it lies beyond the bar."""
    start, end = scale.ends
    return max(-1, min(width, int((value - start) * width // (end - start))))


def _zone(scale: Scale, cell: int, width: int) -> str:
    """What the middle of a column means for a reading there."""
    start, end = scale.ends
    value = start + (end - start) * (2 * cell + 1) / (2 * width)
    if _within(value, scale.guard_low, scale.guard_high) and _within(value, scale.low, scale.high):
        return INSIDE
    return CLOSE if _is_close(scale, value) else OUTSIDE


def _within(value: Decimal, low: Decimal | None, high: Decimal | None) -> bool:
    return (low is None or value >= low) and (high is None or value <= high)


def _is_close(scale: Scale, value: Decimal) -> bool:
    """As far from an end as its guard, on either side."""
    pairs = ((scale.low, scale.guard_low), (scale.high, scale.guard_high))
    return any(
        abs(value - end) <= abs(guard - end)
        for end, guard in pairs
        if end is not None and guard is not None
    )


def _pointer(places: list[int], shown: str, width: int) -> str:
    if not places or places[-1] >= width:  # over range, or beyond the upper end of the bar
        return _right(f"{shown} {_ABOVE}", width)
    if places[0] < 0:
        return f"{_BELOW} {shown}"
    row = [" "] * width
    for place in places:
        row[place] = _VALUE
    text = "".join(row).rstrip()
    if len(text) + 1 + len(shown) <= width:
        return f"{text} {shown}"
    return _right(f"{shown} {text.lstrip()}", len(text))


def _right(text: str, width: int) -> str:
    return text.rjust(width)


def _marks(scale: Scale, width: int) -> str:
    """The ends of the limit, each beginning or ending under its place."""
    row = [" "] * width
    if scale.low is not None:
        text = f"└ {scale.low_text}"
        _put(row, _place(scale, scale.low, width), text)
    if scale.high is not None:
        text = f"{scale.high_text} ┘"
        _put(row, _place(scale, scale.high, width) - len(text), text)
    return "".join(row).rstrip()


def _put(row: list[str], at: int, text: str) -> None:
    at = max(0, min(at, len(row) - len(text)))
    for place, letter in enumerate(text, at):
        if place < len(row):
            row[place] = letter
