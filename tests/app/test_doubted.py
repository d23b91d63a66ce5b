"""Loose talk that the grammar takes for one thing while its words are more like another."""

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from typing import cast

import pytest
from talk.situations import standing_at

from voiceassist.app.live.guessing import ASIDE, INSTEAD, QUIET, with_guess
from voiceassist.app.live.sureness import (
    CERTAIN,
    CLEAR,
    DONE,
    HEARD,
    HEARD_DANGER,
    HEARD_DONE,
    KEPT,
    OFFERED,
    SURER,
)
from voiceassist.language.guess import Guesser
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
)
from voiceassist.measure.units import unit
from voiceassist.session.events import Heard


class Believes:
    """A guesser that is told what to believe."""

    def __init__(self, chances: Mapping[str, float], new: Collection[str] = ()) -> None:
        self._chances = chances
        self._new = new
        self.intents = tuple(chances)

    def chances(
        self, words: Sequence[str], allowed: Collection[str], where: str = ""
    ) -> Mapping[str, float]:
        return self._chances

    def chances_of(
        self, phrases: Sequence[Sequence[str]], allowed: Collection[str], where: str = ""
    ) -> list[Mapping[str, float]]:
        return [self.chances(words, allowed, where) for words in phrases]

    def known(self, words: Sequence[str]) -> float:
        return sum(word not in self._new for word in words) / len(words)


def heard(
    situation: str,
    words: str,
    chances: Mapping[str, float],
    *,
    typed: bool = True,
    faithful: float = 1.0,
    new: Collection[str] = (),
) -> Heard:
    one, turn = standing_at(situation)
    grammar = one.grammar(turn)
    found = grammar.parse(words)
    event = Heard(words, found.meanings, typed, found.reason)
    setup = one.engine.at(turn.session)
    believes = cast(Guesser, Believes(chances, new))
    return with_guess(event, grammar, setup, turn.session, lambda: believes, faithful)


#: Known by "too weak" alone, whatever else is said.
PART = "no the weather is too weak for that"


def test_what_the_guess_agrees_with_is_taken() -> None:
    assert heard("lamp", PART, {"lamp-dim": 0.8, "other": 0.2}).meanings == (Lamp("dim"),)


def test_a_part_of_other_talk_is_left_alone_and_asked_about_where_it_may_be_none() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "other": 0.95})
    assert (event.meanings, event.guess) == ((), None)
    event = heard("lamp", PART, {"lamp-dim": 0.45, "other": 0.55})
    assert (event.meanings, event.guess) == ((), Lamp("dim"))


def test_a_wish_known_by_a_part_is_left_alone_where_the_words_are_for_something_else() -> None:
    words = "don't you slow down my lad the boss pays by the job"
    assert heard("volts", words, {"slower": 0.9}).meanings == (Command("slower"),)
    assert heard("volts", words, {"slower": 0.1, "other": 0.9}).meanings == ()


def test_the_likelier_is_asked_about_where_it_moves_the_job() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "lamp-off": 0.95})
    assert (event.meanings, event.guess) == ((), Lamp("off"))


def test_the_likelier_is_done_where_it_moves_nothing() -> None:
    event = heard("lamp", PART, {"lamp-dim": 0.05, "how": 0.95})
    assert (event.meanings, event.guessed) == ((Command("how"),), True)


def test_a_wish_that_all_the_words_are_surely_for_is_done_whatever_a_part_of_them_says() -> None:
    assert heard("lamp", PART, {"mistake": ASIDE}).meanings == (Command("mistake"),)
    event = heard("lamp", PART, {"mistake": ASIDE - 0.01})
    assert (event.meanings, event.guess) == ((), Command("mistake"))
    assert heard("lamp", PART, {"mistake": ASIDE}, typed=False).meanings == ()


def test_a_cry_that_is_likelier_than_a_part_of_it_is_answered() -> None:
    assert heard("lamp", PART, {"danger": SURER}).meanings == (Command("danger"),)


def test_who_speaks_of_old_times_wants_no_note() -> None:
    words = "remember that old ambulance"
    assert heard("lamp", words, {"other": 1.0}).meanings == ()
    assert heard("lamp", "remember that the lamp is old", {"other": 1.0}).meanings == (
        Note("the lamp is old"),
    )


