"""The sum over a grammar, against sums that are worked out otherwise."""

import math
from itertools import groupby, product

import numpy as np
import pytest
from recognise.ear.small import Doubles, chances, graph, written

from voiceassist.recognise.ear.automaton import automaton_of, beginnings
from voiceassist.recognise.ear.search import Beam, log_total, search
from voiceassist.recognise.ear.shape import BLANK, NUMBERS, SIGNS

#: Gives nothing up.
ALL = Beam(share=0.0, width=10_000)


def by_hand(logs: Doubles, phrases: tuple[str, ...]) -> dict[str, float]:
    """The probability of each phrase, by trying every alignment there is."""
    used = sorted({BLANK} | {NUMBERS[letter] for phrase in phrases for letter in phrase})
    found = dict.fromkeys(phrases, 0.0)
    for alignment in product(used, repeat=len(logs)):
        text = "".join(SIGNS[sign] for sign, _ in groupby(alignment) if sign != BLANK)
        if text in found:
            found[text] += math.exp(sum(logs[i, sign] for i, sign in enumerate(alignment)))
    return found


def by_rows(logs: Doubles, phrase: str) -> float:
    """The logarithm for one phrase, by the recursion over letters and blanks (Graves et al. 2006).

    Equations 6 to 8 of the paper, from memory: a row for each letter and each blank around it.
    """
    rows = [BLANK, *(sign for letter in phrase for sign in (NUMBERS[letter], BLANK))]
    alpha = np.full(len(rows), -math.inf)
    alpha[:2] = logs[0, rows[:2]]
    for moment in logs[1:]:
        before = alpha.copy()
        for s, sign in enumerate(rows):
            from_ = [before[s]] + ([before[s - 1]] if s else [])
            if s > 1 and sign not in {BLANK, rows[s - 2]}:
                from_.append(before[s - 2])
            alpha[s] = np.logaddexp.reduce(from_) + moment[sign]
    return float(np.logaddexp(alpha[-1], alpha[-2]))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    "phrases",
    [("a",), ("a", "ab"), ("aa", "ab", "ba"), ("a b", "a", "b a"), ("aab", "abb", "a ab")],
)
def test_every_alignment_of_every_phrase_is_counted(phrases: tuple[str, ...], seed: int) -> None:
    logs = chances(5, seed)
    found = search(logs, automaton_of(graph(*phrases)), ALL)
    due = by_hand(logs, phrases)
    assert math.exp(found.total) == pytest.approx(sum(due.values()), rel=1e-9)
    assert {words: math.exp(score) for words, score in found.phrases} == pytest.approx(
        {phrase: each for phrase, each in due.items() if each}, rel=1e-9
    )


@pytest.mark.parametrize("seed", range(6))
def test_long_phrases_get_what_the_recursion_for_each_alone_gives(seed: int) -> None:
    phrases = ("three volts", "thirteen volts", "thirty volts", "add all", "add a volt")
    logs = chances(60, seed, sharp=2.0)
    found = search(logs, automaton_of(graph(*phrases)), ALL)
    due = {phrase: by_rows(logs, phrase) for phrase in phrases}
    assert dict(found.phrases) == pytest.approx(due, abs=1e-8)
    assert found.total == pytest.approx(np.logaddexp.reduce(list(due.values())), abs=1e-8)


