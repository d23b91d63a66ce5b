"""Makes the table of guesses from labelled phrases. Run: python training/talk/train.py [--check]

Phrases come from ``phrases.json`` beside this file and from the open part of ``tests/talk``; what
is kept apart there is never read. Others are made of the grammar, so that the guess agrees with
it. ``--check`` prints a fivefold cross-validation instead: of phrases left out, how many are named
rightly, and how many at what probability.
"""

import argparse
import json
import random
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import StratifiedKFold

from voiceassist import resources
from voiceassist.language.expectation import Expectation
from voiceassist.language.guess import BUCKETS, OTHER, VALUE, Guesser, buckets
from voiceassist.language.language import Language
from voiceassist.language.meanings import (
    Answer,
    Command,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
)
from voiceassist.language.sampling import sample
from voiceassist.language.semantics import fold
from voiceassist.language.words import cut
from voiceassist.measure.units import unit

HERE = Path(__file__).parent
HOUSE = HERE.parents[1]
TABLE = HOUSE / "grammars" / "en" / "talk.json"
#: What the ear makes of the phrases of tests/talk; ``hear.py`` writes it.
HEARD = HERE / "heard.json"
#: What the labels of the phrases in tests/talk are called here.
_CALLED = {"unsure": "not-sure", "revise": "mistake", "disregard": "disregard"}
#: What the places of the phrases are called where they mean much the same.
_WHERE = {
    **dict.fromkeys(("volts", "drop", "amps", "fuse-pull"), "live"),
    "repair": "change",
    "question": "ask",
}
#: Labels that hold a value; a guess must never make one.
_VALUES = frozenset({"reading", "correction"})
#: Names that only one step in a hundred would use are left to the grammar.
_FEWEST = 5
_C = 10.0


#: So many phrases are made of each rule of talk, and of each kind of step; they count for less
#: than what was written as people say it.
_OF_A_RULE, _OF_A_STEP, _MADE_COUNTS, _MOST_WORDS = 30, 150, 0.5, 10
_WHOLE = ("-said",)
_STEPS = (
    ("live", Expectation(("voltage",), unit("V"))),
    ("live", Expectation(("current",), unit("A"))),
    ("ohms", Expectation(("resistance",), unit("ohm"))),
)
#: Where the rules apply that do not apply everywhere.
_MADE_AT = {
    **dict.fromkeys(("done-said", "go-on-said", "stuck-said", "not-yet-said"), "change"),
    **dict.fromkeys(("yes-said", "no-said"), "offer"),
    **dict.fromkeys(("good-said", "bad-said"), "ask"),
    **dict.fromkeys(("same-confirm-said", "retake-said"), "confirm"),
    **dict.fromkeys(("bright-said", "dim-said", "off-said", "flicker-said"), "lamp"),
    **dict.fromkeys(("nothing-said", "same-said", "over-said", "unstable-said"), "live"),
    **dict.fromkeys(("put-back-said", "caused-said"), "after"),
    "ohms-said": "ohms",
    "got-it-said": "caution",
    "slept-said": "wait",
}
#: What the names of meanings are called here.
_MEANT = {
    "affirm-reading": "affirm",
    "differs": "note",
    "revise": "mistake",
    "read-last": "read-back",
    "where": "how-far",
}


class Labelled(NamedTuple):
    """A phrase, the name of its intent, and the kind of place it is said at; none for any."""

    phrase: str
    intent: str
    where: str = ""


def labelled() -> Iterator[Labelled]:
    """All that is learned from."""
    for intent, phrases in json.loads((HERE / "phrases.json").read_text(encoding="utf-8")).items():
        yield from (Labelled(phrase, intent) for phrase in phrases)
    yield from spoken()


def spoken() -> Iterator[Labelled]:
    """The phrases of the open part of tests/talk."""
    yield from (each for each, _ in of_several())


def of_several(files: str = "*.tsv") -> Iterator[tuple[Labelled, list[str]]]:
    """The same, or those of some files, each with all that it may be for."""
    for path in sorted((HOUSE / "tests" / "talk" / "open").glob(files)):
        for line in path.read_text(encoding="utf-8").splitlines():
            where, wants, phrase = line.split("\t")
            intents = list(dict.fromkeys(_intent(want) for want in wants.split("|")))
            yield Labelled(phrase, intents[0], _WHERE.get(where, where)), intents


def made() -> Iterator[Labelled]:
    """Phrases that the grammar itself takes, so that the guess agrees with it."""
    language, rng = Language.load(resources.grammar_files("en")), random.Random(5)
    for name in sorted(language.talk.rules):
        if name.startswith("talk.") and name.endswith(_WHOLE):
            yield from _of_a_rule(language, name, rng)
    for where, step in _STEPS:
        grammar = language.compose(step)
        said = (grammar.sample(rng) for _ in range(_OF_A_STEP))
        yield from (Labelled(p, VALUE, where) for p, m in said if isinstance(m, Reading | Series))


