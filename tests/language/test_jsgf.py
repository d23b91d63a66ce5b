"""The reader of grammar files. Syntax after the JSGF 1.0 note of the W3C."""

from pathlib import Path

import pytest

from voiceassist.errors import LanguageError
from voiceassist.language.jsgf import (
    Alternatives,
    Expression,
    Optional,
    Ref,
    Repeat,
    Sequence,
    Tag,
    Word,
)
from voiceassist.language.language import Language
from voiceassist.language.linking import link
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.resources import grammar_files

HEAD = "#JSGF V1.0;\ngrammar g;\n"


def body(text: str) -> Expression:
    (rule,) = read_grammar(f"{HEAD}<r> = {text};", "g.jsgf").rules
    return rule.body


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("go", Word("go")),
        ("i've", Word("i've")),
        ("십이", Word("십이")),
        ('"two words"', Word("two words")),
        (r'"a \"b\""', Word('a "b"')),
        ("go on", Sequence((Word("go"), Word("on")))),
        ("a | b", Alternatives((Word("a"), Word("b")), (1.0, 1.0))),
        ("/3/ a | /0.5/ b", Alternatives((Word("a"), Word("b")), (3.0, 0.5))),
        ("[a]", Optional(Word("a"))),
        ("a+", Repeat(Word("a"), 1)),
        ("(a b)*", Repeat(Sequence((Word("a"), Word("b"))), 0)),
        ("<other.rule> a", Sequence((Ref("other.rule"), Word("a")))),
        ("five {digit 5}", Sequence((Word("five"), Tag("digit 5")))),
        (r"a {with \} brace}", Sequence((Word("a"), Tag("with } brace")))),
        ("a // a comment | b\n", Word("a")),
        ("a /* b\n c */ d", Sequence((Word("a"), Word("d")))),
        ("public grammar import", Sequence((Word("public"), Word("grammar"), Word("import")))),
        ("<NULL>", Ref("NULL")),
    ],
)
def test_an_expression_is_read(text: str, tree: Expression) -> None:
    assert body(text) == tree


def test_a_file_keeps_its_name_imports_and_public_rules() -> None:
    grammar = read_grammar(
        "#JSGF V1.0 UTF-8 en;\ngrammar com.example.g;\nimport <a.*>;\npublic <r> = x;\n<s> = y;\n",
        "g.jsgf",
    )
    assert grammar.name == "com.example.g"
    assert [item.name for item in grammar.imports] == ["a.*"]
    assert [(rule.name, rule.public, rule.line) for rule in grammar.rules] == [
        ("r", True, 4),
        ("s", False, 5),
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("grammar g;", "g.jsgf, line 1: the first line is not a JSGF header; begin with"),
        ("#JSGF V2.0;\ngrammar g;", "the first line is not a JSGF header"),
        (HEAD + "<r> = a", "the file ends in the middle of a rule; expected .*;"),
        (HEAD + "<r> = ;", "g.jsgf, line 3, column 7: ';' cannot stand here; expected .*a word"),
        (HEAD + "<r> = a)b;", r"line 3, column 8: '\)' cannot stand here"),
        (HEAD + "<r> = (a;", "line 3, column 9: ';' cannot stand here"),
        (HEAD + "<r> = a | | b;", "line 3, column 11"),
        (HEAD + "r = a;", "line 3, column 1"),
        (HEAD + '<r> = a "b;', "line 3, column 9: '\"' cannot stand here"),
        (HEAD + "<r> = a\n  | [b | c;\n<s> = d;", r"line 4, column 11: ';' cannot .*expected .*\]"),
    ],
)
def test_a_fault_is_named_with_its_place_and_what_was_expected(text: str, message: str) -> None:
    with pytest.raises(LanguageError, match=message):
        read_grammar(text, "g.jsgf")


def linked(**files: str) -> dict[str, Expression]:
    return link(
        read_grammar(f"#JSGF V1.0;\ngrammar {name};\n{text}", f"{name}.jsgf")
        for name, text in files.items()
    )


@pytest.mark.parametrize(
    ("files", "message"),
    [
        ({"g": "<a> = <b>;"}, "g.jsgf, line 3, column 7: there is no rule <b>"),
        ({"g": "<abcd> = x;\n<r> = <abce>;"}, "did you mean <abcd>"),
        ({"g": "<a> = x;\n<a> = y;"}, "g.jsgf, line 4: the rule <a> is written twice"),
        ({"g": "<a> = x <a>;"}, "g.jsgf, line 3: a rule contains itself: <g.a> in <g.a>"),
        ({"g": "<a> = <b> x;\n<b> = [y] <a>;"}, "contains itself: <g.a> in <g.b> in <g.a>"),
        ({"g": "import <h.*>;\n<a> = x;"}, "there is no grammar 'h' to import from"),
        ({"g": "import <h.b>;\n<a> = x;", "h": "<b> = y;"}, "'h' has no public rule <b>"),
        ({"g": "<a> = <h.b>;", "h": "<b> = y;"}, "the rule <h.b> is not public"),
        ({"g": "<a> = <expected.weather>;"}, "there is no rule <expected.weather>"),
        ({"g": "<a> = x {colour red};"}, r"line 3, column 9: \{colour red\} is not a tag"),
        ({"g": "<a> = x {digit};"}, "needs an argument"),
        ({"g": "<a> = x {point 1};"}, "takes no argument"),
    ],
)
def test_a_fault_between_files_is_named_with_its_place(files: dict[str, str], message: str) -> None:
    with pytest.raises(LanguageError, match=message):
        linked(**files)


def test_two_files_cannot_share_a_name() -> None:
    with pytest.raises(LanguageError, match=r"the grammar 'g' is already in one\.jsgf"):
        link([read_grammar(HEAD + "<a> = x;", f) for f in ("one.jsgf", "two.jsgf")])


def test_rules_of_other_files_are_found_by_import_and_by_full_name() -> None:
    rules = linked(
        g="import <h.*>;\n<a> = <b> <h.b>;",
        h="public <b> = y;\n",
    )
    assert rules["g.a"] == Sequence((Ref("h.b"), Ref("h.b")))
    assert list(rules) == ["h.b", "g.a"]


def test_a_language_without_a_rule_it_needs_is_refused() -> None:
    with pytest.raises(LanguageError, match=r"the language has no rule <phrases\.understood>"):
        Language.load({"g.jsgf": HEAD + "<a> = x;", "sentences.toml": "not a grammar"})


def test_every_shipped_file_is_read(language: Language) -> None:
    assert len(language.rules) > 50


@pytest.mark.parametrize("name", ["en", "ko"])
def test_the_order_of_the_files_does_not_matter(name: str) -> None:
    files = grammar_files(name)
    backwards = Language.load({file: files[file] for file in sorted(files, reverse=True)})
    assert dict(backwards.rules) == dict(Language.load(files).rules)


_INSTALLED = Path("/usr/share/pocketsphinx/test/data")


@pytest.mark.skipif(not _INSTALLED.exists(), reason="needs Debian's pocketsphinx-testdata")
def test_grammars_that_others_wrote_are_read() -> None:
    for path in (_INSTALLED / "goforward.gram", _INSTALLED / "cards" / "cards.gram"):
        assert read_grammar(path.read_text(encoding="utf-8"), path.name).rules
