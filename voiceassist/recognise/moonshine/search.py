"""Beam search: the phrases of a grammar that explain a sound best.

The model writes texts, so what it finds likely is part sound and part its own language model: after
"eleven point nine" it would rather write "books" than "volts", and in noise it writes "yeah". That
part is estimated by decoding the same tokens from a sound without speech, and a share of it is
taken away, as in the density ratio and internal language model methods for end-to-end recognisers
(McDermott et al. 2019; Meng et al. 2020; from memory).
"""

import math
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from voiceassist.recognise.moonshine.automaton import Arcs, Automaton, Words
from voiceassist.recognise.moonshine.engine import Floats, Whole
from voiceassist.recognise.moonshine.tokens import END

#: Ways on that are looked at for each place in the beam; those that meet are summed.
_TRIED = 6


@dataclass(frozen=True, slots=True)
class Beam:
    """How wide and how far to search.

    Chosen on flite phrases in quiet and in noise, as ``tests/benchmarks/moonshine.py`` makes them.
    Right first: 91 % as below, 89 % with width 8, the same with margins of 5 and 8. On other
    phrases, with width 8: 65 % without taking any of the prior away, 88 % with a share of 0.6.

    Parts:
        width: texts kept at each step.
        margin: a text that scores so many nats less than the best one is given up.
        prior: share of the model's own language model that is taken away, 0 to 1.
    """

    width: int = 12
    margin: float = 6.0
    prior: float = 0.5

    def __post_init__(self) -> None:
        if self.width < 1 or self.margin <= 0 or not 0 <= self.prior <= 1:
            raise ValueError(f"{self} cannot be searched with")


