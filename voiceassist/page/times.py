"""Times of a session for people, and how long it lasted without its pauses. Pure."""

from collections.abc import Mapping, Sequence

from voiceassist.record import times

Line = Mapping[str, object]

#: Of one break; what is longer is no time.
_MOST_S = 1e11
_STAND_BY, _GO_AHEAD = "stand-by", "go-ahead"


def clock(at: str) -> str:
    """Hours, minutes and seconds of an RFC 3339 time: "08:00:01"."""
    return at[11:19]


def day_and_minute(at: str) -> str:
    """An RFC 3339 time as people read it, with its offset from UTC: "2026-01-02 08:00 +01:00"."""
    if len(at) < 17:
        return at
    offset = at[-6:] if at[-6] in "+-" else "UTC"
    return f"{at[:10]} {at[11:16]} {'UTC' if offset in {'+00:00', '-00:00'} else offset}"


def between_s(earlier: str, later: str) -> float:
    """Seconds from one RFC 3339 time to another; 0 when a clock was set back, or for no time."""
    try:
        passed = times.parsed(later) - times.parsed(earlier)
    except ValueError:
        return 0.0
    return max(0.0, passed.total_seconds())


def length(seconds: float) -> str:
    """A length of time: "41 s", "7 min 5 s", "2 h 3 min"."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"


def away_s(line: Line) -> float:
    """Seconds that a "returned" line tells the session was cut off before it; else 0."""
    value = line.get("away_s") if line["event"] == "returned" else None
    return float(value) if isinstance(value, int | float) and 0 <= value < _MOST_S else 0.0


def paused_s(lines: Sequence[Line]) -> float:
    """Seconds the session was cut off or standing by, in all."""
    total, since = sum(map(away_s, lines)), ""
    for line in lines:
        name = command(line)
        if name == _STAND_BY and not since:
            since = str(line["at"])
        elif since and (name == _GO_AHEAD or line["event"] in {"returned", "end"}):
            # What is away since a break is counted by its own line.
            total += max(0.0, between_s(since, str(line["at"])) - away_s(line))
            since = ""
    return total


def command(line: Line) -> str:
    """The name of the command that a "heard" line was taken for; empty for anything else."""
    meanings = line.get("meanings") if line["event"] == "heard" else None
    if not isinstance(meanings, list | tuple) or len(meanings) != 1 or line.get("doubtful"):
        return ""
    only = meanings[0]
    is_command = isinstance(only, Mapping) and only.get("kind") == "command"
    return str(only.get("name") or "") if is_command else ""
