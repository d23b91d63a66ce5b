"""Makes phrases from rules, at random, with the tags they pass."""

import random
from collections.abc import Mapping
from functools import cache
from itertools import accumulate

from voiceassist.language import jsgf

#: How likely one more round of a repeated part is.
_ONE_MORE = 0.5


@cache
def _summed(weights: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(accumulate(weights))


def sample(
    rules: Mapping[str, jsgf.Expression], root: str, rng: random.Random
) -> tuple[list[str], tuple[str, ...]]:
    """Words and tags of one random way through ``root``; alternatives by their weight."""
    words: list[str] = []
    tags: list[str] = []

    def go(body: jsgf.Expression) -> None:
        match body:
            case jsgf.Word(text):
                words.append(text)
            case jsgf.Tag(text):
                tags.append(text)
            case jsgf.Ref(name):
                go(rules[name])
            case jsgf.Sequence(parts):
                for part in parts:
                    go(part)
            case jsgf.Alternatives(options, weights):
                go(rng.choices(options, cum_weights=_summed(weights))[0])
            case jsgf.Optional(inner):
                if rng.random() < 0.5:
                    go(inner)
            case jsgf.Repeat(inner, at_least):
                for _ in range(at_least):
                    go(inner)
                while rng.random() < _ONE_MORE:
                    go(inner)

    go(rules[root])
    return words, tuple(tags)
