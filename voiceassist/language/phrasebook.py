"""The sentences the assistant speaks, in one language, from a TOML file.

A sentence may hold ``{names}`` of values put in when it is spoken, and ``<affirm>``-like
marks that stand for what the technician has to say; the words for those come from the
grammar, so that the assistant never asks for a word it cannot hear.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Choice
from voiceassist.language.meanings import COMMANDS, Answer, Command, Meaning

Say = Callable[[Meaning], str]
_MARK = re.compile(r"<([a-z-]+)>")


@dataclass(frozen=True, slots=True)
class Phrasebook:
    """Sentences by key.

    Parts:
        sentences: key ("verdict.low") to sentence with ``{names}``.
        reasons: why a step may be skipped, as choices to be heard.
        say: words for a meaning, from the grammar.
        spell: the same, each digit by itself.
    """

    sentences: Mapping[str, str]
    reasons: tuple[Choice, ...]
    say: Say
    spell: Say

    @classmethod
    def load(
        cls, text: str, say: Say, spell: Say | None = None, file: str = "sentences.toml"
    ) -> "Phrasebook":
        """Read the TOML ``text``; ``say`` spells too when ``spell`` is not given.

        Raises:
            LanguageError: it is not TOML, or a mark stands for nothing that can be said.
        """
        try:
            tables = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise LanguageError(f"this is not TOML: {error}", place=file) from None
        reasons = tables.pop("reasons", {})
        sentences = {
            f"{table}.{key}": _fill_marks(sentence, say, f"{file}, {table}.{key}")
            for table, lines in tables.items()
            for key, sentence in lines.items()
        }
        choices = tuple(Choice(name, tuple(phrases)) for name, phrases in reasons.items())
        return cls(sentences, choices, say, spell or say)

    def __call__(self, key: str, **values: object) -> str:
        """The sentence ``key`` with ``values`` put in, its first letter a capital; as ``plain``."""
        return capitalised(self.plain(key, **values))

    def join(self, key: str, parts: Iterable[str]) -> str:
        """``parts`` joined by the words of ``key`` ("list.or")."""
        return self.plain(key).join(parts)

    def plain(self, key: str, **values: object) -> str:
        """The words of ``key`` with ``values`` put in, as they stand.

        Raises:
            LanguageError: there is no such sentence, or a value is missing.
        """
        if key not in self.sentences:
            raise LanguageError(f"the language has no sentence {key!r}", remedy="add it")
        try:
            return self.sentences[key].format_map(values)
        except KeyError as error:
            raise LanguageError(f"the sentence {key!r} wants {error}, which is not known") from None


def capitalised(text: str) -> str:
    """The text with its first letter a capital."""
    return text[:1].upper() + text[1:]


def _fill_marks(sentence: object, say: Say, place: str) -> str:
    if not isinstance(sentence, str):
        raise LanguageError("a sentence must be text", place=place)

    def words(match: re.Match[str]) -> str:
        name = match[1]
        try:
            return say(Command(name) if name in COMMANDS else Answer(name))
        except LanguageError as error:
            raise LanguageError(f"<{name}> stands for nothing that can be said", place=place) from (
                error
            )

    return _MARK.sub(words, sentence)
