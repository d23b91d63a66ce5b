"""The beam search, beside sums worked out by listing every spelling."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.recognise.moonshine.automaton import Automaton, Words
from voiceassist.recognise.moonshine.engine import Floats, Whole
from voiceassist.recognise.moonshine.search import Beam, Found, search
from voiceassist.recognise.moonshine.tokens import END, Tokens

#: A vocabulary so small that every spelling can be listed.
TEXTS = (
    "<unk>",
    "<s>",
    "</s>",
    " y",
    " Y",
    "es",
    " no",
    ".",
    "-",
    "t",
    " ye",
    "s",
    " yes",
    "n",
    "o",
)
TOKENS = Tokens(
    TEXTS,
    {"y": (3, 4), "no": (6,), "ye": (10,), "yes": (12,)},
    {"es": (5,), ".": (7,), "-": (8,), "t": (9,), "s": (11,), "n": (13,), "o": (14,)},
)
LONGEST = 5
WIDE = Beam(width=500, margin=1e6)
PHRASES = [("yes",), ("no",), ("no", "no"), ("no", "yes"), ("not",), ("yes", "no")]
SEEDS = st.integers(0, 2**32 - 1)


@dataclass(frozen=True, slots=True)
class Listed:
    """A grammar of listed phrases; a state is the words so far."""

    phrases: tuple[Words, ...]

    def jsgf(self) -> str:
        raise NotImplementedError

    def words(self) -> frozenset[str]:
        raise NotImplementedError

    def start(self) -> Words:
        return ()

    def advance(self, state: Words, word: str) -> Words:
        return (*state, word)

    def next_words(self, state: Words) -> frozenset[str]:
        size = len(state)
        return frozenset(p[size] for p in self.phrases if len(p) > size and p[:size] == state)

    def accepts(self, state: Words) -> bool:
        return state in self.phrases


class Dice:
    """A decoder whose next token depends on how many came before, and on nothing else."""

    def __init__(self, seed: int) -> None:
        rng = np.random.default_rng(seed)
        drawn = rng.normal(0, 2, (2, LONGEST + 2, len(TEXTS)))
        scaled = drawn - np.log(np.exp(drawn).sum(axis=2, keepdims=True))
        self.heard, self.unheard = scaled.astype(np.float32)
        self.taken = 0

    @property
    def first(self) -> tuple[Floats, Floats]:
        return self.heard[:1], self.unheard[:1]

    def step(self, rows: Whole, tokens: Whole) -> tuple[Floats, Floats]:
        assert rows.shape == tokens.shape
        self.taken += 1
        shape = (len(rows), 1)
        return np.tile(self.heard[self.taken], shape), np.tile(self.unheard[self.taken], shape)


def spellings(words: Words) -> Iterator[list[int]]:
    """Every way to write ``words`` with the small vocabulary, by trying all its tokens."""
    wanted = "".join(words)

    def go(tokens: list[int], rest: str, edge: bool) -> Iterator[list[int]]:
        if not rest and len(tokens) <= LONGEST:
            yield tokens
        if len(tokens) == LONGEST:
            return
        text = TEXTS[tokens[-1]] if tokens else ""
        starts = {len(wanted) - sum(map(len, words[n:])) for n in range(len(words))}
        at = len(wanted) - len(rest)
        for token in range(3, len(TEXTS)):
            piece = TEXTS[token].strip().lower()
            if piece in {".", "-"}:
                ended = at in starts - {0} or not rest
                allowed = at > 0 and text not in {".", "-"}
                if allowed and ((piece == "." and ended) or (piece == "-" and rest)):
                    yield from go([*tokens, token], rest, piece == ".")
                continue
            new_word = TEXTS[token].startswith(" ")
            if new_word and (at not in starts or text == "-"):
                continue
            if not new_word and (at == 0 or text == "." or (at in starts and text != "-")):
                continue
            inside = next((s for s in sorted(starts) if s > at), len(wanted))
            if rest.startswith(piece) and at + len(piece) <= inside:
                yield from go([*tokens, token], rest[len(piece) :], False)

    yield from go([], wanted, True)


def listed_sum(words: Words, dice: Dice, prior: float) -> tuple[float, float]:
    """Fit and log probability of ``words``, summed over all their spellings."""
    fits, heard = [], []
    for tokens in spellings(words):
        places = np.arange(len(tokens) + 1), np.array([*tokens, END])
        heard.append(float(dice.heard[places].sum()))
        fits.append(heard[-1] - prior * float(dice.unheard[places].sum()))
    return float(np.logaddexp.reduce(fits)), float(np.logaddexp.reduce(heard))


def found(phrases: tuple[Words, ...], seed: int, beam: Beam = WIDE) -> Found:
    automaton = Automaton(Listed(phrases), TOKENS)
    return search(Dice(seed), automaton, LONGEST, beam)


CHOSEN = st.lists(st.sampled_from(PHRASES), min_size=1, unique=True).map(tuple)


@given(CHOSEN, SEEDS)
def test_a_score_is_the_sum_over_all_spellings(phrases: tuple[Words, ...], seed: int) -> None:
    scores = dict(found(phrases, seed).phrases)
    assert set(scores) == set(phrases)
    for words, score in scores.items():
        fit, heard = listed_sum(words, Dice(seed), WIDE.prior)
        assert score.fit == pytest.approx(fit, abs=1e-4)
        assert score.heard == pytest.approx(heard, abs=1e-4)


@given(CHOSEN, st.sampled_from(PHRASES), SEEDS)
def test_one_more_phrase_in_the_grammar_lowers_the_score_of_none(
    phrases: tuple[Words, ...], more: Words, seed: int
) -> None:
    before = dict(found(phrases, seed).phrases)
    after = dict(found((*phrases, more), seed).phrases)
    for words, score in before.items():
        assert after[words].fit >= score.fit - 1e-4


@given(CHOSEN, SEEDS, st.integers(1, 6))
def test_a_narrow_beam_finds_phrases_of_the_grammar_best_first_and_promises_no_more_than_all(
    phrases: tuple[Words, ...], seed: int, width: int
) -> None:
    wide = dict(found(phrases, seed).phrases)
    narrow = found(phrases, seed, Beam(width=width)).phrases
    fits = [score.fit for _, score in narrow]
    assert fits == sorted(fits, reverse=True)
    for words, score in narrow:
        assert math.isfinite(score.fit)
        assert score.fit <= wide[words].fit + 1e-4


@given(SEEDS)
def test_the_free_text_takes_the_likeliest_token_each_time(seed: int) -> None:
    dice = Dice(seed)
    result = found((("yes",),), seed)
    best = dice.heard.argmax(axis=1).tolist()
    due = best[: best.index(END)] if END in best else best
    # Nothing can be written after the longest text, and the search stops with its last phrase.
    assert list(result.tokens) == due[: len(result.tokens)]
    assert len(result.tokens) == min(len(due), LONGEST)


def test_a_decoder_that_never_ends_its_text_is_stopped() -> None:
    class Endless(Dice):
        def step(self, rows: Whole, tokens: Whole) -> tuple[Floats, Floats]:
            self.taken = 0
            return super().step(rows, tokens)

    endless = Endless(0)
    endless.heard[:, 9] = 50.0
    result = search(endless, Automaton(Listed((("yes",),)), TOKENS), 30, Beam())
    assert len(result.tokens) == 30


@pytest.mark.parametrize("wrong", [{"width": 0}, {"margin": 0.0}, {"prior": 1.5}, {"prior": -0.1}])
def test_a_beam_that_cannot_be_searched_with_is_misuse(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="cannot be searched"):
        Beam(**wrong)  # type: ignore[arg-type]
