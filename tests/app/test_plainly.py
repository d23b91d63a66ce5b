"""What is heard plainly, in words that no grammar has, is done where it can be taken back."""

from collections.abc import Mapping

import pytest
from talk.situations import standing_at

from voiceassist.app.live.guessing import with_guess
from voiceassist.language.meanings import Answer, Command, Lamp
from voiceassist.session.events import Heard


def heard(situation: str, words: str, others: Mapping[str, float] | None = None) -> Heard:
    """What becomes of ``words`` heard there, beside ``others`` that they may have been."""
    one, turn = standing_at(situation)
    event = Heard(words, reason="outside the grammar")
    wordings = {words: 1.0, **(others or {})}
    setup = one.engine.at(turn.session)
    return with_guess(event, one.grammar(turn), setup, turn.session, one.guesser, wordings=wordings)


@pytest.mark.parametrize(
    ("situation", "words", "meant"),
    [
        ("change", "it's out and hanging loose", Answer("done")),
        ("offer", "with pleasure show me", Answer("affirm")),
        ("drop", "no no forget that i was on the paint", Command("disregard")),
        ("lamp", "that's a strong light no worries there", Lamp("bright")),
    ],
)
def test_what_a_word_undoes_or_ends_nothing_is_done(
    situation: str, words: str, meant: object
) -> None:
    assert heard(situation, words).meanings == (meant,)


def test_an_answer_that_may_have_been_other_words_is_done_where_they_mean_it_as_well() -> None:
    words = "that's a strong light no worries there"
    alike = heard("lamp", words, {"that's a strong like no worries there": 0.5})
    assert alike.meanings == (Lamp("bright"),)
    other = heard("lamp", words, {"that's a song like no worries there": 0.5})
    assert (other.meanings, other.guess) == ((), Lamp("bright"))


def test_what_a_word_undoes_is_asked_about_where_other_words_would_mean_another_thing() -> None:
    words = "it's out and hanging loose"
    assert not heard("change", words, {"where is it": 1.0}).meanings


def test_what_would_end_in_a_finding_is_done_where_it_is_surer_still() -> None:
    words = "bulb is not at all glowing"
    assert heard("lamp", words).meanings == (Lamp("off"),)
    assert heard("lamp", words, {"bold is not a tall growing": 1.0}).meanings == ()


def test_a_caution_wants_clear_words() -> None:
    assert not heard("caution", "okay okay can i know already").meanings
