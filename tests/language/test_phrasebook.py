"""The sentences of each language: all that the session needs, and nothing it cannot hear."""

import ast
import tomllib
from pathlib import Path
from string import Formatter

import pytest

from voiceassist.errors import LanguageError
from voiceassist.language.meanings import ANSWERED, Answer, Command, Meaning
from voiceassist.language.phrasebook import Phrasebook

HOUSE = Path(__file__).parents[2]
LANGUAGES = sorted(path.parent.name for path in (HOUSE / "grammars").glob("*/sentences.toml"))
#: Ends of names of files, which are no keys.
_FILES = {"css", "html", "lark", "toml"}


def by_name(meaning: Meaning) -> str:
    assert isinstance(meaning, Answer | Command)
    return meaning.name.replace("-", " ")


def book(language: str) -> Phrasebook:
    text = (HOUSE / "grammars" / language / "sentences.toml").read_text(encoding="utf-8")
    return Phrasebook.load(text, by_name)


def names_in(book: Phrasebook, key: str) -> set[str]:
    """The names of the values that a sentence wants."""
    return {name for _, name, _, _ in Formatter().parse(book.sentences[key]) if name}


def keys_used() -> set[str]:
    """Every "table.key" that stands as a string in the session room, or is made of a command."""
    tables = set(tomllib.loads((HOUSE / "grammars/en/sentences.toml").read_text(encoding="utf-8")))
    found = {f"reply.{name}" for name in ANSWERED}
    for path in (HOUSE / "voiceassist").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                table, dot, key = node.value.partition(".")
                if dot and table in tables and key.isidentifier() and key not in _FILES:
                    found.add(node.value)
    return found


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_every_sentence_the_session_speaks(language: str) -> None:
    assert keys_used() <= set(book(language).sentences)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_fills_in_the_same_values(language: str) -> None:
    english, other = book("en"), book(language)
    assert set(english.sentences) == set(other.sentences)
    for key in english.sentences:
        assert names_in(other, key) <= names_in(english, key), key


def test_marks_become_the_words_to_say() -> None:
    found = Phrasebook.load('[a]\nb = "say <affirm> or <go-back>"', by_name)
    assert found("a.b") == "Say affirm or go back"


def test_a_sentence_begins_with_a_capital_and_a_fragment_does_not() -> None:
    found = Phrasebook.load('[a]\nb = "{what} is low"', by_name)
    assert found("a.b", what="it") == "It is low"
    assert found.plain("a.b", what="it") == "it is low"


@pytest.mark.parametrize(
    ("text", "message"),
    [("[a\n", "not TOML"), ("[a]\nb = 3\n", "must be text")],
)
def test_a_broken_file_is_refused_with_its_place(text: str, message: str) -> None:
    with pytest.raises(LanguageError, match=message) as caught:
        Phrasebook.load(text, by_name, file="mine.toml")
    assert "mine.toml" in str(caught.value)


def test_a_mark_for_nothing_that_can_be_said_is_refused() -> None:
    def dumb(meaning: Meaning) -> str:
        raise LanguageError("no words")

    with pytest.raises(LanguageError, match="<affirm> stands for nothing"):
        Phrasebook.load('[a]\nb = "say <affirm>"', dumb)


def test_an_unknown_sentence_or_value_is_an_error_that_names_it() -> None:
    found = Phrasebook.load('[a]\nb = "{what}"', by_name)
    with pytest.raises(LanguageError, match=r"a\.c"):
        found("a.c")
    with pytest.raises(LanguageError, match="what"):
        found("a.b")
