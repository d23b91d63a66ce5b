"""The "how to say it" table and the list of tags."""

from voiceassist.language import tags
from voiceassist.language.expectation import Expectation
from voiceassist.language.forms import EXAMPLES, table
from voiceassist.language.language import Language
from voiceassist.language.meanings import COMMANDS
from voiceassist.language.shaping import tags_of

HEADINGS = ("Meaning", "Say", "Or")


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
