"""How long a session lasted without its pauses. Pure: journal lines in, seconds out."""

from collections.abc import Mapping, Sequence

from voiceassist.record import times

Line = Mapping[str, object]

#: Of one break; what is longer is no time.
_MOST_S = 1e11
_STAND_BY, _GO_AHEAD = "stand-by", "go-ahead"


def worked_s(lines: Sequence[Line]) -> float:
    """Seconds from the first line to the last, without pauses."""
    if not lines:
        return 0.0
    mine = to_the_end(lines)
    passed = between_s(str(mine[0].get("at")), str(mine[-1].get("at")))
    return max(0.0, passed - paused_s(mine))


def to_the_end(lines: Sequence[Line]) -> Sequence[Line]:
    """``lines`` without what was added after the session had ended."""
    for number, line in enumerate(lines, 1):
        if line["event"] == "end":
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
