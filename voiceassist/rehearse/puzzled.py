"""What is said to a wish that cannot be: which part of it is not known, and what is."""

import re
from collections.abc import Callable, Iterator, Sequence

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.model import Procedure
from voiceassist.rehearse.free import NAMING
from voiceassist.rehearse.wishes import Verb, WishPhrases, carriers, parts, points
from voiceassist.session.shown import spoken_name

#: What two things said in one breath are joined by is no word of theirs: they are cut at any word.
_LEAST_WORDS = 2
#: A change in more words than these may be more than one, or something told.
_FEW_WORDS = 4
#: So many causes are named as examples.
_SOME = 3


def instead(
    words: str,
    procedure: Procedure,
    ways: WishPhrases,
    book: Phrasebook,
    understood: Callable[[str], bool],
    ranges: Sequence[str] = (),
) -> str:
    """One sentence for ``words`` that are no wish as they stand; empty where they are like none.

    Args:
        words: as they were said.
        procedure: that is practised.
        ways: of saying a wish.
        book: the sentences.
        understood: tells whether words are understood by themselves.
        ranges: what the meter can be set to, as it is said.
    """
    said = words.lower().strip()
    if _two_in_a_breath(said.split(), understood):
        return book("rehearse.one-at-a-time")
    if one := _of_two(said, procedure, ways, book, understood):
        return one
    verb = next((verb for head, verb in _heads(ways) if said.startswith(f"{head} ")), None)
    if verb is None or (verb is Verb.DIAL and not ranges):
        return ""
    key, known = _known(procedure, verb) if verb is not Verb.DIAL else _settings(said, ranges)
    return book(f"rehearse.{key}" if known else "rehearse.none-known", **_named(book, known))


def no_such_cause(words: str, procedure: Procedure, book: Phrasebook) -> str:
    """One sentence for words that name a cause that is none; empty where they name none."""
    if not words.lower().strip().startswith(NAMING):
        return ""
    bad = [(name, one) for name, one in procedure.findings.items() if not one.no_fault]
    known = [spoken_name(name) for name, one in sorted(bad, key=lambda each: not each[1].condemns)]
    return book("rehearse.known-causes", **_named(book, known[:_SOME]))


def no_such_change(words: str, procedure: Procedure, ways: WishPhrases, book: Phrasebook) -> str:
    """One sentence for a change in a few words that is none here; empty where they are none."""
    said = words.lower().split()
    moves = any(said[: len(move.split())] == move.split() for move in ways.moves)
    if not moves or len(said) > _FEW_WORDS:
        return ""
    known = tuple(procedure.conditions)
    return book("rehearse.known-changes" if known else "rehearse.none-known", **_named(book, known))


def _named(book: Phrasebook, known: Sequence[str]) -> dict[str, str]:
    return {"names": book.join("list.or", known)} if known else {}


def _two_in_a_breath(words: Sequence[str], understood: Callable[[str], bool]) -> bool:
    """Whether something whole stands before some word, and something whole behind it."""
    return any(understood(first) and understood(then) for first, then in _halves(words))


def _of_two(
    said: str,
    procedure: Procedure,
    ways: WishPhrases,
    book: Phrasebook,
    understood: Callable[[str], bool],
) -> str:
    """One sentence for two wishes in a breath of which not both are known; empty for no such."""
    heads = (*ways.moves, *(head for head, _ in _heads(ways)))
    named = _named(book, tuple(procedure.conditions))
    neither = ""
    for pair in _halves(said.split()) if named else ():
        known = [half for half in pair if understood(half)]
        other = [half for half in pair if half not in known]
        if not all(half.startswith(tuple(f"{head} " for head in heads)) for half in other):
            continue
        if known and other:
            return book("rehearse.one-of-two", known=known[0], other=other[0], **named)
        neither = neither or book("rehearse.none-of-two", **named)
    return neither


def _halves(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    """What stands before some word, and behind it."""
    for at in range(_LEAST_WORDS, len(words) - _LEAST_WORDS):
        yield " ".join(words[:at]), " ".join(words[at + 1 :])


def _heads(ways: WishPhrases) -> Iterator[tuple[str, Verb]]:
    """The words that each way begins with before its first gap; the longest first."""
    found = [
        (re.split(r"\{", pattern)[0].strip(), verb)
        for verb, patterns in ways.said.items()
        for pattern in patterns
        if "{" in pattern
    ]
    telling = [(head, verb) for head, verb in found if " " in head]
    return iter(sorted(telling, key=lambda each: -len(each[0])))


def _settings(said: str, ranges: Sequence[str]) -> tuple[str, Sequence[str]]:
    """The settings of the meter that share a word with what was said; else the first few."""
    alike = [one for one in ranges if set(one.split()) & set(said.split())]
    return "known-ranges", alike or ranges[:_SOME]


def _known(procedure: Procedure, verb: Verb) -> tuple[str, Sequence[str]]:
    """Key of the sentence, and what can be named in such a wish."""
    if verb is Verb.AMPS:
        return "known-carriers", carriers(procedure)
    if verb is Verb.CHANGE:
        return "known-parts", parts(procedure)
    return "known-points", points(procedure)
