"""The network of guesses reads words by their parts, and what is no network is refused."""

import numpy as np
import pytest

from voiceassist import resources
from voiceassist.language.word_net import (
    BEGINNING,
    END,
    MOST_PIECES,
    UNKNOWN,
    WordNet,
    parted,
    pieces,
)

SHIPPED = WordNet(resources.network("en"))
KNOWN = {
    piece: at for at, piece in enumerate((BEGINNING, END, UNKNOWN, "un", "unplug", "##ged", "'"))
}


def test_a_word_is_parted_into_the_longest_parts_that_are_known() -> None:
    assert list(pieces("unplugged", KNOWN)) == ["unplug", "##ged"]
    assert list(pieces("unglued", KNOWN)) == ["un", UNKNOWN]


def test_a_phrase_has_a_beginning_and_an_end_and_no_more_parts_than_are_read() -> None:
    assert parted(["un"] * 99, KNOWN) == [0, *[3] * MOST_PIECES, 1]
    assert parted(["un'un"], KNOWN) == [0, 3, 6, 3, 1]


def test_of_a_layer_that_sees_nothing_and_adds_nothing_the_score_is_the_mean_of_the_parts() -> None:
    """Layer normalisation of (1, -1) is itself; so the sums can be done by hand."""
    width = 12
    sign = np.resize([1.0, -1.0], width)
    zero, one = np.zeros(width), np.ones(width)
    plain = {
        "pieces": np.vstack([sign, sign, -sign]),
        "pieces.scale": np.ones(3),
        "order": np.zeros((5, width)),
        "place": np.zeros((1, width)),
        "out": np.vstack([sign, zero]),
        "out.bias": np.array([0.0, 0.5]),
        "0.qkv": np.zeros((3 * width, width)),
        "0.qkv.scale": np.ones(3 * width),
        "0.qkv.bias": np.zeros(3 * width),
    }
    for name in ("o", "f", "g"):
        plain |= {f"0.{name}": np.zeros((width, width)), f"0.{name}.bias": zero}
        plain[f"0.{name}.scale"] = one
    for name in ("begin", "0.seen", "0.end"):
        plain |= {name: one, f"{name}.bias": zero}
    for name, lines in (
        ("intents", "how\nwhy"),
        ("places", ""),
        ("vocabulary", f"{BEGINNING}\n{END}\nodd"),
    ):
        plain[name] = np.frombuffer(lines.encode(), np.uint8)
    scores = WordNet(plain).scores([["odd"]], "")
    assert scores[0] == pytest.approx([4 * width * (1 + 1 - 1) / 3, 4 * 0.5], rel=1e-5)


def test_what_is_said_at_one_kind_of_place_is_weighed_by_it() -> None:
    out = SHIPPED.intents.index("lamp-off")
    words = ["it", "went", "out"]
    lamp, change = (SHIPPED.scores([words], where)[0] for where in ("lamp", "change"))
    assert lamp[out] > change[out] + 2


def test_each_of_several_phrases_scores_as_it_does_alone() -> None:
    phrases = [["why"], ["it", "went", "out"], ["tell", "me", "that", "again"]]
    alone = [SHIPPED.scores([words], "lamp")[0] for words in phrases]
    assert SHIPPED.scores(phrases, "lamp") == pytest.approx(np.stack(alone), rel=1e-5, abs=1e-5)
