"""Right after words that were not understood, others may be talking."""

from dataclasses import replace
from decimal import Decimal

import languages
import pytest
from bench import Bench

from voiceassist.app.live.amid_talk import amid_talk
from voiceassist.language.meanings import Answer, Command, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.session.events import Heard
from voiceassist.session.expect import expectation
from voiceassist.session.session import Session

LANGUAGE = languages.shipped()
TWELVE = Reading(Decimal(12), unit("V"))


def doubtful(words: str, meaning: Meaning, misses: int, *, certain: bool = False) -> bool:
    """Whether ``words`` are doubted at the battery, so many times not understood before."""
    bench = Bench(certain=False).to("battery")
    session: Session = replace(bench.session, misses=misses)
    grammar = LANGUAGE.compose(expectation(bench.engine.setup, session))
    return amid_talk(Heard(words, (meaning,), certain=certain), grammar, session).doubtful


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("twelve", Reading(Decimal(12))),
        ("had it turned off and on", Answer("done")),
        ("that last number was rubbish forget it", Command("mistake")),
    ],
)
def test_a_bare_word_for_a_number_and_loose_words_that_move_the_job_are_doubted(
    words: str, meaning: Meaning
) -> None:
    assert doubtful(words, meaning, misses=1)
    assert not doubtful(words, meaning, misses=0)
    assert not doubtful(words, meaning, misses=1, certain=True)


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("twelve volts", TWELVE),
        ("twelve point six", Reading(Decimal("12.6"))),
        ("done", Answer("done")),
        ("say again", Command("repeat")),
        ("what was that again", Command("repeat")),
        ("there's smoke coming out", Command("danger")),
    ],
)
def test_the_words_of_the_step_questions_and_cries_are_not(words: str, meaning: Meaning) -> None:
    assert not doubtful(words, meaning, misses=2)
