"""Whether words hold one of several phrases, of which ... stands for any words."""

import re
from functools import cache


def is_told(phrases: str, words: str) -> bool:
    """Whether one of ``phrases``, parted by commas, stands in ``words``; case and commas aside."""
    text = " ".join(words.lower().replace(",", " ").replace("’", "'").split())
    return _pattern(phrases).search(text) is not None


@cache
def _pattern(phrases: str) -> re.Pattern[str]:
    ways = (re.escape(way).replace(r"\.\.\.", ".*") for way in phrases.split(", "))
    return re.compile(rf"\b(?:{'|'.join(ways)})(?!\w)")
