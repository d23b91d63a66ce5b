"""What an answer to the choice between a few procedures means. Words in, words out."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.app.catalogue import Listed
from voiceassist.app.intake.fitting import stems

PLACES = ("first", "second", "third", "fourth")
_NUMBERS = ("one", "two", "three", "four")
_ASKS = re.compile(
    r"\?|^(?:so |and |but |well |hello |hi |ok |okay )*"
    r"(?:how|what|which|why|whats|what's|can you|do you|explain)\b"
    r"|\bdiffer|\b(?:do not|don't|dont) (?:know|understand)\b|\b(?:not sure|no idea|unsure)\b"
    r"|\bhow (?:do|can|should) i\b|\bwhat (?:can|should|do) i\b"
)
_NEITHER = re.compile(
    r"^(?:no\b[ ,]*)?(?:(?:it is|it's) )?(?:neither|none)\b[^,]*$"
    r"|^(?:(?:no|nope|nah|negative|not)[ ,]*)+"
    r"(?:(?:not )?(?:that|it|this|those|these|them|mate|thanks|really|at all|is not|it's not)"
    r"[ ,]*)*$"
)
_YES = re.compile(
    r"^(?:yes|yeah|yep|yup|aye|sure|ok|okay|right|correct|exactly"
    r"|i (?:think|reckon|guess|suppose) so"
    r"|that (?:is|will be) (?:it|the one)|that's (?:it|right|the one|what it is)|it is|sounds right"
    r"|could be|probably|must be)\b(?:(?!\bnot\b|n't\b|\bbut\b)[^,])*$"
)
_COUNTED = re.compile(r"\b(one|two|three|four)[- ](?:\w+ )?(wire|pin|speed|lamp|door|plug)")
#: The one of which least is told.
_SIMPLE = re.compile(r"\b(?:plain|normal|ordinary|simple|simpler|usual|standard|basic)\b")
_NOT = re.compile(
    r"\b(?:without|not|no|isn't|has no|hasn't)\s+(?:(?:a|an|the|any|with|one)\s+)*(.+)"
)
_OTHER = re.compile(r"\bother\b")
#: There is nothing more than what was told.
_ALL = re.compile(
    r"\b(?:(?:there )?(?:is not|isn't|ain't|is no) (?:an)?other|no other|nothing else"
    r"|(?:that's|that is|that was|it's|just|only) (?:it|all|that|this|the one|one|the only one)"
    r"|only (?:the )?one|just (?:the )?one)\b"
)


@dataclass(frozen=True, slots=True)
class Picked:
    """What was picked; nothing where the words do not tell it.

    Parts:
        left: what may still be meant.
        none: none of them is.
    """

    left: tuple[Listed, ...] = ()
    none: bool = False


def is_yes(said: str) -> bool:
    """True for who says that it is the one that was offered."""
    return _YES.search(said.lower().replace("’", "'")) is not None


def is_question(said: str) -> bool:
    """True for who asks, or tells that he does not know."""
    return _ASKS.search(said.lower()) is not None


def is_all(said: str) -> bool:
    """True for who has nothing more to tell: "no, just that"."""
    text = said.lower().replace("’", "'")
    return _ALL.search(text) is not None or _NEITHER.search(text) is not None


def picked(said: str, among: Sequence[Listed]) -> Picked:
    """What ``said`` leaves of the procedures ``among``, by place or by what it is not."""
    text = said.lower().replace("’", "'")
    if left := _by_name(text, among) or _by_number(text, among) or _by_place(text, among):
        return Picked(left)
    denied = _NOT.search(text)
    if denied and (left := _without(denied[1], among)):
        return Picked(left)
    if _SIMPLE.search(text) and (left := _simplest(among)):
        return Picked(left)
    if _OTHER.search(text):
        return Picked(tuple(among))  # which other one is to be told
    return Picked(none=_NEITHER.search(text) is not None)


def _by_name(text: str, among: Sequence[Listed]) -> tuple[Listed, ...]:
    """The one whose title or name it is, as it stands."""
    plain = " ".join(re.findall(r"[a-z0-9']+", text))
    return tuple(
        each
        for each in among
        if plain in {" ".join(re.findall(r"[a-z0-9']+", way.lower())) for way in _names(each)}
    )


def _by_number(text: str, among: Sequence[Listed]) -> tuple[Listed, ...]:
    """Those that have as many of a thing as is told: "the two twisted wires"."""
    found = _COUNTED.search(text)
    if found is None:
        return ()
    has = re.compile(rf"\b{found[1]}[- ](?:\w+ )?{found[2]}")
    told = (" ".join((each.title, each.subject, *each.complaints)).lower() for each in among)
    left = tuple(each for each, text in zip(among, told, strict=True) if has.search(text))
    return left if len(left) < len(among) else ()


def _names(listed: Listed) -> tuple[str, ...]:
    return (listed.title, listed.name)


def _simplest(among: Sequence[Listed]) -> tuple[Listed, ...]:
    """The one whose title says nothing that another's does not; nothing where none is so."""
    words = [set(stems(each.title)) for each in among]
    least = min(words, key=len, default=set())
    alone = sum(len(each) == len(least) for each in words) == 1
    return tuple(e for e, w in zip(among, words, strict=True) if w == least) if alone else ()


def _by_place(text: str, among: Sequence[Listed]) -> tuple[Listed, ...]:
    """The one whose place is named, or of two the one whose place is not denied."""
    named = [n for n in range(len(among)) if re.search(_place(n), text)]
    if "last" in text.split() or ("latter" in text and len(among) > 1):
        named = [len(among) - 1]
    if len(named) != 1:
        return ()
    denied = re.search(rf"\b(?:not|no)\s+(?:the\s+)?(?:{_place(named[0])})", text)
    if not denied:
        return (among[named[0]],)
    return tuple(each for n, each in enumerate(among) if n != named[0])


def _place(number: int) -> str:
    return rf"\b(?:{PLACES[number]}|number {_NUMBERS[number]}|{number + 1}(?:st|nd|rd|th))\b"


def _without(told: str, among: Sequence[Listed]) -> tuple[Listed, ...]:
    """Those that have none of the words ``told`` in their titles; nothing if that leaves all."""
    denied = set(stems(told))
    left = tuple(each for each in among if not denied & set(stems(each.title)))
    return left if len(left) < len(among) else ()
