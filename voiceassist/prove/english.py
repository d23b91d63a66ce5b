"""Slips of English that a writer does not see and a listener hears.

Rules of thumb for the plain sentences of procedures (common practice, no source).
"""

import re
from collections.abc import Callable, Iterator

#: Words that may be spoken before a pause in which one can speak.
MOST_WORDS = 35

_NO = re.compile(
    r"\b(?:not|no|never|nothing|none|neither|nobody|nowhere|without|cannot|\w+n't)\b", re.IGNORECASE
)
_NOT_OFF = re.compile(r"\bnot (?:off|out|un\w+|dis\w+|in[a-z]*complete)\b", re.IGNORECASE)
_CLAUSE = re.compile(r"[.?!:;,]")
_SENTENCE = re.compile(r"(?<=[.?!:;])\s+")

#: A question begins with one of these, and then says of what.
_ASKED = re.compile(r"^(?:Is|Are|Was|Were|Does|Do|Did|Has|Have) ([\w-]+)(?: ([\w-]+))?")
_TELLING = frozenset(
    {"the", "a", "an", "this", "that", "these", "those", "it", "all", "each", "both", "you"}
    | {"there", "any", "one", "water", "its"}
)
_NUMBER = r"(?:one|two|three|four|five|six|seven|eight|nine|ten)"
_NUMBERED = re.compile(rf"^{_NUMBER}$")

_ONE = re.compile(r"\b(?:1 (?:more )?|one more )([a-z]{2,}s)\b", re.IGNORECASE)
_SUBJECT = re.compile(
    r"(?:^|(\w+) |[,;:.] )the ((?:[\w-]+ ){0,2}?[\w-]+) (is|was|are|were)\b", re.IGNORECASE
)
#: After these, "the" begins no subject.
_NO_SUBJECT = frozenset(
    {"of", "to", "from", "in", "on", "at", "by", "behind", "before", "between", "with", "for"}
    | {"through", "across", "what", "and", "or", "near", "below", "over", "under"}
)
#: They end like a plural and are none, or the other way round.
_SINGULAR = frozenset({"lens", "gas", "bus", "chassis", "this", "always", "bias"})
_JOINED = re.compile(r"\b(?:and|or|of|in|at|to|behind|with)\b")


def slips(text: str, words: Callable[[str], str] = str) -> Iterator[str]:
    """What is wrong with ``text`` by ear.

    Args:
        text: one or more sentences.
        words: turns figures and units into words, to be counted.
    """
    for sentence in _SENTENCE.split(text.strip()):
        yield from _doubled(sentence)
        yield from _without_article(sentence)
        yield from _number(sentence)
        count = len(words(sentence).split())
        if count > MOST_WORDS:
            yield f"{count} words in one breath; no more than {MOST_WORDS} can be kept in mind"


def _doubled(sentence: str) -> Iterator[str]:
    if found := _NOT_OFF.search(sentence):
        yield f"{found[0]!r} is heard as a double negative"
    for clause in _CLAUSE.split(sentence):
        twice = _NO.findall(clause)
        if len(twice) > 1:
            yield f"'{' … '.join(twice)}' is a double negative"


def _without_article(sentence: str) -> Iterator[str]:
    asked = _ASKED.match(sentence)
    if asked is None or asked[1].lower() in _TELLING or asked[1].endswith("ing"):
        return
    if not _NUMBERED.match(asked[2] or ""):
        yield f"{asked[0]!r} lacks an article"


def _number(sentence: str) -> Iterator[str]:
    for many in _ONE.findall(sentence):
        if not many.endswith("ss"):
            yield f"'one {many}' is one and many"
    for before, subject, verb in _SUBJECT.findall(sentence):
        if before.lower() in _NO_SUBJECT or _JOINED.search(subject):
            continue
        last = subject.split()[-1].lower()
        plural = last.endswith("s") and not last.endswith("ss") and last not in _SINGULAR
        if plural != (verb.lower() in {"are", "were"}):
            yield f"'the {subject} {verb}' is one and many"
