"""How long a session lasted without its pauses. Pure: journal lines in, seconds out."""

from collections.abc import Sequence

from voiceassist.record import times
from voiceassist.record.lines import End, Heard, Line, ReturnedLine

#: Of one break; what is longer is no time.
_MOST_S = 1e11
_STAND_BY, _GO_AHEAD = "stand-by", "go-ahead"


def worked_s(lines: Sequence[Line]) -> float:
    """Seconds from the first line to the last, without pauses."""
    if not lines:
        return 0.0
    mine = to_the_end(lines)
    passed = between_s(mine[0].at, mine[-1].at)
    return max(0.0, passed - paused_s(mine))


def to_the_end(lines: Sequence[Line]) -> Sequence[Line]:
    """``lines`` without what was added after the session had ended."""
    for number, line in enumerate(lines, 1):
        if isinstance(line, End):
            return lines[:number]
    return lines


def between_s(earlier: str, later: str) -> float:
    """Seconds from one RFC 3339 time to another; 0 when a clock was set back, or for no time."""
    try:
        passed = times.parsed(later) - times.parsed(earlier)
    except ValueError:
        return 0.0
    return max(0.0, passed.total_seconds())


def away_s(line: Line) -> float:
    """Seconds that a "returned" line tells the session was cut off before it; else 0."""
    value = line.away_s if isinstance(line, ReturnedLine) else None
    return value if value is not None and 0 <= value < _MOST_S else 0.0


def paused_s(lines: Sequence[Line]) -> float:
    """Seconds the session was cut off or standing by, in all."""
    total, since = sum(map(away_s, lines)), ""
    for line in lines:
        name = line.command if isinstance(line, Heard) else ""
        if name == _STAND_BY and not since:
            since = line.at
        elif since and (name == _GO_AHEAD or isinstance(line, ReturnedLine | End)):
            # What is away since a break is counted by its own line.
            total += max(0.0, between_s(since, line.at) - away_s(line))
            since = ""
    return total
