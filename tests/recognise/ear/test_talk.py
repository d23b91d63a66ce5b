"""Other ways of saying, which the ear searches where no phrase of the step's own fits."""

import math
from collections.abc import Sequence

import numpy as np
import pytest
from recognise.ear.small import Doubles, chances, graph, written

from voiceassist.app.ears.judgement import understood
from voiceassist.app.loaded import shipped_odds
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.measure.units import unit
from voiceassist.recognise.ear.automaton import Automaton, automaton_of, choice_of
from voiceassist.recognise.ear.automaton_cache import AutomatonCache
from voiceassist.recognise.ear.listener import EarListener
from voiceassist.recognise.ear.search import Beam, either, search
from voiceassist.recognise.ear.shape import SIGNS
from voiceassist.sound.clip import Clip

ALL = Beam(share=0.0, width=10_000)
VOLTS = Expectation(("voltage",), unit("V"))


def scores(logs: Doubles, automaton: Automaton) -> dict[str, float]:
    return dict(search(logs, automaton, ALL).phrases)


def weight(automaton: Automaton, text: str) -> float:
    """What a phrase weighs, by going its way letter by letter, from each of its beginnings."""
    going = {0: 1.0}
    for letter in text:
        after: dict[int, float] = {}
        for state, so_far in going.items():
            for on in automaton.ways[state]:
                if SIGNS[automaton.entered[on]] == letter:
                    after[on] = after.get(on, 0.0) + so_far * automaton.goes_on[state]
        going = after
    return sum(so_far * automaton.ends[state] for state, so_far in going.items())


PARTS: Sequence[tuple[Sequence[str], float]] = (
    (("what", "what now", "which one"), 0.75),
    (("no", "now", "what"), 0.25),
)


def mixed() -> Automaton:
    return choice_of([(automaton_of(graph(*phrases)), share) for phrases, share in PARTS])


def test_what_all_phrases_weigh_makes_one() -> None:
    every = {phrase for phrases, _ in PARTS for phrase in phrases}
    assert sum(weight(mixed(), phrase) for phrase in every) == pytest.approx(1)


def test_each_letter_that_can_come_next_is_as_likely_and_so_is_the_end() -> None:
    """By hand: after "wh" comes "a" or "i"; after "what" the end or more."""
    assert weight(mixed(), "which one") == pytest.approx(0.75 / 2)
    assert weight(mixed(), "what now") == pytest.approx(0.75 / 2 / 2)
    assert weight(mixed(), "what") == pytest.approx(0.75 / 2 / 2 + 0.25 / 2)
    assert weight(mixed(), "now") == pytest.approx(0.25 / 2 / 2)


@pytest.mark.parametrize("seed", range(4))
def test_a_phrase_gets_what_it_weighs_times_its_chance(seed: int) -> None:
    logs = chances(30, seed, sharp=2.0)
    every = tuple(dict.fromkeys(phrase for phrases, _ in PARTS for phrase in phrases))
    plain = scores(logs, automaton_of(graph(*every)))
    due = {phrase: plain[phrase] + math.log(weight(mixed(), phrase)) for phrase in every}
    assert scores(logs, mixed()) == pytest.approx(due, abs=1e-8)
    total = search(logs, mixed(), ALL).total
    assert total == pytest.approx(np.logaddexp.reduce(list(due.values())), abs=1e-8)


def test_two_searches_are_as_good_as_one_of_both() -> None:
    logs = chances(40, 5, sharp=2.0)
    first, second = ("one volt", "two volts"), ("what now", "say that again")
    both = search(logs, automaton_of(graph(*first, *second)), ALL)
    apart = either(*(search(logs, automaton_of(graph(*each)), ALL) for each in (first, second)))
    assert dict(apart.phrases) == pytest.approx(dict(both.phrases), abs=1e-9)
    assert [words for words, _ in apart.phrases] == [words for words, _ in both.phrases]
    assert apart.total == pytest.approx(both.total, abs=1e-9)
    assert (apart.free, apart.letters, apart.spelled) == (both.free, both.letters, both.spelled)


def test_every_part_of_talk_can_be_searched_and_means_something(english: Language) -> None:
    """The shortest phrase of each part, at every kind of step."""
    for expectation in (VOLTS, Expectation(lamp=True), Expectation(at="offer")):
        step = english.compose(expectation)
        parts = step.talk()
        assert len(parts) > 20
        assert sum(share for _, share in parts) == pytest.approx(1)
        for steps, _ in parts:
            words, state, waiting = "", steps.start(), [("", steps.start())]
            for words, state in waiting:
                if steps.accepts(state):
                    break
                waiting += [
                    (f"{words} {word}".strip(), steps.advance(state, word))
                    for word in sorted(steps.next_words(state))
                ]
            assert steps.accepts(state)
            assert step.parse(words).meanings, words


def test_talk_is_compiled_once_for_all_steps_that_await_the_same(english: Language) -> None:
    kept = AutomatonCache()
    amps = Expectation(("current",), unit("A"))
    first, second, lamp = (
        kept.talk(english.compose(each)) for each in (VOLTS, amps, Expectation(lamp=True))
    )
    assert first is second
    assert lamp is not first


def test_a_phrase_of_the_step_itself_never_looks_at_talk(
    english: Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    listener = EarListener()
    listener.prepare(english.compose(VOLTS))
    monkeypatch.setattr(
        listener._network, "letters", lambda _: written("twelve point five volts").astype("f4")
    )
    monkeypatch.setattr(listener._kept, "talk", lambda _: pytest.fail("looked at talk"))
    assert listener.hear(Clip(b"\1\1" * 16_000)).candidates[0].words == "twelve point five volts"


@pytest.mark.parametrize(
    ("words", "meaning"),
    [("what did you say", "repeat"), ("which wire is it", "how"), ("is that good", "limit")],
)
def test_other_ways_of_saying_are_heard(
    english: Language, monkeypatch: pytest.MonkeyPatch, words: str, meaning: str
) -> None:
    listener, step = EarListener(), english.compose(VOLTS)
    listener.prepare(step)
    monkeypatch.setattr(listener._network, "letters", lambda _: written(words).astype("f4"))
    heard = listener.hear(Clip(b"\1\1" * 16_000))
    assert heard.candidates[0].words == words
    assert meaning in repr(step.parse(words).meanings)
    belief = shipped_odds()["ear"].belief(understood(heard, step), step.expectation)
    assert belief.none < 0.1  # beyond it one would ask
