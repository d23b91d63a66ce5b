"""The "how to say it" table and the list of tags."""

import re

import pytest

from voiceassist.language import tags
from voiceassist.language.expectation import Expectation
from voiceassist.language.forms import EXAMPLES, examples_of_talk, table, talk_table
from voiceassist.language.language import Language
from voiceassist.language.meanings import COMMANDS
from voiceassist.language.shaping import tags_of

HEADINGS = ("Meaning", "Say", "Or")
#: Beginnings of a correction: the value that follows is no part of them.
APART = ("talk.correct-named-said", "talk.named-make-said", "talk.was-named-said")


def rows(language: Language) -> list[list[str]]:
    lines = table(language, HEADINGS).splitlines()
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_the_table_has_every_command_and_example(language: Language) -> None:
    first = [row[0] for row in rows(language)]
    assert first[0] == "Meaning"
    assert set(EXAMPLES) | COMMANDS <= set(first)
    assert {len(row) for row in rows(language)} == {3}


def test_everything_in_the_table_is_understood_in_one_way(language: Language) -> None:
    grammar = language.compose(Expectation.anything())
    for _, say, others in rows(language)[2:]:
        for way in [say, *filter(None, others.split(", "))]:
            assert len(grammar.parse(way).meanings) == 1, way


def test_every_tag_the_grammars_use_is_documented(language: Language) -> None:
    used = {tags.split(tag)[0] for tag in tags_of(language.rules.values())}
    documented = tags.__doc__ or ""
    assert used <= tags.TAGS.keys()
    assert all(f"{tag} " in documented or f"{tag}," in documented for tag in tags.TAGS)


def test_every_rule_of_whole_phrases_of_talk_has_an_example(language: Language) -> None:
    shown = examples_of_talk(language)
    said = {name for name in language.talk.rules if re.match(r"talk\..*-said", name)} - set(APART)
    assert said - {name for name, examples in shown.items() if examples} == set()


def test_every_example_of_talk_is_a_phrase_of_its_rule(language: Language) -> None:
    strangers = [
        f"{rule}: {example}"
        for rule, examples in examples_of_talk(language).items()
        for example, meanings in examples.items()
        if not meanings
    ]
    assert strangers == []


def test_a_meaning_of_talk_is_listed_with_where_it_is_understood(language: Language) -> None:
    if not language.talk.examples:
        pytest.skip("nobody has written down how people talk in this language")
    lines = talk_table(language, HEADINGS).splitlines()
    assert any(line.startswith("| stand-by | anywhere | hang on, ") for line in lines)
    assert any(line.startswith("| bright or dim | lamp | it lights up, ") for line in lines)
