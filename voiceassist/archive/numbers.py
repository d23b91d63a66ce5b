"""By what sessions are put in order and compared: their numbers and repair orders. Pure."""

from datetime import UTC, datetime, timedelta
from hashlib import sha256

from voiceassist.record import times

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
#: Bits of a session's number that tell apart what began in the same millisecond.
CHANCE_BITS = 14


def number_from(moment: datetime) -> int:
    """The smallest number of sessions that began at ``moment`` (to the millisecond) or later."""
    return ((moment - _EPOCH) // timedelta(milliseconds=1)) << CHANCE_BITS


def number_of(folder: str, began: str) -> int:
    """The number of a session by its beginning, RFC 3339; without one, by its folder's name."""
    try:
        moment = times.parsed(began)
    except ValueError:
        moment = _named(folder)
    chance = int.from_bytes(sha256(folder.encode("utf-8", "replace")).digest()[:4], "big")
    return number_from(moment) | chance % (1 << CHANCE_BITS)


def _named(folder: str) -> datetime:
    try:
        return datetime.strptime(folder[:15], "%Y%m%d-%H%M%S").replace(tzinfo=UTC)
    except ValueError:
        return _EPOCH