def _of_a_rule(language: Language, name: str, rng: random.Random) -> Iterator[Labelled]:
    for _ in range(_OF_A_RULE):
        try:
            words, tags = sample(language.talk.rules, name, rng)
        except KeyError:  # it holds names that only a procedure gives
            return
        intent = _of(fold(tags, None))
        if intent and len(words) <= _MOST_WORDS:
            yield Labelled(" ".join(words), intent, _MADE_AT.get(name.removeprefix("talk."), ""))


def _of(meaning: Meaning | None) -> str:
    """The intent that comes to ``meaning``; none for what is not guessed."""
    match meaning:
        case Command(name) | Answer(name):
            return _MEANT.get(name, name)
        case Lamp(name):
            return f"lamp-{name}".replace("flickering", "flicker")
        case OverRange():
            return "over-range"
        case Reading(value):
            return VALUE if value else "zero"
    return ""


def misheard(all_of: Sequence[Labelled]) -> Iterator[Labelled]:
    """Other words that the ear hears for these phrases, with what was meant."""
    heard = json.loads(HEARD.read_text(encoding="utf-8"))
    for phrase, intent, where in all_of:
        said = (words for words in heard.get(phrase, ()) if words != phrase)
        yield from (Labelled(words, intent, where) for words in said)


def _intent(want: str) -> str:
    name, _, detail = want.partition(":")
    if name in _VALUES:
        return VALUE
    if name == "lamp":
        return f"lamp-{detail}".replace("flickering", "flicker")
    return _CALLED.get(name, name)


def matrix(all_of: Sequence[Labelled]) -> csr_matrix:
    """A row of weights for each phrase, as ``Guesser`` has them."""
    rows = [buckets(cut(each.phrase, frozenset()), each.where) for each in all_of]
    data = [np.full(len(row), 1 / np.sqrt(len(row))) for row in rows]
    pointers = np.cumsum([0, *map(len, rows)])
    shape = (len(rows), BUCKETS)
    return csr_matrix((np.concatenate(data), np.concatenate(rows), pointers), shape=shape)


def fitted(all_of: Sequence[Labelled]) -> Guesser:
    """A table for these phrases."""
    learned = [*all_of, *misheard(all_of)]
    counts = [1.0] * len(learned)
    known = {each.intent for each in learned}
    further = [each for each in made() if each.intent in known]
    learned, counts = [*learned, *further], [*counts, *[_MADE_COUNTS] * len(further)]
    intents = [each.intent for each in learned]
    model = LogisticRegression(C=_C, max_iter=200, tol=1e-3, class_weight=_evened(intents))
    model.fit(matrix(learned), intents, counts)
    weights: NDArray[np.float64] = model.coef_.T
    scale = float(np.abs(weights).max()) / 127
    return Guesser(
        [str(name) for name in model.classes_],
        np.round(weights / scale).astype(np.int8),
        scale,
        model.intercept_.tolist(),
        {word for each in [*all_of, *further] for word in cut(each.phrase, frozenset())},
    )


def _evened(intents: Sequence[str]) -> dict[str, float]:
    """How much a phrase of each intent counts: rare ones more, but not so much as they are rare."""
    return {name: (len(intents) / number) ** 0.5 for name, number in Counter(intents).items()}


def check(all_of: Sequence[Labelled]) -> None:
    """Print how well phrases that were left out are named."""
    folds = StratifiedKFold(5, shuffle=True, random_state=1)
    at: dict[float, list[int]] = defaultdict(lambda: [0, 0, 0])
    right = 0
    for train, test in folds.split(all_of, [each.intent for each in all_of]):
        guesser = fitted([all_of[i] for i in train])
        for phrase, intent, where in (all_of[i] for i in test):
            chances = guesser.chances(cut(phrase, frozenset()), guesser.intents, where)
            guess = max(chances, key=chances.__getitem__)
            right += guess == intent
            for least in (0.3, 0.4, 0.5, 0.6, 0.7, 0.8):
                if chances[guess] >= least and guess not in (OTHER, VALUE):
                    at[least][0] += 1
                    at[least][1] += guess == intent
                    at[least][2] += intent == OTHER
    print(f"{len(all_of)} phrases, first guess right: {right / len(all_of):.0%}")
    print("| p at least | speaks up | right of these | for other talk |\n|---|---|---|---|")
    others = sum(each.intent == OTHER for each in all_of)
    for least, (said, good, wrong) in sorted(at.items()):
        shares = (said / len(all_of), good / said, wrong / others)
        print(f"| {least} | {' | '.join(f'{share:.0%}' for share in shares)} |")


def main() -> None:
    """Write the table, or check."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true")
    everything = list(dict.fromkeys(labelled()))
    count = Counter(each.intent for each in everything)
    kept = [each for each in everything if count[each.intent] >= _FEWEST]
    if parser.parse_args().check:
        check(kept)
    else:
        TABLE.write_text(fitted(kept).dump() + "\n", encoding="utf-8")
        print(f"{TABLE}: {TABLE.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
