"""A table of guesses tells how likely each intent is."""

import numpy as np
import pytest

from voiceassist import resources
from voiceassist.errors import LanguageError
from voiceassist.language.guess import BUCKETS, OTHER, VALUE, Guesser, buckets
from voiceassist.language.word_net import WordNet

SHIPPED = Guesser.load(resources.grammar_files("en")["talk.json"])


def test_the_chances_of_what_is_allowed_of_a_number_and_of_other_talk_come_to_one() -> None:
    chances = SHIPPED.chances(["where", "on", "earth", "do", "i", "stick", "this"], {"how", "why"})
    assert chances.keys() == {"how", "why", OTHER, VALUE}
    assert sum(chances.values()) == pytest.approx(1)


@pytest.mark.parametrize(
    ("words", "intent"),
    [
        ("where on earth do i stick this lead", "how"),
        ("blimey how much longer will that be", "how-far"),
        ("that came to forty three point two volts or so", VALUE),
        ("has anybody fed the dog", OTHER),
    ],
)
def test_what_was_never_listed_is_told_by_its_parts(words: str, intent: str) -> None:
    chances = SHIPPED.chances(words.split(), SHIPPED.intents)
    assert max(chances, key=chances.__getitem__) == intent


def test_chances_are_those_of_the_softmax_over_the_weights() -> None:
    weights = np.zeros((BUCKETS, 3), np.int8)
    weights[buckets(["hello"])] = [10, 0, 0]
    guesser = Guesser(["how", OTHER, VALUE], weights, 0.1, [0.0, 0.0, 0.0])
    score = len(buckets(["hello"])) ** 0.5  # each part once, over the root of their number
    expected = np.exp(score) / (np.exp(score) + 2)
    assert guesser.chances(["hello"], {"how"})["how"] == pytest.approx(expected)


@pytest.mark.parametrize("text", ["", "{}", '{"intents": [], "weights": "x"}'])
def test_what_is_no_table_is_refused(text: str) -> None:
    with pytest.raises(LanguageError, match="not a table of guesses"):
        Guesser.load(text)


def test_words_are_known_that_were_ever_seen() -> None:
    table = Guesser(["how"], np.zeros((BUCKETS, 1), np.int8), 0.1, [0.0], ["where", "lead"])
    for one in (table, Guesser.load(table.dump())):
        assert one.known(["where", "asdf"]) == 0.5
    assert SHIPPED.known(["it", "is", "the"]) == 1
    assert SHIPPED.known(["asdf", "qwerty"]) == 0


def test_the_network_beside_the_table_knows_words_that_nobody_labelled() -> None:
    net = WordNet(resources.network("en"))
    both = Guesser.load(resources.grammar_files("en")["talk.json"], net=net)
    told = (("my palm got scalded", "danger"), ("elevate the volume", "louder"))
    for phrase, intent in told:
        words = phrase.split()
        assert SHIPPED.known(words) < 1
        table, also = (each.chances(words, both.intents)[intent] for each in (SHIPPED, both))
        assert also > max(table, 0.5)
