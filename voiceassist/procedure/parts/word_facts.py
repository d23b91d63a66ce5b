"""Facts of the job that are one of some words, and the steps that ask for those not given."""

from collections.abc import Mapping

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import ANSWERS, Kind, Source, Step, WordFact, written
from voiceassist.procedure.parts.answers import check_twice, reply_of
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.procedure import FactShape
from voiceassist.procedure.text.tree import Path

OnlyIf = tuple[tuple[str, tuple[str, ...]], ...]
#: With one word there is nothing to ask.
_FEWEST = 2


def word_facts_of(scope: Scope) -> dict[str, WordFact]:
    """The facts of a file that are words, by name."""
    given = {name: body for name, body in scope.shape.facts.items() if body.words is not None}
    return {name: _fact(name, body, scope) for name, body in given.items()}


def _fact(name: str, body: FactShape, scope: Scope) -> WordFact:
    path: Path = ("facts", name)
    words = body.words or ()
    said = {word: [word] for word in words} if not isinstance(words, dict) else words
    for word in ANSWERS.keys() & words if isinstance(words, dict) else ():
        message = f"{word!r} is said as usual; list it without ways to say it"
        scope.blame.error((*path, "words", word), message)
    replies = tuple(reply_of((*path, "words"), word, ways, scope) for word, ways in said.items())
    check_twice((*path, "words"), replies, scope)
    if len(set(said)) < _FEWEST:
        scope.blame.error((*path, "words"), "give two words or more, such as [halogen, led]")
    if body.unit is not None:
        message = "a fact has a unit or words, not both; take one of them out"
        scope.blame.error((*path, "unit"), message)
    return WordFact(name, body.say, replies, _value(path, body, list(said), scope))


def _value(path: Path, body: FactShape, words: list[str], scope: Scope) -> str:
    """The word that is given, by its name inside; empty when it is asked for."""
    if body.value is None:
        return ""
    if body.value not in words:
        hint = did_you_mean(body.value, words)
        scope.blame.error((*path, "value"), f"{body.value!r} is none of its words{hint}")
    return ANSWERS.get(body.value, body.value)


def words_of(body: FactShape) -> list[str]:
    """The words of a fact by their names inside; none for one with a unit."""
    return [ANSWERS.get(word, word) for word in body.words or ()]


def asking_words(facts: Mapping[str, WordFact], source: Source, first: str) -> dict[str, Step]:
    """A question for each fact without a word, one after another and then on to ``first``."""
    asked = [fact for fact in facts.values() if not fact.value]
    following = [*(fact.name for fact in asked[1:]), first]
    return {
        fact.name: Step(
            name=fact.name,
            kind=Kind.ASK,
            text=fact.say,
            replies=fact.replies,
            source=source,
            routes={reply.name: go for reply in fact.replies},
            fact=fact.name,
        )
        for fact, go in zip(asked, following, strict=False)
    }


def only_if_of(path: Path, given: Mapping[str, str | list[str]], scope: Scope) -> OnlyIf:
    """What must have been answered for a step to be for this vehicle."""
    found = ((name, _answers((*path, name), name, words, scope)) for name, words in given.items())
    return tuple((name, answers) for name, answers in found if answers)


def _answers(path: Path, name: str, words: str | list[str], scope: Scope) -> tuple[str, ...]:
    """The answers named, of a question or of a fact of words."""
    if not scope.check_known(path, "question or fact of words", name, list(scope.answers)):
        return ()
    known = [written(answer) for answer in scope.answers[name]]
    listed = [words] if isinstance(words, str) else words
    for word in listed:
        if word not in known:
            hint = did_you_mean(word, known)
            scope.blame.error(path, f"{name!r} has no answer {word!r}{hint}")
    return tuple(ANSWERS.get(word, word) for word in listed)
