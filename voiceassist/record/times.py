"""Times as RFC 3339 writes them, always with their offset from UTC."""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta, timezone
from functools import lru_cache

#: RFC 3339 section 5.6, ``date-time``; T and Z may be small letters there too.
_DATE_TIME = re.compile(
    r"(?P<date>\d{4}-\d{2}-\d{2})[Tt](?P<minute>\d{2}:\d{2}):(?P<second>\d{2})"
    r"(?:\.(?P<fraction>\d+))?(?:[Zz]|(?P<sign>[+-])(?P<hours>\d{2}):(?P<minutes>\d{2}))",
    re.ASCII,
)

#: A clock is put right by so much without a word.
_PUT_RIGHT_S = 5


def here(moment: datetime | None = None) -> datetime:
    """``moment``, now if None, by the clock on the wall, with its offset from UTC.

    In UTC, where the computer is set to an offset that no place on earth has.
    """
    try:
        return (moment or datetime.now()).astimezone()
    except ValueError:
        return (moment or datetime.now(UTC)).astimezone(UTC)


def written(moment: datetime) -> str:
    """``moment`` to the millisecond, such as "2026-01-02T08:00:00.000+01:00".

    An offset that is not whole minutes cannot be written; such a moment is given in UTC.

    Raises:
        ValueError: ``moment`` has no offset from UTC.
    """
    offset = moment.utcoffset()
    if offset is None:
        raise ValueError("a time without its offset from UTC cannot be kept")
    if offset % timedelta(minutes=1):
        moment = moment.astimezone(UTC)
    return moment.isoformat(timespec="milliseconds")


@lru_cache(maxsize=4096)  # a journal is gone through several times
def parsed(text: str) -> datetime:
    """The moment that ``text`` names; finer than a microsecond is cut off.

    A leap second, which ``datetime`` cannot hold, becomes the second after it.

    Raises:
        ValueError: ``text`` is not an RFC 3339 date-time, or names no real moment.
    """
    match = _DATE_TIME.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is not a date and time with offset, as RFC 3339 has it")
    offset = _offset(match["sign"], match["hours"], match["minutes"])
    if match["second"] != "60":
        return datetime.fromisoformat(text.upper())
    clock = datetime.fromisoformat(f"{match['date']}T{match['minute']}:59")
    micro = int((match["fraction"] or "0")[:6].ljust(6, "0"))
    try:
        return _after_leap(clock.replace(microsecond=micro, tzinfo=offset), text)
    except OverflowError:
        raise ValueError(f"{text!r} is past the last year there is") from None


def steps_back(lines: Sequence[Mapping[str, object]]) -> tuple[tuple[int, int], ...]:
    """Where the clock ran backwards: number of the line after it, and by how many seconds.

    Less than a few seconds is a clock that was put right.
    """
    found, before = [], None
    for line in lines:
        at = parsed(str(line["at"]))
        back = (before - at).total_seconds() if before is not None else 0
        if back > _PUT_RIGHT_S:
            found.append((int(str(line.get("seq") or 0)), round(back)))
        before = at
    return tuple(found)


@lru_cache(maxsize=64)
def _offset(sign: str | None, hours: str, minutes: str) -> timezone:
    if sign is None:
        return UTC
    if hours > "23" or minutes > "59":
        raise ValueError(f"{sign}{hours}:{minutes} is an offset of more than 23:59")
    size = timedelta(hours=int(hours), minutes=int(minutes))
    return timezone(-size if sign == "-" else size)


def _after_leap(moment: datetime, text: str) -> datetime:
    """Leap seconds end the last minute of a month in UTC (RFC 3339 section 5.7)."""
    month = (moment + timedelta(seconds=1)).astimezone(UTC)
    if (month.day, month.hour, month.minute) != (1, 0, 0):
        raise ValueError(f"{text!r} has a leap second where there can be none")
    return moment + timedelta(seconds=1)
