"""Loose talk that the grammar takes for one thing while its words are more like another."""

from collections.abc import Collection, Mapping, Sequence
from typing import cast

import pytest
from talk.situations import standing_at

from voiceassist.app.live.guessing import with_guess
from voiceassist.app.live.sureness import CERTAIN, HEARD, HEARD_DANGER, NEARLY, OFFERED, SURER
from voiceassist.language.guess import Guesser
from voiceassist.language.meanings import Answer, Command, Lamp, Meaning
from voiceassist.session.events import Heard


class Believes:
    """A guesser that is told what to believe."""

    def __init__(self, chances: Mapping[str, float]) -> None:
        self._chances = chances
        self.intents = tuple(chances)

    def chances(
        self, words: Sequence[str], allowed: Collection[str], where: str = ""
    ) -> Mapping[str, float]:
        return self._chances


def heard(
    situation: str,
    words: str,
    chances: Mapping[str, float],
    *,
    typed: bool = True,
    faithful: float = 1.0,
) -> Heard:
    one, turn = standing_at(situation)
    grammar = one.grammar(turn)
    found = grammar.parse(words)
    event = Heard(words, found.meanings, typed, found.reason)
    setup = one.engine.at(turn.session)
    believes = cast(Guesser, Believes(chances))
    return with_guess(event, grammar, setup, turn.session, lambda: believes, faithful)


#: Known by "too weak" alone, whatever else is said.
PART = "no the weather is too weak for that"


def test_what_the_guess_agrees_with_is_taken() -> None:
    assert heard("lamp", PART, {"lamp-dim": 0.6, "other": 0.4}).meanings == (Lamp("dim"),)


def test_a_part_of_other_talk_is_asked_about() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "other": 0.95})
    assert (event.meanings, event.guess) == ((), Lamp("dim"))


def test_the_likelier_is_asked_about_where_it_moves_the_job() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "lamp-off": 0.95})
    assert (event.meanings, event.guess) == ((), Lamp("off"))


def test_the_likelier_is_done_where_it_moves_nothing() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "how": 0.95})
    assert (event.meanings, event.guessed) == ((Command("how"),), True)


def test_a_number_in_other_talk_is_asked_about() -> None:
    words = "that's twenty you owe me"
    assert heard("volts", words, {"value": 0.9, "other": 0.1}).doubtful is False
    event = heard("volts", words, {"value": 0.1, "other": 0.9})
    assert event.meanings
    assert event.doubtful


@pytest.mark.parametrize("words", ["twelve quid for that", "three pints of milk", "five years old"])
def test_a_number_of_something_else_is_no_reading(words: str) -> None:
    one, turn = standing_at("volts")
    assert one.grammar(turn).parse(words).meanings == ()


def test_the_words_of_the_grammar_itself_are_never_doubted() -> None:
    event = heard("lamp", "bright", {"lamp-bright": 0.0, "other": 1.0})
    assert event.meanings == (Lamp("bright"),)


#: Words that no grammar knows.
UNKNOWN = "blue monkeys everywhere"


@pytest.mark.parametrize(
    ("situation", "meaning", "chances"),
    [
        ("change", Answer("done"), {"done": CERTAIN}),
        ("offer", Answer("negative"), {"negative": CERTAIN}),
        ("volts", Command("unstable"), {"unstable": OFFERED + 0.2}),
        ("volts", Command("stand-by"), {"stand-by": SURER}),
    ],
)
def test_what_is_likely_enough_is_acted_on_where_it_is_typed(
    situation: str, meaning: Meaning, chances: Mapping[str, float]
) -> None:
    assert heard(situation, UNKNOWN, chances).meanings == (meaning,)


@pytest.mark.parametrize(
    ("situation", "chances"),
    [
        ("caution", {"affirm": 1.0}),
        ("lamp", {"lamp-bright": 1.0}),
        ("volts", {"zero": 1.0}),
        ("volts", {"danger": SURER - 0.01}),
        ("volts", {"stand-by": SURER - 0.01}),
        ("change", {"done": NEARLY - 0.01}),
        ("question", {"affirm": CERTAIN - 0.01}),
    ],
)
def test_what_wants_clear_words_is_asked_about(
    situation: str, chances: Mapping[str, float]
) -> None:
    event = heard(situation, UNKNOWN, chances)
    assert event.meanings == ()
    assert event.guess is not None


def test_by_sound_nothing_moves_the_job_on_a_guess() -> None:
    assert heard("change", UNKNOWN, {"done": 1.0}, typed=False).meanings == ()


@pytest.mark.parametrize("faithful", [1.0, 0.9])
def test_by_sound_a_guess_counts_the_words_and_the_sound(faithful: float) -> None:
    enough = {"how": HEARD / faithful + 0.01, "other": 0.0}
    event = heard("volts", UNKNOWN, enough, typed=False, faithful=faithful)
    assert event.meanings == (Command("how"),)
    short = {"how": HEARD / faithful - 0.01, "other": 0.0}
    event = heard("volts", UNKNOWN, short, typed=False, faithful=faithful)
    assert (event.meanings, event.guess) == ((), None)


def test_a_cry_of_danger_is_offered_sooner() -> None:
    event = heard("volts", UNKNOWN, {"danger": HEARD_DANGER}, typed=False)
    assert event.guess == Command("danger")


def test_a_part_that_is_loose_talk_may_be_other_talk_all_the_same() -> None:
    one, turn = standing_at("volts")
    grammar, setup = one.grammar(turn), one.engine.at(turn.session)
    event = Heard("a bit more to the left", (Command("how-far"),), guessed=True)
    for chance, kept in ((0.9, (Command("how-far"),)), (0.5, ())):
        believes = cast(Guesser, Believes({"how-far": chance, "other": 1 - chance}))
        found = with_guess(event, grammar, setup, turn.session, lambda b=believes: b)  # type: ignore[misc]
        assert found.meanings == kept
