"""What fits no phrase of the grammar is taken by the letters that a listener writes of its own."""

import pytest

from voiceassist import resources
from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.judgement import Judgement, judged
from voiceassist.app.live.heard_events import decided_event
from voiceassist.doubt.evidence import Sound
from voiceassist.doubt.odds import Odds
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command
from voiceassist.recognise.base import Candidate, Heard
from voiceassist.session.events import Heard as Said

LANGUAGE = Language.load(resources.grammar_files("en"))
GRAMMAR = LANGUAGE.compose(Expectation(awaited=("done",)))
ODDS = Odds(1.0, 0.0)


def said(spelled: str, *, none: float = 0.0, snr_db: float = 30.0) -> Said:
    """What the session gets where "help" is the best phrase, less likely than none of these."""
    heard = Heard("ear", (Candidate("help", -20.0),), None, none, spelled=spelled)
    found: Judgement = judged(heard, GRAMMAR, Sound(snr_db, 1.0), ODDS)
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
