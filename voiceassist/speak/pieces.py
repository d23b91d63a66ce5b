"""Long text in pieces that end where a speaker may stop."""

import re

#: A sentence longer than this, in letters, is broken at its clauses too: some six seconds.
_LONG = 100
_SENTENCE_END = re.compile(r"(?<=[.?!…])\s+(?=[^\s\d]|\d+\D)")
_CLAUSE_END = re.compile(r"(?<=[,;:])\s+")
#: Too short to stand alone: an abbreviation, not a sentence.
_SHORTEST = 4


def pieces(text: str) -> tuple[str, ...]:
    """``text`` cut at its sentence ends, and long sentences at their clauses.

    Joined by spaces they are ``text`` again, its white space made single.
    """
    found: list[str] = []
    for sentence in _SENTENCE_END.split(" ".join(text.split())):
        parts = _gathered(_CLAUSE_END.split(sentence)) if len(sentence) > _LONG else [sentence]
        found += parts
    return tuple(_without_scraps([part for part in found if part]))


def _gathered(clauses: list[str]) -> list[str]:
    """Clauses put together again while they are short: each break is a breath."""
    found = clauses[:1]
    for clause in clauses[1:]:
        if len(found[-1]) + len(clause) < _LONG:
            found[-1] += f" {clause}"
        else:
            found.append(clause)
    return found


def _without_scraps(parts: list[str]) -> list[str]:
    found: list[str] = []
    for part in parts:
        if found and (len(part) < _SHORTEST or len(found[-1]) < _SHORTEST):
            found[-1] += f" {part}"
        else:
            found.append(part)
    return found