def test_who_tells_what_he_said_asks_nothing() -> None:
    for words in ("what i said about blue monkeys", "what i read you about blue monkeys"):
        assert heard("volts", words, {"mistake": CERTAIN}).meanings == (Command("mistake"),)
    asked = heard("volts", "what did i say about blue monkeys", {"mistake": CERTAIN})
    assert (asked.meanings, asked.guess) == ((), Command("mistake"))


def test_what_should_have_been_may_be_forgotten_and_else_is_only_spoken_of() -> None:
    words = "blue monkeys i should have"
    assert heard("volts", words, {"forgot": CERTAIN}).meanings == (Command("forgot"),)
    assert heard("volts", words, {"skip": CERTAIN}).meanings == ()


@pytest.mark.parametrize(
    ("situation", "words", "value", "symbol"),
    [
        ("drop", "thirty of your blue millivolts", "30", "mV"),
        ("amps", "five point two blue amps and monkeys", "5.2", "A"),
        ("volts", "half of it's gone to monkeys six point one left", "6.1", ""),
        ("volts", "not even a blue volt point eight for the monkeys", "0.8", "V"),
        ("amps", "amp and a half of monkeys", "1.5", "A"),
        ("amps", "a dozen and one tenth monkeys", "12.1", ""),
    ],
)
def test_a_number_in_chatter_is_asked_about_in_the_unit_that_stands_apart(
    situation: str, words: str, value: str, symbol: str
) -> None:
    event = heard(situation, words, {"value": 1.0})
    assert event.doubtful
    assert event.meanings == (Reading(Decimal(value), unit(symbol) if symbol else None),)


@pytest.mark.parametrize("words", ["one and a ninth monkeys", "half and half again monkeys"])
def test_figures_left_over_in_chatter_are_never_cut_into_a_number(words: str) -> None:
    event = heard("amps", words, {"value": 1.0})
    assert (event.meanings, event.guess) == ((), None)


def test_a_unit_that_has_a_number_of_its_own_is_not_lent_to_another() -> None:
    words = "between those two monkeys not even a millivolt"
    assert Reading(Decimal(2), unit("mV")) not in heard("drop", words, {"value": 1.0}).meanings


def test_of_several_numbers_in_place_of_a_doubtful_one_that_with_a_fraction_is_meant() -> None:
    words = "nine on the end of the monkeys two point nine not five"
    event = heard("confirm", words, {"value": 1.0})
    assert Correction(Reading(Decimal("2.9"))) in (*event.meanings, event.guess)


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


def test_the_words_of_the_grammar_itself_wait_for_no_guess() -> None:
    """The guess takes half a second to be read, which a plain answer is not to wait for."""
    one, turn = standing_at("lamp")
    event = Heard("bright", one.grammar(turn).parse("bright").meanings, True)

    def read() -> Guesser:
        raise AssertionError("the guess was asked")

    told = with_guess(event, one.grammar(turn), one.engine.at(turn.session), turn.session, read)
    assert told == event


#: Words that no grammar knows.
UNKNOWN = "blue monkeys everywhere"


@pytest.mark.parametrize(
    ("situation", "meaning", "chances"),
    [
        ("change", Answer("done"), {"done": CERTAIN}),
        ("offer", Answer("negative"), {"negative": CERTAIN}),
        ("volts", Command("unstable"), {"unstable": OFFERED + 0.2}),
        ("volts", Command("stand-by"), {"stand-by": SURER}),
        ("volts", Command("danger"), {"danger": SURER}),
        ("volts", Note(UNKNOWN), {"note": KEPT}),
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
        ("lamp", {"lamp-bright": CLEAR - 0.01}),
        ("volts", {"zero": CLEAR - 0.01}),
        ("fuse-pull", {"same": CLEAR - 0.01}),
        ("confirm", {"affirm": 1.0}),
        ("volts", {"danger": SURER - 0.01}),
        ("volts", {"stand-by": SURER - 0.01}),
        ("volts", {"note": KEPT - 0.01}),
        ("change", {"done": CERTAIN - 0.01}),
        ("question", {"affirm": CERTAIN - 0.01}),
    ],
)
def test_what_wants_clear_words_is_asked_about(
    situation: str, chances: Mapping[str, float]
) -> None:
    event = heard(situation, UNKNOWN, chances)
    assert event.meanings == ()
    assert event.guess is not None


CLEARLY: Sequence[tuple[str, str, Meaning]] = [
    ("lamp", "lamp-bright", Lamp("bright")),
    ("volts", "zero", Reading(Decimal(0), unit("V"))),
    ("fuse-pull", "same", Command("same")),
    ("ohms", "over-range", OverRange()),
]