@pytest.mark.parametrize("moments", [1, 4, 5, 8, 23, 60])
def test_sums_that_are_let_go_and_worked_out_again_are_the_same(
    moments: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four moments at a time: so every phrase needs some of them twice."""
    automaton = automaton_of(graph("a", "no", "three volts", "thirty volts", "add a volt"))
    logs = chances(moments, 9, sharp=2.0)
    whole = search(logs, automaton, ALL)
    monkeypatch.setattr("voiceassist.recognise.ear.backward._CELLS", 1)
    monkeypatch.setattr("voiceassist.recognise.ear.backward._LEAST_AT_ONCE", 4)
    parted = search(logs, automaton, ALL)
    assert whole.phrases
    assert parted.total == whole.total
    assert dict(parted.phrases) == pytest.approx(dict(whole.phrases), abs=1e-9)


def test_it_agrees_with_a_well_known_library() -> None:
    """torch.nn.functional.ctc_loss, an implementation of the same paper by others."""
    torch = pytest.importorskip("torch")
    phrases = ("fifteen", "fifty", "all off", "minus three point three")
    logs = chances(80, 11, sharp=2.0)
    found = dict(search(logs, automaton_of(graph(*phrases)), ALL).phrases)
    for phrase in phrases:
        target = torch.tensor([[NUMBERS[letter] for letter in phrase]])
        loss = torch.nn.functional.ctc_loss(
            torch.from_numpy(logs)[:, None],
            target,
            torch.tensor([80]),
            torch.tensor([len(phrase)]),
            reduction="none",
        )
        assert found[phrase] == pytest.approx(-float(loss[0]), abs=1e-5)


def test_what_is_listed_and_the_rest_make_the_whole() -> None:
    phrases = tuple(" ".join(each) for each in product(("one", "two", "ten", "six"), repeat=3))
    found = search(chances(40, 3), automaton_of(graph(*phrases)), Beam(share=1e-3, width=8))
    listed = sum(math.exp(score - found.total) for _, score in found.phrases)
    assert 0 < len(found.phrases) <= 8
    assert 0 < listed < 1
    assert math.exp(found.rest - found.total) == pytest.approx(1 - listed)


def test_all_spellings_of_a_word_are_added() -> None:
    logs = chances(12, 2, sharp=2.0)
    (found,) = search(logs, automaton_of(graph("x-ray")), ALL).phrases
    due = np.logaddexp(by_rows(logs, "x ray"), by_rows(logs, "xray"))
    assert found[0] == "x-ray"
    assert found[1] == pytest.approx(due, abs=1e-8)


def test_a_narrow_beam_never_gives_a_phrase_more_than_it_has() -> None:
    phrases = tuple(" ".join(each) for each in product(("one", "two", "ten", "six"), repeat=2))
    logs = chances(30, 5, sharp=2.0)
    whole = dict(search(logs, automaton_of(graph(*phrases)), ALL).phrases)
    for words, score in search(logs, automaton_of(graph(*phrases)), Beam(1e-4, 4)).phrases:
        assert score <= whole[words] + 1e-9


def test_what_was_written_is_found_first_and_weighs_almost_all() -> None:
    phrases = ("fifteen volts", "fifty volts", "five volts")
    found = search(written("fifteen volts"), automaton_of(graph(*phrases)), Beam())
    words, score = found.phrases[0]
    assert words == "fifteen volts"
    assert math.exp(score - found.total) > 0.99
    assert found.letters == len("fifteen volts")


def test_other_talk_fits_worse_than_free_letters_do() -> None:
    automaton = automaton_of(graph("fifteen volts", "fifty volts", "stand by"))
    said = search(written("fifty volts"), automaton, Beam())
    talk = search(written("the lunch is late"), automaton, Beam())
    assert (said.total - said.free) / said.letters > -0.5
    assert (talk.total - talk.free) / talk.letters < -1.0


def test_a_sound_too_short_for_any_phrase_gives_none() -> None:
    found = search(chances(3, 0), automaton_of(graph("three volts", "help")), Beam())
    assert found.phrases == ()
    assert found.total == -math.inf


def test_a_long_sound_does_not_run_out_of_small_numbers() -> None:
    logs = chances(1200, 1, sharp=3.0)
    found = search(logs, automaton_of(graph("one two three", "help")), ALL)
    assert found.phrases[0][1] == pytest.approx(by_rows(logs, found.phrases[0][0]), rel=1e-9)


def test_what_is_written_with_no_grammar_is_told() -> None:
    """The likeliest sign at each moment, doubles and blanks left out (Graves et al. 2006)."""
    signs = [NUMBERS["o"], NUMBERS["o"], BLANK, NUMBERS["h"], BLANK, NUMBERS[" "], NUMBERS["a"]]
    logs = np.full((len(signs), len(SIGNS)), -9.0)
    logs[range(len(signs)), signs] = -0.01
    assert search(logs, automaton_of(graph("no")), ALL).spelled == "oh a"


def test_beginnings_of_phrases_have_the_sum_of_all_their_alignments() -> None:
    """ "one" is whole, "one two" and "ten" are not; letters alone are no beginning."""
    automaton = automaton_of(graph("one", "one two six", "ten volts"))
    logs = chances(25, 4, sharp=2.0)
    due = np.logaddexp(by_rows(logs, "one two"), by_rows(logs, "ten"))
    assert log_total(logs, beginnings(automaton)) == pytest.approx(due, abs=1e-8)


def test_a_phrase_that_broke_off_is_likelier_a_beginning_than_a_whole_one() -> None:
    automaton = automaton_of(graph("eleven volt", "eleven point eight"))
    begun, whole = written("eleven point"), written("eleven volt")
    assert log_total(begun, beginnings(automaton)) > search(begun, automaton, Beam()).total
    assert log_total(whole, beginnings(automaton)) < search(whole, automaton, Beam()).total
