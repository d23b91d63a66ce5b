"""Arabic letters that join their neighbours, as the forms that the Unicode Standard has for them.

A PDF's fonts are drawn sign by sign here, so each letter must be the right one of its forms
(Unicode Standard, chapter 9.2 "Arabic", and the blocks of presentation forms) beforehand.
"""

import unicodedata
from collections.abc import Callable
from functools import cache

_ARABIC = "AL"


def joined(text: str) -> str:
    """``text``, still in the order it is read in, with letters that join as such."""
    if not any(unicodedata.bidirectional(c) == _ARABIC for c in text):
        return text
    return _joiner()(text)


def stands_apart(c: str) -> bool:
    """A letter that should have been joined and has no form for it: it would be read wrongly."""
    letter = unicodedata.bidirectional(c) == _ARABIC and unicodedata.category(c) == "Lo"
    return letter and not unicodedata.decomposition(c).startswith("<")


@cache
def _joiner() -> Callable[[str], str]:
    from arabic_reshaper import ArabicReshaper  # seldom needed

    reshape: Callable[[str], str] = ArabicReshaper({"delete_harakat": False}).reshape
    return reshape
