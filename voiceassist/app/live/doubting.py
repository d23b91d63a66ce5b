"""Where the grammar takes loose talk for one thing, and its words are more like another.

A phrase known by a part of it is easily taken too soon: "is four hundred milliamps a lot" holds a
reading and is a question. So the guess is asked too, which weighs all the words. Where both differ
much, what moves the job is not done before it is asked about.
"""

from collections.abc import Collection, Mapping

from voiceassist.language.guess import VALUE
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.language.step import StepGrammar
from voiceassist.session.guessing import HARMLESS, QUESTIONS

#: Less likely than this is what the grammar took it for, while something else is as likely as that.
#: A part of a phrase is doubted sooner than a whole one.
_PART, _WHOLE = (0.1, 0.7), (0.05, 0.85)
#: A number among other words is seldom a reading where the words do not sound like one.
_VALUE = (0.3, 0.5)
#: What decides a verdict in a word or two needs more: "nothing" begins much that is said.
_DECIDING = (0.6, 0.15)
#: More new words than these beside a known part, and it is asked about.
_NEW, _NEW_AMOUNT, _NEW_DECIDING = 1, 2, 0
#: What a meter or a lamp does, and what was made ready, is told in much the same words.
_SAID_ALIKE = (
    frozenset({VALUE, "zero", "same", "over-range", "unstable", "comes-and-goes"})
    | {"lamp-bright", "lamp-dim", "lamp-off", "lamp-flicker"},
    frozenset({"affirm", "done", "go-ahead"}),
)
#: By what the guess knows it, or what comes to much the same.
_AS = {
    "differs": "note",
    "revise": "mistake",
    "disregard": "mistake",
    "read-last": "read-back",
    "where": "how-far",
}


def is_doubted(
    meanings: tuple[Meaning, ...],
    words: str,
    grammar: StepGrammar,
    chances: Mapping[str, float],
    options: Mapping[str, Meaning],
) -> bool:
    """Whether all the words make ``meanings`` unlikely, and something else likely."""
    if len(meanings) != 1 or not moves(meanings[0]) or grammar.parse_strictly(words).meanings:
        return False
    own = intents_of(meanings[0], options)
    if not own:
        return False
    mine = sum(chances.get(intent, 0.0) for intent in own)
    most = max((p for intent, p in chances.items() if intent not in own), default=0.0)
    low, high = _limits(meanings[0], grammar.is_known_by_a_part(words))
    return mine < low and most >= high


def _limits(meaning: Meaning, in_part: bool) -> tuple[float, float]:
    if not in_part:
        return _WHOLE
    if decides(meaning):
        return _DECIDING
    return _VALUE if isinstance(meaning, Reading) else _PART


def decides(meaning: Meaning) -> bool:
    """Whether it is a value told without a number."""
    if isinstance(meaning, Reading):
        return not meaning.value
    same = isinstance(meaning, Command) and meaning.name == "same"
    return same or isinstance(meaning, Lamp | OverRange)


def alike(intents: Collection[str]) -> Collection[str]:
    """``intents`` with those that are told in the same words."""
    kin = (group for group in _SAID_ALIKE if group & set(intents))
    return set(intents).union(*kin)


def most_new(meaning: Meaning) -> int:
    """How many words beside the part that ``meaning`` is known by may be new."""
    if decides(meaning) or (isinstance(meaning, Answer) and meaning.name != "negative"):
        return _NEW_DECIDING
    return _NEW_AMOUNT if isinstance(meaning, Reading | Spread | Series) else _NEW


def moves(meaning: Meaning) -> bool:
    """Whether it is more than a question, or a way to speak."""
    return not (isinstance(meaning, Command) and meaning.name in HARMLESS | QUESTIONS)


def intents_of(meaning: Meaning, options: Mapping[str, Meaning]) -> Collection[str]:
    """The intents that come to ``meaning``; none where the guess does not know it."""
    if isinstance(meaning, Correction):
        return {VALUE, "mistake", "negative"}
    if isinstance(meaning, Reading | Series | Spread):
        zero = isinstance(meaning, Reading) and not meaning.value
        return {VALUE, "zero"} if zero else {VALUE, "unstable"}
    return {intent for intent, option in options.items() if _kin(option) == _kin(meaning)}


def _kin(meaning: Meaning) -> tuple[str, str]:
    if isinstance(meaning, Command):
        return _AS.get(meaning.name, meaning.name), ""
    if isinstance(meaning, Note):
        return "note", ""
    return meaning.kind, meaning.name if isinstance(meaning, Answer | Lamp) else ""
