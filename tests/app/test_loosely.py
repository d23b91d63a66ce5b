"""What fits no phrase of the grammar is taken by the letters that a listener writes of its own."""

import math
from decimal import Decimal

import languages
import pytest

from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.judgement import Judgement, judged
from voiceassist.app.live.heard_events import decided_event
from voiceassist.doubt.evidence import ClipFacts
from voiceassist.doubt.odds import Odds
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import StepGrammar
from voiceassist.language.meanings import Answer, Command, Reading
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Candidate, HeardClip
from voiceassist.session.events import Heard as Said

LANGUAGE = languages.shipped()
GRAMMAR = LANGUAGE.compose(Expectation(awaited=("done",)))
ODDS = Odds(1.0, 0.0)
VOLTS = LANGUAGE.compose(
    Expectation(("voltage",), unit("V"), at="live", names=(Choice("feed", ("feed",)),))
)


def said(
    spelled: str,
    *loosely: tuple[str, float],
    none: float = 0.0,
    snr_db: float = 30.0,
    grammar: StepGrammar = GRAMMAR,
) -> Said:
    """What the session gets where "help" is the best phrase, less likely than none of these.

    ``loosely`` are wordings with their shares.
    """
    likely = tuple(Candidate(words, math.log(share)) for words, share in loosely)
    best = (Candidate("help", -20.0),)
    heard = HeardClip("ear", best, None, none, spelled=spelled, loosely=likely)
    found: Judgement = judged(heard, grammar, ClipFacts(snr_db, 1.0), ODDS)
    utterance = Utterance(found.words, (), "", certain=False, start_s=0, end_s=1, judgement=found)
    return decided_event(utterance, found.decided(repr))


@pytest.mark.parametrize(
    ("spelled", "command"),
    [("hang on a minute", "stand-by"), ("what colour is it", "how"), ("say that again", "repeat")],
)
def test_what_moves_nothing_is_done(spelled: str, command: str) -> None:
    event = said(spelled)
    assert [m.name for m in event.meanings if isinstance(m, Command)] == [command]
    assert event.guessed
    assert not event.certain


def test_what_would_move_the_job_is_offered() -> None:
    event = said("all unplugged mate")
    assert event.meanings == ()
    assert event.guess == Answer("done")


def test_letters_that_mean_nothing_are_told_with_their_reason() -> None:
    event = said("pass me the lamp will you")
    assert (event.meanings, event.guess) == ((), None)
    assert event.words == "pass me the lamp will you"
    assert event.reason


def test_a_likely_phrase_of_the_grammar_needs_no_letters() -> None:
    event = said("hang on", none=-60.0)
    assert event.meanings == (Command("help"),)


def test_where_the_noise_is_louder_than_the_speech_no_letters_count() -> None:
    assert said("hang on a minute", snr_db=-5.0).meanings == ()


def test_wordings_that_mean_the_same_count_together() -> None:
    event = said("x", ("pass me that", 0.4), ("hang on a minute", 0.3), ("hang on a second", 0.3))
    assert event.meanings == (Command("stand-by"),)
    assert event.words == "hang on a minute"


def test_the_likeliest_words_are_told_where_most_of_them_mean_nothing() -> None:
    event = said("x", ("pass me that", 0.8), ("hang on a minute", 0.2))
    assert (event.meanings, event.words) == ((), "pass me that")


def test_a_value_in_loose_talk_is_doubtful() -> None:
    event = said("x", ("well it's showing like eleven point nine", 0.9), grammar=VOLTS)
    assert event.meanings == (Reading(Decimal("11.9")),)
    assert event.doubtful


def test_of_two_values_that_are_likely_both_are_told() -> None:
    likely = (("the meter says eleven point nine", 0.5), ("the meter says eleven point five", 0.4))
    event = said("x", *likely, grammar=VOLTS)
    assert event.meanings == (Reading(Decimal("11.9")), Reading(Decimal("11.5")))
    assert event.doubtful


def test_a_change_to_a_named_reading_is_doubtful_too() -> None:
    event = said("x", ("change the feed to eleven point nine", 0.9), grammar=VOLTS)
    assert event.doubtful
    assert event.guess is None
