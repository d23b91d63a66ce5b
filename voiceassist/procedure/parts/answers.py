"""The answers to a question."""

import re
from collections.abc import Iterator

from voiceassist.procedure.model import ANSWERS, IN_DOUBT, Reply, written
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.step import AnswerShape, StepShape
from voiceassist.procedure.text.tree import Path

_WORD = r"[^\W\d_]+(?:['’][^\W\d_]+)?"
_PHRASE = re.compile(rf"{_WORD}(?: {_WORD})*")
#: Names that mean something else inside a session.
_TAKEN = frozenset({*IN_DOUBT, "affirm", "affirm-reading", "negative", "done", "skip", "skipped"})


def replies_of(path: Path, body: StepShape, scope: Scope) -> tuple[Reply, ...]:
    """The answers of the question ``body`` at ``path``."""
    answers = body.answers or {}
    if not answers and not scope.blame.written(path, "answers"):
        scope.blame.error(path, "a question needs 'answers:', each with where it leads")
    if "yes" in answers and "no" not in answers:
        scope.blame.warning((*path, "answers"), "there is a 'yes' but no 'no'; add it")
    replies = tuple(_reply((*path, "answers", key), key, a, scope) for key, a in answers.items())
    check_twice((*path, "answers"), replies, scope)
    return replies


def _reply(path: Path, key: str, answer: str | AnswerShape, scope: Scope) -> Reply:
    ways = answer.say if isinstance(answer, AnswerShape) else []
    if key in ANSWERS:
        return Reply(ANSWERS[key], also=_ways(path, ways, scope))
    return reply_of(path, key, ways or [key], scope)


def reply_of(path: Path, key: str, phrases: list[str], scope: Scope) -> Reply:
    """The answer ``key`` that is said in the ways ``phrases``."""
    if key in ANSWERS:
        return Reply(ANSWERS[key])
    if key in _TAKEN:
        wanted = "another word" if written(key) == key else written(key)
        scope.blame.error(path, f"an answer cannot be called {key!r}; write {wanted}")
        return Reply(key)
    return Reply(key, _ways(path, phrases, scope))


def _ways(path: Path, phrases: list[str], scope: Scope) -> tuple[str, ...]:
    for phrase in phrases:
        _check_phrase(path, phrase, scope)
    return tuple(phrase.lower() for phrase in phrases)


def _check_phrase(path: Path, phrase: str, scope: Scope) -> None:
    if not _PHRASE.fullmatch(phrase):
        scope.blame.error(path, f"{phrase!r} cannot be said as it is; write it in plain words")
    elif scope.reserved(phrase.lower()):
        scope.blame.error(
            path, f"{phrase!r} already is a command or a plain answer; say it in other words"
        )


def check_twice(path: Path, replies: tuple[Reply, ...], scope: Scope) -> None:
    """Blame a phrase that two answers share; ``path`` is what they stand under."""
    first: dict[str, str] = {}
    for name, phrase in _phrases(replies):
        if first.setdefault(phrase, name) != name:
            place = (*path, name)
            scope.blame.error(
                place, f"{phrase!r} is a way to say {first[phrase]!r} too; take one of them out"
            )


def _phrases(replies: tuple[Reply, ...]) -> Iterator[tuple[str, str]]:
    for reply in replies:
        for phrase in (*reply.phrases, *reply.also):
            yield reply.name, phrase
