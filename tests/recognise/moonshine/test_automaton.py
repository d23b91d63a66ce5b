"""The automaton spells the phrases of a grammar, all of them and no others."""

import random
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language, StepGrammar
from voiceassist.measure.units import unit
from voiceassist.recognise.moonshine.automaton import Automaton, Words
from voiceassist.recognise.moonshine.tokens import Tokens, folded

EXPECTATIONS = {
    "voltage": Expectation(("voltage",), unit("V")),
    "resistance": Expectation(("resistance",), unit("Ω")),
    "lamp": Expectation(lamp=True),
    "question": Expectation(choices=(Choice("free", ("turns freely", "it's free")),)),
    "vin": Expectation(identifier="vin"),
}
SHARED = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
NAMES = st.sampled_from(sorted(EXPECTATIONS))
SEEDS = st.integers(0, 2**32)
MARKS = ["", ".", ",", "?", "!"]


@pytest.fixture(scope="module")
def grammars(english: Language) -> dict[str, StepGrammar]:
    return {name: english.compose(each) for name, each in EXPECTATIONS.items()}


@pytest.fixture(scope="module")
def automata(grammars: dict[str, StepGrammar], tokens: Tokens) -> dict[str, Automaton]:
    return {name: Automaton(grammar, tokens) for name, grammar in grammars.items()}


def spelled(automaton: Automaton, tokens: list[int]) -> set[Words]:
    """The phrases that these tokens spell, for the automaton."""
    ways: set[tuple[int, Words]] = {(0, ())}
    for token in tokens:
        after: set[tuple[int, Words]] = set()
        for place, words in ways:
            arcs = automaton.arcs(place)
            for number, one in enumerate(arcs.tokens.tolist()):
                if one == token:
                    more = (arcs.words[number],) if arcs.words[number] else ()
                    after.add((arcs.places[number], (*words, *more)))
        ways = after
    ends = ((words, automaton.arcs(place).ends) for place, words in ways)
    return {(*words, end) if end else words for words, end in ends if end is not None}


def cut_longest(text: str, tokens: Tokens) -> list[int]:
    """``text`` in tokens, each the longest that fits; the texts decide, not the automaton."""
    return list(_cut(text, tokens, None))


def _cut(text: str, tokens: Tokens, rng: random.Random | None) -> Iterator[int]:
    at = 0
    while at < len(text):
        fits = [
            (size, token)
            for size in range(1, min(48, len(text) - at) + 1)
            for token in _tokens_of(text[at : at + size], tokens)
        ]
        size, token = fits[-1] if rng is None else rng.choice(fits)
        yield token
        at += size


def _tokens_of(text: str, tokens: Tokens) -> list[int]:
    found = tokens.starting.get(folded(text[1:]), ()) if text[0] == " " else ()
    found = found or tokens.inner.get(folded(text), ())
    return [token for token in found if tokens.texts[token] == text]


def accepted(grammar: StepGrammar, words: list[str]) -> bool:
    """What the grammar itself says."""
    state = grammar.start()
    for word in words:
        state = grammar.advance(state, word)
    return grammar.accepts(state)


@SHARED
@given(NAMES, SEEDS)
def test_every_phrase_is_spelled_by_its_longest_tokens(
    grammars: dict[str, StepGrammar],
    automata: dict[str, Automaton],
    tokens: Tokens,
    name: str,
    seed: int,
) -> None:
    rng = random.Random(seed)
    phrase, _ = grammars[name].sample(rng, heard=True)
    found = spelled(automata[name], cut_longest(f" {phrase}", tokens))
    assert found == {tuple(phrase.split())}


@SHARED
@given(NAMES, SEEDS)
def test_any_cutting_case_hyphens_and_marks_still_spell_the_phrase(
    grammars: dict[str, StepGrammar],
    automata: dict[str, Automaton],
    tokens: Tokens,
    name: str,
    seed: int,
) -> None:
    rng = random.Random(seed)
    phrase, _ = grammars[name].sample(rng, heard=True)
    text = " "
    for word in phrase.split():
        written = rng.choice([word, word.capitalize(), word.upper()])
        text += written + rng.choice([*(f"{mark} " for mark in MARKS), "-"])
    text = text.rstrip(" -") if text.endswith("-") else text.rstrip()
    found = spelled(automata[name], list(_cut(text, tokens, rng)))
    assert found == {tuple(phrase.split())}


@SHARED
@given(NAMES, SEEDS)
def test_a_phrase_that_the_grammar_does_not_accept_is_not_spelled(
    grammars: dict[str, StepGrammar],
    automata: dict[str, Automaton],
    tokens: Tokens,
    name: str,
    seed: int,
) -> None:
    rng = random.Random(seed)
    grammar = grammars[name]
    words = grammar.sample(rng, heard=True)[0].split()
    for _ in range(rng.randint(1, 3)):
        words.insert(rng.randint(0, len(words)), rng.choice(sorted(grammar.words())))
        if rng.random() < 0.5:
            del words[rng.randrange(len(words))]
    found = spelled(automata[name], cut_longest(" " + " ".join(words), tokens))
    assert bool(found) == accepted(grammar, words)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        " twelve point",
        " twelve point six volt s",
        " twelve, , point six volts",
        " 12.6 volts",
        " twelvepoint six volts",
        " twelve point six books",
        " twelve point six volts. Yes.",
        " -twelve",
        ".",
    ],
)
def test_these_are_no_spellings(automata: dict[str, Automaton], tokens: Tokens, text: str) -> None:
    every = [t for t in range(259, len(tokens.texts)) if tokens.texts[t] == text[:1]]
    cut = list(_cut(text, tokens, None)) if text.strip() else every[:1] if text else []
    assert spelled(automata["voltage"], cut) == set()


def test_three_dots_are_one_mark(automata: dict[str, Automaton], tokens: Tokens) -> None:
    found = spelled(automata["voltage"], cut_longest(" Twelve... point six volts...", tokens))
    assert found == {("twelve", "point", "six", "volts")}


def test_hyphens_and_apostrophes_stay_in_the_words_of_the_grammar(
    automata: dict[str, Automaton], tokens: Tokens
) -> None:
    found = spelled(automata["question"], cut_longest(" It’s Free.", tokens))
    assert found == {("it's", "free")}
