"""Times of the language room. Run: python tests/benchmarks/language.py"""

import gc
import random
import statistics
import time
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import partial

import pocketsphinx

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.recognise.pronunciations import read_pronunciations
from voiceassist.resources import grammar_files

VOLTAGE = Expectation(("voltage",), unit("V"), Quantity.parse("0 V"), Quantity.parse("20 V"))
LONGEST = 20


def milliseconds(work: Callable[[], object], times: int) -> list[float]:
    found = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        found.append((time.perf_counter() - began) * 1000)
    return found


def row(name: str, times: list[float], limit: str) -> None:
    print(f"| {name} | {statistics.median(times):.3f} | {max(times):.2f} | {limit} |")


def phrases(grammar: StepGrammar, count: int) -> Iterable[str]:
    rng = random.Random(2)
    made = (grammar.sample(rng)[0] for _ in range(count))
    return [phrase for phrase in made if len(phrase.split()) <= LONGEST]


def parsing(grammar: StepGrammar, made: Iterable[str]) -> list[tuple[int, float]]:
    """Words and milliseconds of each phrase, at its first parse."""
    return [
        (len(phrase.split()), milliseconds(partial(grammar.parse, phrase), 1)[0]) for phrase in made
    ]


def hearing(grammar: StepGrammar, files: dict[str, str]) -> list[float]:
    decoder = pocketsphinx.Decoder(lm=None, bestpath=False, loglevel="FATAL")
    for entry in read_pronunciations(files["pronunciations.dict"]):
        decoder.add_word(entry.word, entry.phones, False)

    def load() -> None:
        decoder.add_jsgf_string("step", grammar.jsgf())
        decoder.activate_search("step")

    return milliseconds(load, 20)


def main() -> None:
    """Print the table."""
    files = dict(grammar_files("en"))
    print("| Work | median ms | worst ms | wanted |\n| --- | --- | --- | --- |")
    row("load the language", milliseconds(lambda: Language.load(files), 7), "150")
    language = Language.load(files)
    # A collection of garbage in the middle of a phrase is Python's time, not the parser's.
    gc.freeze()
    gc.disable()
    row("compose a step", milliseconds(lambda: language.compose(VOLTAGE), 50), "5")
    for name, expectation in (("voltage", VOLTAGE), ("anything", Expectation.anything())):
        grammar = language.compose(expectation)
        times = parsing(grammar, phrases(grammar, 20_000))
        for band, (least, most) in {"1 to 5": (1, 5), "6 to 20": (6, LONGEST)}.items():
            found = [ms for length, ms in times if least <= length <= most]
            row(f"parse a new phrase of {band} words, {name}", found, "1, worst 5")
        row(f"sample a phrase, {name}", milliseconds(_sampling(grammar), 5000), "0.3")
    said = Reading(Decimal("-999999.9999"), unit("mV"))
    row("say the longest reading", milliseconds(lambda: language.say(said), 50), "")
    row("export and load in pocketsphinx", hearing(language.compose(VOLTAGE), files), "10")


def _sampling(grammar: StepGrammar) -> Callable[[], object]:
    rng = random.Random(3)
    return lambda: grammar.sample(rng)


if __name__ == "__main__":
    main()
