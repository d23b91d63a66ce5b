"""Makes the rows of words that loose talk is heard by. Run: python -m training.talk.words

Phrases that people said come from where ``train.py`` has them; others are made of the grammar:
ways to talk, readings and answers. What is kept apart is never read.
"""

import random
from collections.abc import Iterator

from training.talk.train import HOUSE, labelled
from voiceassist import resources
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.sampling import sample
from voiceassist.measure.units import unit
from voiceassist.recognise.ear.shape import NUMBERS
from voiceassist.recognise.ear.word_rows import SAID, WordRows, counted

ROWS = HOUSE / "grammars" / "en" / "talk-words.json"
#: So many phrases are made of each rule of talk, and of each kind of step.
_OF_A_RULE, _OF_A_STEP = 20, 400
_STEPS = (
    Expectation(("voltage",), unit("V")),
    Expectation(("current",), unit("A")),
    Expectation(("resistance",), unit("ohm")),
    Expectation(lamp=True),
    Expectation(awaited=("done",)),
)
_ENDS = ("said", "begins", "holds")


def made(language: Language, rng: random.Random) -> Iterator[list[str]]:
    """Phrases that the grammar might make."""
    rules = language.talk.rules
    for name in sorted(rules):
        if name.startswith("talk.") and name.rpartition("-")[2] in _ENDS:
            yield from _of_a_rule(language, name, rng)
    for step in _STEPS:
        grammar = language.compose(step)
        yield from (grammar.sample(rng)[0].split() for _ in range(_OF_A_STEP))


def _of_a_rule(language: Language, name: str, rng: random.Random) -> Iterator[list[str]]:
    for _ in range(_OF_A_RULE):
        try:
            yield sample(language.talk.rules, name, rng)[0]
        except KeyError:  # it holds names that only a procedure gives
            return


def rows(said: Iterator[str]) -> WordRows:
    """The rows of ``said``, and of what the grammar might make."""
    language = Language.load(resources.grammar_files("en"))
    phrases = [(phrase.split(), SAID) for phrase in dict.fromkeys(said)]
    phrases += [(words, 1) for words in made(language, random.Random(3))]
    return counted((w, weight) for w, weight in phrases if set("".join(w)) <= NUMBERS.keys())


def main() -> None:
    """Write the rows."""
    found = rows(each.phrase for each in labelled())
    ROWS.write_text(found.dump() + "\n", encoding="utf-8")
    print(f"{ROWS}: {len(found.words)} words, {ROWS.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
