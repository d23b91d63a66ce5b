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
from voiceassist.session.naming import NEEDED, PART

#: Less likely than this is what the grammar took it for: of a whole phrase, of a part, where it is
#: harmless, a number, or a value told in a word or two: "nothing" begins much that is said.
_WHOLE, _PART, _HARMLESS, _VALUE, _DECIDING = 0.05, 0.5, 0.4, 0.6, 0.7
#: Of what ends the job.
_ENDING = 0.35
#: What a question mostly wants to be so.
_GOOD = frozenset({"tight", "whole", "dry", "clean", "bright", "straight", "free", "intact"})
_DENYING = frozenset({"mistake", "disregard", "forgot", "same"})
#: By what the guess knows it, or what comes to much the same.
_AS = {
    "differs": "note",
    "revise": "mistake",
    "disregard": "mistake",
    "read-last": "read-back",
    "where": "how-far",
}


def says_what_is_asked(words: str, grammar: StepGrammar) -> bool:
    """Whether ``words`` tell what the question asks for, in its own word and not denied.

    A guess that it is not so is then only offered: "it feels tight".
    """
    said = _GOOD & set(words.lower().replace(",", " ").split())
    asked = set(grammar.expectation.question.lower().replace(",", " ").split())
    return bool(said & asked) and not (
        grammar.answers.denies(words) or grammar.answers.reserves(words)
    )


def is_plain(meaning: Meaning, words: str, grammar: StepGrammar) -> bool:
    """Whether ``meaning`` is told in the words of the step, or is harmless and all that is said."""
    if grammar.parse_strictly(words).meanings or grammar.is_told_here(words):
        return True
    return not (moves(meaning) or grammar.is_known_by_a_part(words))


def is_doubted(
    meanings: tuple[Meaning, ...],
    in_part: bool,
    chances: Mapping[str, float],
    options: Mapping[str, Meaning],
    *,
    ending: bool,
) -> bool:
    """Whether all the words make ``meanings`` unlikely, known by a part of them or the whole.

    ``ending`` tells that what is done ends the job.
    """
    if len(meanings) != 1:
        return False
    own = intents_of(meanings[0], options)
    mine = sum(chances.get(intent, 0.0) for intent in own)
    whole = _ENDING if ending and meanings[0] == Answer("done") else _WHOLE
    return bool(own) and mine < (_least(meanings[0]) if in_part else whole)


def _least(meaning: Meaning) -> float:
    if not moves(meaning):
        return _HARMLESS
    if decides(meaning):
        return _DECIDING
    return _VALUE if isinstance(meaning, Reading) else _PART


def decides(meaning: Meaning) -> bool:
    """Whether it is a value told without a number."""
    if isinstance(meaning, Reading):
        return not meaning.value
    same = isinstance(meaning, Command) and meaning.name == "same"
    return same or isinstance(meaning, Lamp | OverRange)


def denies(meaning: Meaning) -> bool:
    """Whether it tells that something is not so, and so may be said with "not" or "don't"."""
    if isinstance(meaning, Command):
        return meaning.name in _DENYING
    lamp_off = isinstance(meaning, Lamp) and meaning.name == "off"
    return lamp_off or isinstance(meaning, OverRange | Reading) or meaning == Answer("negative")


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
    if isinstance(meaning, Command) and meaning.about in {NEEDED, PART}:
        return ()
    return {intent for intent, option in options.items() if _kin(option) == _kin(meaning)}


def _kin(meaning: Meaning) -> tuple[str, str]:
    if isinstance(meaning, Command):
        return _AS.get(meaning.name, meaning.name), ""
    if isinstance(meaning, Note):
        return "note", ""
    return meaning.kind, meaning.name if isinstance(meaning, Answer | Lamp) else ""
