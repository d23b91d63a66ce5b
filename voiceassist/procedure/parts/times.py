"""A length of time as a file writes it."""

import re

from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_TIME = re.compile(r"(?:(\d{1,6})\s*h)?\s*(?:(\d{1,6})\s*min)?\s*(?:(\d{1,6})\s*s)?")
_LONGEST_S = 24 * 3600


def seconds_at(path: Path, text: str, blame: FaultCollector, called: str = "time to wait") -> int:
    """The seconds that ``text`` at ``path`` tells; 0 for none; ``called`` tells what they are."""
    match = _TIME.fullmatch(text)
    hours, minutes, seconds = (int(part or 0) for part in match.groups()) if match else (0, 0, 0)
    total = hours * 3600 + minutes * 60 + seconds
    if not 0 < total <= _LONGEST_S:
        message = f"{text!r} is no {called}; write it like 30 s, 20 min or 1 h 30 min"
        blame.error(path, f"{message}, up to 24 h")
    return total
