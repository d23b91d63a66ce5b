"""A grammar as an automaton of letters."""

import random

import pytest
from recognise.ear.plainly import plain_automaton
from recognise.ear.small import graph, written

from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language
from voiceassist.measure.units import unit
from voiceassist.recognise.ear import automaton_cache as module
from voiceassist.recognise.ear.automaton import Automaton, automaton_of
from voiceassist.recognise.ear.automaton_cache import AutomatonCache
from voiceassist.recognise.ear.listener import EarListener
from voiceassist.recognise.ear.search import Beam, search
from voiceassist.recognise.ear.shape import BLANK, NUMBERS
from voiceassist.recognise.graph import WordGraph, graph_of


def accepts(automaton: Automaton, text: str) -> bool:
    """Whether it has just these letters."""
    state = 0
    for letter in text:
        ways = [on for on in automaton.ways[state] if automaton.entered[on] == NUMBERS[letter]]
        assert len(ways) <= 1, "two ways to write the same"
        if not ways:
            return False
        state = ways[0]
    return automaton.ends[state] > 0


@pytest.mark.parametrize("phrase", ["one", "one two", "two", "oh"])
def test_it_holds_its_phrases(phrase: str) -> None:
    assert accepts(automaton_of(graph("one", "one two", "two", "oh")), phrase)


@pytest.mark.parametrize("phrase", ["", "on", "o", "one ", "two one", "one two two", "onetwo"])
def test_and_no_others(phrase: str) -> None:
    assert not accepts(automaton_of(graph("one", "one two", "two", "oh")), phrase)


def test_words_that_lead_to_the_same_share_their_states() -> None:
    few = automaton_of(graph("one volt", "two volt"))
    many = automaton_of(graph(*(f"{a} {b} volt" for a in ("one", "two") for b in ("six", "ten"))))
    assert len(many.entered) == len(few.entered) + len(" sixten")  # each written once


def test_a_phrase_may_go_round_in_a_circle() -> None:
    round_ = automaton_of(WordGraph(({"go": 1}, {"on": 1}), frozenset({1})))
    assert accepts(round_, "go")
    assert accepts(round_, "go on on on")
    assert not accepts(round_, "on")


def test_hyphens_are_written_as_spaces_or_not_at_all_and_given_back() -> None:
    automaton = automaton_of(graph("use the back-probe", "don’t"))
    assert accepts(automaton, "use the back probe")
    assert accepts(automaton, "use the backprobe")
    assert accepts(automaton, "don't")
    way, state = [], 0
    for letter in "use the back probe":
        state = next(w for w in automaton.ways[state] if automaton.entered[w] == NUMBERS[letter])
        way.append(state)
    assert automaton.spelled(way) == "use the back-probe"


STEPS = (
    Expectation(("voltage",), unit("V")),
    Expectation(("resistance",), unit("Ω")),
    Expectation(lamp=True),
    Expectation(choices=(Choice("a", ("stiff as a board", "it won't turn")),)),
    Expectation(identifier="vin"),
    Expectation(),
)


@pytest.mark.parametrize("expectation", STEPS, ids=repr)
def test_every_phrase_of_a_step_is_in_it(english: Language, expectation: Expectation) -> None:
    step = english.compose(expectation)
    automaton = automaton_of(graph_of(step))
    assert automaton.entered[0] == BLANK
    assert BLANK not in automaton.entered[1:]
    rng = random.Random(7)
    for _ in range(100):
        words, _ = step.sample(rng, heard=True)
        assert accepts(automaton, words.replace("-", " ")), words
        assert accepts(automaton, words.replace("-", "")), words
        assert not accepts(automaton, words.replace("-", "") + " zzz")


@pytest.mark.parametrize("expectation", STEPS, ids=repr)
def test_sharing_states_changes_no_sum(english: Language, expectation: Expectation) -> None:
    """Against the plain construction, in which nothing is shared."""
    step = english.compose(expectation)
    shared, plain = automaton_of(graph_of(step)), plain_automaton(step)
    assert len(shared.entered) < len(plain.entered)
    rng = random.Random(3)
    said = [step.sample(rng, heard=True)[0] for _ in range(2)]
    for text in (*said, "the lunch is late"):
        logs = written(text.replace("-", " "), seed=len(text), sharp=5.0)
        ours, theirs = search(logs, shared, Beam()), search(logs, plain, Beam())
        assert ours.total == pytest.approx(theirs.total, abs=1e-9)
        assert dict(ours.phrases) == pytest.approx(dict(theirs.phrases), abs=1e-9)


def test_what_a_grammar_needs_can_be_compiled_bit_by_bit_beforehand(
    english: Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept, step = AutomatonCache(), english.compose(STEPS[0])
    bits = 1
    while kept.compile_some(step):
        bits += 1
    assert bits > 20
    monkeypatch.setattr(module, "automaton_of", lambda _: pytest.fail("compiled again"))
    monkeypatch.setattr(module, "choice_of", lambda _: pytest.fail("compiled again"))
    assert kept.automaton(step).ends
    assert kept.talk(step) is not None


def test_words_that_cannot_be_heard_are_told_of_when_they_are_prepared(english: Language) -> None:
    listener = EarListener()
    strange = english.compose(Expectation(choices=(Choice("yes", ("예",)),)))
    assert not listener.expect(strange)
    with pytest.raises(RecogniseError, match="예"):
        listener.prepare(strange)