@dataclass(frozen=True, slots=True)
class Score:
    """Natural logarithms, summed over the spellings of the same words.

    Parts:
        fit: what a text is ranked by: ``heard`` less a share of the same without the sound.
        heard: its probability given the sound.
    """

    fit: float
    heard: float

    def __or__(self, other: "Score") -> "Score":
        return Score(_sum(self.fit, other.fit), _sum(self.heard, other.heard))


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found.

    Parts:
        phrases: whole phrases of the grammar, best first.
        free: score of the text the model writes when nothing holds it.
        tokens: that text.
    """

    phrases: tuple[tuple[Words, Score], ...]
    free: Score
    tokens: tuple[int, ...]


class Decoder(Protocol):
    """Log probabilities of the next token, from the sound and from a sound without speech."""

    @property
    def first(self) -> tuple[Floats, Floats]:
        """Of the first token, shape (1, tokens) each."""
        ...

    def step(self, rows: Whole, tokens: Whole) -> tuple[Floats, Floats]:
        """After going on from ``rows`` with ``tokens``, shape (n, tokens) each."""
        ...


def search(decoder: Decoder, automaton: Automaton, most_tokens: int, beam: Beam) -> Found:
    """The best phrases, and the free text beside them; at most ``most_tokens`` long."""
    state = _Search(automaton, beam)
    heard, unheard = decoder.first
    for _ in range(most_tokens):
        rows, tokens = state.advance(heard, unheard)
        if not rows:
            break
        heard, unheard = decoder.step(np.array(rows), np.array(tokens))
    else:
        state.end_all(heard, unheard)
    ranked = sorted(state.ended.items(), key=lambda each: -each[1].fit)
    return Found(tuple(ranked), state.free.score, tuple(state.free.tokens))


@dataclass(frozen=True, slots=True)
class _Text:
    """A text being written: its score, place in the automaton, whole words, and row."""

    score: Score
    place: int
    words: Words
    row: int


@dataclass(slots=True)
class _Free:
    """The text that nothing holds: always the likeliest token."""

    score: Score = Score(0.0, 0.0)
    tokens: list[int] = field(default_factory=list)
    row: int | None = 0


class _Search:
    def __init__(self, automaton: Automaton, beam: Beam) -> None:
        self.automaton = automaton
        self.beam = beam
        self.texts = [_Text(Score(0.0, 0.0), 0, (), 0)]
        self.free = _Free()
        self.ended: dict[Words, Score] = {}

    def advance(self, heard: Floats, unheard: Floats) -> tuple[list[int], list[int]]:
        """Choose the next token of every text; the rows they go on from, and the tokens."""
        self.end_all(heard, unheard)
        rows, tokens = self._choose(heard, unheard)
        token = self._free_token(heard, unheard)
        if token is not None:
            assert self.free.row is not None
            rows.append(self.free.row)
            tokens.append(token)
            self.free.row = len(rows) - 1
        return rows, tokens

    def end_all(self, heard: Floats, unheard: Floats) -> None:
        """End each text that is a whole phrase."""
        for text in self.texts:
            ends = self.automaton.arcs(text.place).ends
            if ends is not None:
                words = _longer(text.words, ends)
                score = self._scored(text.score, text.row, heard, unheard, END)
                before = self.ended.get(words)
                self.ended[words] = score if before is None else before | score

    def _choose(self, heard: Floats, unheard: Floats) -> tuple[list[int], list[int]]:
        ways = [self.automaton.arcs(text.place) for text in self.texts]
        fits = [self._fits(*each, heard, unheard) for each in zip(self.texts, ways, strict=True)]
        found: dict[tuple[int, Words], _Text] = {}
        rows: list[int] = []
        tokens: list[int] = []
        for number, arc in self._likeliest(fits):
            text, way = self.texts[number], ways[number]
            token = int(way.tokens[arc])
            key = way.places[arc], _longer(text.words, way.words[arc])
            score = self._scored(text.score, text.row, heard, unheard, token)
            if key in found:
                # The likelier spelling goes on for both.
                known = found[key]
                found[key] = _Text(known.score | score, *key, known.row)
            elif len(found) < self.beam.width:
                found[key] = _Text(score, *key, len(rows))
                rows.append(text.row)
                tokens.append(token)
        self.texts = list(found.values())
        return rows, tokens

    def _likeliest(self, fits: list[Floats]) -> list[tuple[int, int]]:
        """The best ways on, as number of text and of arc, within the margin of the best."""
        scores = np.concatenate(fits) if fits else np.zeros(0, np.float32)
        if not scores.size:
            return []
        most = min(scores.size, _TRIED * self.beam.width)
        best = np.argpartition(-scores, most - 1)[:most]
        best = best[np.argsort(-scores[best], kind="stable")]
        ended = max((score.fit for score in self.ended.values()), default=-math.inf)
        floor = max(ended, float(scores[best[0]])) - self.beam.margin
        best = best[scores[best] >= floor]
        starts = np.cumsum([0, *map(len, fits)])
        texts = np.searchsorted(starts, best, side="right") - 1
        return list(zip(texts.tolist(), (best - starts[texts]).tolist(), strict=True))

    def _fits(self, text: _Text, way: Arcs, heard: Floats, unheard: Floats) -> Floats:
        gains = heard[text.row, way.tokens] - self.beam.prior * unheard[text.row, way.tokens]
        fits: Floats = text.score.fit + gains
        return fits

    def _scored(self, score: Score, row: int, heard: Floats, unheard: Floats, token: int) -> Score:
        gain = float(heard[row, token])
        fit = gain - self.beam.prior * float(unheard[row, token])
        return Score(score.fit + fit, score.heard + gain)

    def _free_token(self, heard: Floats, unheard: Floats) -> int | None:
        free = self.free
        if free.row is None:
            return None
        token = int(heard[free.row].argmax())
        free.score = self._scored(free.score, free.row, heard, unheard, token)
        if token == END:
            free.row = None
            return None
        free.tokens.append(token)
        return token


def _longer(words: Words, word: str) -> Words:
    return (*words, word) if word else words


def _sum(one: float, other: float) -> float:
    """The logarithm of a sum of two probabilities given as logarithms."""
    return float(np.logaddexp(one, other))
