"""The likeliest words of talk for which there is no grammar."""

import itertools
import math
import time

import numpy as np
import pytest
from recognise.ear.small import chances, graph, written

from voiceassist import resources
from voiceassist.recognise.ear import lexicon as lexicon_module
from voiceassist.recognise.ear.automaton import automaton_of
from voiceassist.recognise.ear.lexicon import Lexicon
from voiceassist.recognise.ear.search import Beam, search
from voiceassist.recognise.ear.word_rows import SAID, WordRows, counted
from voiceassist.recognise.ear.wording import _SURENESS, wordings

PHRASES = ("hang on a minute", "hang on a second", "which pin is it", "where is it")
LEXICON = Lexicon(counted((phrase.split(), SAID) for phrase in PHRASES))
WIDE = Beam(share=1e-9, width=2000)


def best(text: str, sharp: float = 8.0) -> str:
    """The likeliest words of a sound in which ``text`` is spelled."""
    return wordings(written(text, sharp=sharp), LEXICON)[0][0]


@pytest.mark.parametrize("phrase", PHRASES)
def test_what_is_spelled_clearly_is_read(phrase: str) -> None:
    assert best(phrase) == phrase


@pytest.mark.parametrize(
    ("spelled", "meant"),
    [
        ("wich pin is it", "which pin is it"),
        ("hang on a minit", "hang on a minute"),
        ("hang ona second", "hang on a second"),
    ],
)
def test_letters_that_are_missing_or_wrong_are_put_right_by_the_words(
    spelled: str, meant: str
) -> None:
    assert best(spelled, sharp=5.0) == meant


def test_a_word_that_nobody_listed_is_written_as_it_sounds() -> None:
    assert best("where is zorblax", sharp=20.0) == "where is zorblax"


def test_shares_come_to_one_at_most_and_the_likeliest_is_first() -> None:
    shares = [share for _, share in wordings(chances(30, seed=3), LEXICON)]
    assert 0 < sum(shares) <= 1 + 1e-6
    assert shares == sorted(shares, reverse=True)


def test_no_sound_has_no_words() -> None:
    assert wordings(np.zeros((0, 29)), LEXICON) == () or all(
        words == "" for words, _ in wordings(np.zeros((0, 29)), LEXICON)
    )


@pytest.mark.parametrize("seed", range(3))
def test_shares_are_those_of_the_sum_over_all_alignments(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The sum over a grammar of one phrase is checked against other software in test_search.py.
    monkeypatch.setattr(lexicon_module, "_STRANGE", 1e-60)  # no word is spelled freely
    listed = Lexicon(LEXICON.rows)
    logs = written("hang on it", seed=seed, sharp=4.0)
    flat = logs * _SURENESS
    found = dict(wordings(logs, listed, WIDE))
    # They end alike: a space behind the last word counts for the wording, not for the grammar.
    both = [words for words in found if words.endswith(" it")]
    assert len(both) > 1, found
    worth = {words: _sum(flat, words) + _rows(words) for words in both}
    for one, other in itertools.pairwise(both):
        expected = worth[one] - worth[other]
        assert math.log(found[one] / found[other]) == pytest.approx(expected, abs=0.05)


def _sum(flat: np.ndarray, words: str) -> float:
    return search(flat, automaton_of(graph(words)), WIDE).total


def _rows(words: str) -> float:
    """How likely the words are in this order, as a logarithm, as much as that counts."""
    rows = LEXICON.rows
    row = [0, 0, *map(rows.words.index, words.split()), 1]
    likely = (rows.chance(tuple(row[at - 2 : at]), row[at]) for at in range(2, len(row)))
    return lexicon_module._ROWS * sum(map(math.log, likely))


def test_a_phrase_of_four_seconds_takes_a_fraction_of_its_length() -> None:
    # The aim is 60 ms on a core of its own; a test machine that is shared gets ten times that.
    shipped = Lexicon(WordRows.load(resources.grammar_files("en")["talk-words.json"]))
    logs = written("what colour is the wire i am looking for", sharp=5.0, moments=2)
    wordings(logs, shipped)
    began = time.process_time()
    wordings(logs, shipped)
    assert time.process_time() - began < 0.6
