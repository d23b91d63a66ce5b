"""How long the ear takes to change to another step: ``python tests/benchmarks/grammars.py``.

Goes through every step of the shipped procedures in one process, as a session would: a grammar
that was met before is known by its text. Each is changed to plainly, and once more in a fresh
listener that had got ready for it while nobody spoke. Told is processor time: what other programs
take does not count.
"""

import statistics
import time
from collections.abc import Iterable, Sequence

from voiceassist.app import build
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.ear.listener import EarListener
from voiceassist.resources import folder
from voiceassist.session.expect import of_step


def grammars(language: Language) -> Iterable[StepGrammar]:
    """Of every step, in the order of the files."""
    for path in sorted(folder("procedures").glob("*.yaml")):
        for step in build.procedure(path.stem).procedure.steps.values():
            yield language.compose(of_step(step))


def changed(listener: EarListener, grammar: StepGrammar) -> float:
    """Seconds until the listener is ready for ``grammar``."""
    began = time.thread_time()
    listener.prepare(grammar)
    return time.thread_time() - began


def told(name: str, seconds: Sequence[float]) -> None:
    """One line of the table."""
    high = sorted(seconds)[min(len(seconds) - 1, round(0.95 * len(seconds)))]
    print(
        f"{name:<44} {len(seconds):>5} {1000 * statistics.median(seconds):>8.2f}"
        f" {1000 * high:>8.2f} {1000 * max(seconds):>8.2f} ms"
    )


def main() -> None:
    """Measure and print."""
    language = build.Components(build.settings({})).language
    plain = [changed(listener, each) for listener in [EarListener()] for each in grammars(language)]
    firsts = {grammar.jsgf(): grammar for grammar in grammars(language)}
    each_new = [changed(EarListener(), grammar) for grammar in firsts.values()]
    ahead = []
    for met in firsts.values():
        grammar = language.compose(met.expectation)
        listener = EarListener()
        while listener.expect(grammar):
            pass
        ahead.append(changed(listener, grammar))
        listener.close()
    print(f"{'':<44} {'steps':>5} {'median':>8} {'95th':>8} {'worst':>8}")
    told("all steps in a row", plain)
    told("grammars that are new to the listener", each_new)
    told("the same, got ready for beforehand", ahead)


if __name__ == "__main__":
    main()