@pytest.mark.parametrize(("situation", "intent", "meaning"), CLEARLY)
def test_what_wants_clear_words_is_taken_where_nothing_else_is_likely(
    situation: str, intent: str, meaning: Meaning
) -> None:
    assert heard(situation, UNKNOWN, {intent: CLEAR}).meanings == (meaning,)
    for spoken_of in (f"if {UNKNOWN}", f"yesterday {UNKNOWN}", f"is {UNKNOWN}"):
        assert heard(situation, spoken_of, {intent: CLEAR}).meanings != (meaning,)


@pytest.mark.parametrize(
    ("situation", "intent"), [("change", "done"), *((at, intent) for at, intent, _ in CLEARLY)]
)
def test_by_sound_nothing_moves_the_job_on_a_guess(situation: str, intent: str) -> None:
    assert heard(situation, UNKNOWN, {intent: 1.0}, typed=False).meanings == ()


@pytest.mark.parametrize("intent", ["skip", "finish", "mistake", "forgot"])
def test_by_sound_what_only_asks_in_its_turn_is_not_asked_about_before(intent: str) -> None:
    event = heard("volts", UNKNOWN, {intent: SURER}, typed=False)
    assert (event.meanings, event.guess) == ((Command(intent),), None)
    event = heard("volts", UNKNOWN, {intent: SURER - 0.01}, typed=False)
    assert (event.meanings, event.guess) == ((), Command(intent))


@pytest.mark.parametrize(
    ("situation", "intent"),
    [("wait", "skip"), ("after", "finish"), ("caution", "skip"), ("confirm", "affirm")],
)
def test_by_sound_it_is_where_it_does_more(situation: str, intent: str) -> None:
    assert heard(situation, UNKNOWN, {intent: 1.0}, typed=False).meanings == ()


@pytest.mark.parametrize(
    ("situation", "intent", "name"),
    [
        ("wait", "done", "done"),
        ("change", "negative", "negative"),
        ("after", "negative", "negative"),
    ],
)
def test_an_answer_that_leaves_all_as_it_is_is_not_asked_about(
    situation: str, intent: str, name: str
) -> None:
    assert heard(situation, UNKNOWN, {intent: DONE}).meanings == (Answer(name),)


def test_what_is_harmless_is_done_rather_than_asked_about_what_is_not() -> None:
    unsure = {"lamp-off": 1 - INSTEAD, "how": INSTEAD}
    assert heard("lamp", UNKNOWN, unsure).meanings == (Command("how"),)


def test_nothing_is_asked_of_one_who_likely_speaks_to_others() -> None:
    event = heard("lamp", UNKNOWN, {"lamp-off": 1 - QUIET, "other": QUIET})
    assert (event.meanings, event.guess) == ((), None)


def test_who_is_back_where_nothing_waits_for_him_is_told_what_is_to_be_done() -> None:
    assert heard("volts", UNKNOWN, {"go-ahead": DONE}).meanings == (Command("next"),)


@pytest.mark.parametrize("faithful", [1.0, 0.9])
def test_by_sound_a_guess_counts_the_words_and_the_sound(faithful: float) -> None:
    for situation, intent, least in (("volts", "how", HEARD_DONE), ("change", "done", HEARD)):
        enough = {intent: least / faithful + 0.01, "other": 0.0}
        event = heard(situation, UNKNOWN, enough, typed=False, faithful=faithful)
        assert event.meanings or event.guess
        short = {intent: least / faithful - 0.01, "other": 0.0}
        event = heard(situation, UNKNOWN, short, typed=False, faithful=faithful)
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


def test_a_guess_at_words_it_has_hardly_seen_is_kept_to_itself() -> None:
    event = heard("caution", "asdf qwerty", {"affirm": 0.9}, new=("asdf", "qwerty"))
    assert (event.meanings, event.guess) == ((), None)


def test_who_begins_with_a_denial_is_asked_and_who_denies_in_passing_is_not() -> None:
    event = heard("volts", "never leave blue monkeys", {"skip": 1.0})
    assert (event.meanings, event.guess) == ((), Command("skip"))
    words = "blue monkeys everywhere and i'm not going near them"
    assert heard("volts", words, {"skip": 1.0}).meanings == (Command("skip"),)


@pytest.mark.parametrize("situation", ["caution", "confirm"])
def test_no_is_taken_where_it_leaves_all_as_it_is(situation: str) -> None:
    assert heard(situation, UNKNOWN, {"negative": CERTAIN}).meanings == (Answer("negative"),)
    assert heard(situation, UNKNOWN, {"affirm": 1.0}).meanings == ()


