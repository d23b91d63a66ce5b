"""A page that can tell whether it was edited since it was made. Pure: text in, text out.

It ends with a comment that holds the SHA-256 of all before it. That shows a slip, or a hand that
does not know of it; who does can put another one there. What a page tells is proved by the
journal alone.
"""

import re

from voiceassist.record.entry import digest

_SEAL = re.compile(r"<!-- SHA-256 of all before: ([0-9a-f]{64}) -->\n\Z")


def sealed(page: str) -> str:
    """``page`` with the comment behind it."""
    return f"{page}<!-- SHA-256 of all before: {_digest(page)} -->\n"


def is_edited(page: str) -> bool:
    """It has such a comment, and is not what that was made for; pages of before have none."""
    found = _SEAL.search(page)
    return found is not None and found[1] != _digest(page[: found.start()])


def _digest(text: str) -> str:
    return digest(text.encode("utf-8", "surrogatepass"))