@pytest.mark.parametrize(
    ("situation", "words", "shown"),
    [
        ("volts", "sixteen beg pardon my specs are off eleven point six", "11.6"),
        ("ohms", "a hundred and two no let me look again a hundred and twenty two", "122"),
        ("amps", "point oh seven i mean point seven big difference that", "0.7"),
    ],
)
def test_the_number_that_takes_the_place_of_another_is_asked_about(
    situation: str, words: str, shown: str
) -> None:
    event = heard(situation, words, {"value": 1.0})
    assert [str(each.value) for each in event.meanings if isinstance(each, Reading)] == [shown]
    assert event.doubtful


@pytest.mark.parametrize(
    ("words", "chances"),
    [
        ("he said twelve volts", {"value": 1.0}),
        ("it read twelve point four yesterday", {"value": 1.0}),
        ("if it's twelve point four i'll say", {"value": 1.0}),
        ("pin three", {"value": 1.0}),
        ("ten mil socket please", {"value": 1.0}),
        ("part number four four seven one", {"value": 1.0}),
    ],
)
def test_a_number_that_is_spoken_of_is_neither_taken_nor_asked_about(
    words: str, chances: Mapping[str, float]
) -> None:
    event = heard("volts", words, chances)
    assert (event.meanings, event.guess) == ((), None)


@pytest.mark.parametrize(
    ("situation", "words"),
    [
        ("change", "what if it's already out"),
        ("repair", "when it's out i'll shout"),
        ("wait", "should i skip it"),
    ],
)
def test_what_is_supposed_or_asked_is_not_done(situation: str, words: str) -> None:
    sure = {"skip" if situation == "wait" else "done": 1.0}
    assert heard(situation, words, sure).meanings == ()


def test_a_doubtful_value_is_not_affirmed_by_asking_after_it() -> None:
    for words in (
        "did you say two point five",
        "i didn't say two point five",
        "how two point five",
    ):
        assert heard("confirm", words, {"value": 1.0}).meanings == ()
    assert heard("confirm", "i make it two point five all right", {"value": 1.0}).meanings


@pytest.mark.parametrize("words", ["not any more it's blue monkeys", "don't blue monkeys"])
def test_what_tells_that_something_is_not_so_may_be_denied(words: str) -> None:
    assert heard("lamp", words, {"lamp-off": CLEAR}).meanings == (Lamp("off"),)
    assert heard("lamp", words, {"lamp-bright": CLEAR}).meanings == ()


def test_a_slip_with_a_number_in_it_is_of_a_reading_that_is_asked_for() -> None:
    event = heard("drop", "blue monkeys should be twelve four", {"mistake": 1.0})
    assert event.meanings == (Command("revise"),)


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("twelve point five man not two", "12.5"),
        ("twelve point five it was with a twelve in front mun", "12.5"),
        ("oi you dropped the ten it's twelve point five", "12.5"),
    ],
)
def test_of_two_numbers_in_the_place_of_a_doubtful_one_the_whole_one_is_meant(
    words: str, shown: str
) -> None:
    event = heard("confirm", words, {"value": 1.0})
    told = event.meanings[0] if event.meanings else event.guess
    assert isinstance(told, Correction)
    assert isinstance(told.meaning, Reading)
    assert str(told.meaning.value) == shown


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("that's number two out and we're at point one one", ["0.11"]),
        ("took out two and the clamp fell to point three", ["0.3"]),
        ("a hundred and twenty's a lot", ["120"]),
    ],
)
def test_numbers_in_other_talk_are_whole(words: str, shown: list[str]) -> None:
    one, turn = standing_at("amps")
    assert [str(each.value) for each in one.grammar(turn).numbers.told_in(words)] == shown


@pytest.mark.parametrize(
    ("situation", "words", "value"),
    [
        ("volts", "two volts four", "2.4"),
        ("volts", "twelve and half", "12.5"),
        ("ohms", "three 'undred ohms", "300"),
        ("drop", "point two nah man point oh two", "0.02"),
    ],
)
def test_numbers_as_they_are_said_elsewhere(situation: str, words: str, value: str) -> None:
    one, turn = standing_at(situation)
    event = one.event(turn, words)
    values = [str(each.value) for each in event.meanings if isinstance(each, Reading)]
    assert values == [value]
