"""What is made of loose talk that was heard: of all the ways in which it may be written."""

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import cast

import pytest
from benchmarks.hearing.voices import Studio
from benchmarks.talk_by_sound import Room
from talk.scoring import Phrase, Score, score
from talk.situations import standing_at

from voiceassist.app import build
from voiceassist.app.live.guessing import NOT_FOR_US, with_guess
from voiceassist.app.live.plainly import PLAIN
from voiceassist.app.live.sureness import CERTAIN, HEARD_DONE, SURER
from voiceassist.app.settings.settings import Settings
from voiceassist.language.guess import Guesser
from voiceassist.language.meanings import Answer, Command, Meaning, Reading
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard


class Believes:
    """A guesser that is told what to believe of words, and of all others."""

    def __init__(self, of: Mapping[str, Mapping[str, float]]) -> None:
        self._of = of
        self.intents = tuple(dict.fromkeys(intent for each in of.values() for intent in each))

    def chances(
        self, words: Sequence[str], allowed: Collection[str], where: str = ""
    ) -> Mapping[str, float]:
        return self._of.get(" ".join(words), self._of.get("", {}))

    def chances_of(
        self, phrases: Sequence[Sequence[str]], allowed: Collection[str], where: str = ""
    ) -> list[Mapping[str, float]]:
        return [self.chances(words, allowed, where) for words in phrases]

    def known(self, words: Sequence[str]) -> float:
        return 1.0


def heard(
    situation: str,
    event: Heard,
    of: Mapping[str, Mapping[str, float]],
    wordings: Mapping[str, float],
    faithful: float = 1.0,
) -> Heard:
    one, turn = standing_at(situation)
    guesser = cast(Guesser, Believes(of))
    setup, grammar = one.engine.at(turn.session), one.grammar(turn)
    return with_guess(event, grammar, setup, turn.session, lambda: guesser, faithful, wordings)


#: Words that no grammar knows.
BLUE, GREEN = "blue monkeys everywhere", "green monkeys everywhere"


@pytest.mark.parametrize(("share", "done"), [(0.9, True), (0.5, False)])
def test_a_guess_counts_all_ways_to_write_it_by_their_shares(share: float, *, done: bool) -> None:
    """By hand: 0.9 times 0.8 is 0.72, and half of 0.8 is 0.4."""
    of = {BLUE: {"how": 0.8, "other": 0.2}, GREEN: {"how": 0.0, "other": 1.0}}
    event = heard("volts", Heard(BLUE), of, {BLUE: share, GREEN: 1 - share})
    assert 0.4 < HEARD_DONE < 0.72
    assert event.meanings == ((Command("how"),) if done else ())


@pytest.mark.parametrize(
    ("intent", "meaning"),
    [
        ("disregard", Command("disregard")),
        ("mistake", Command("mistake")),
        ("negative", Answer("negative")),
    ],
)
def test_a_doubtful_value_is_dropped_by_what_is_nearly_sure(intent: str, meaning: Meaning) -> None:
    """It counts for nothing yet, and is measured again."""
    event = heard("confirm", Heard(BLUE), {"": {intent: CERTAIN}}, {BLUE: 1.0})
    assert event.meanings == (meaning,)
    event = heard("confirm", Heard(BLUE), {"": {intent: CERTAIN - 0.01}}, {BLUE: 1.0})
    assert (event.meanings, event.guess) == ((), meaning)


def test_what_grammar_and_guess_take_it_for_is_asked_once_where_it_only_asks_in_its_turn() -> None:
    found = Heard(BLUE, guess=Command("finish"))
    event = heard("volts", found, {"": {"finish": SURER}}, {BLUE: 1.0})
    assert (event.meanings, event.guess) == ((Command("finish"),), None)
    made = replace(found, guess=Answer("done"))
    event = heard("change", made, {"": {"done": PLAIN - 0.01}}, {BLUE: 1.0})
    assert (event.meanings, event.guess) == ((), Answer("done"))
    event = heard("change", made, {"": {"done": PLAIN}}, {BLUE: 1.0})
    assert event.meanings == (Answer("done"),)


@pytest.mark.parametrize(
    ("words", "taken"),
    [
        ("you have it right two point five is what i'm looking at", True),
        ("two point five it is mate as sure as i lie here", True),
        ("did i say two point five just now", False),
        ("it is not two point five you daft thing", False),
        ("i have two point six here on the meter", False),
    ],
)
def test_a_doubtful_value_that_is_told_once_more_counts(words: str, *, taken: bool) -> None:
    one, turn = standing_at("confirm")
    event = heard("confirm", Heard(words), {"": {"value": 0.5, "affirm": 0.4}}, {words: 1.0})
    assert any(isinstance(each, Reading) for each in event.meanings) is taken
    after = one.engine.handle(turn.session, event).session
    added = after.ledger[len(turn.session.ledger) :]
    values = [each.quantity.value for each in added if each.quantity is not None]
    assert values == ([Decimal("2.5")] if taken else [])


@pytest.mark.parametrize(("other", "asked"), [(NOT_FOR_US - 0.01, True), (NOT_FOR_US, False)])
def test_a_number_in_what_others_say_is_not_asked_about(other: float, *, asked: bool) -> None:
    words = "two he had in the van"
    number = Heard(words, (Reading(Decimal(2)),), doubtful=True)
    event = heard("volts", number, {"": {"other": other, "value": 1 - other}}, {words: 1.0})
    assert bool(event.meanings) is asked
    assert event.doubtful is asked


@pytest.mark.parametrize(("faithful", "asked"), [(1.0, True), (0.85, False)])
def test_a_number_counts_for_less_where_the_words_hardly_fit_the_sound(
    faithful: float, *, asked: bool
) -> None:
    """By hand: 0.7 times 0.85 is below 0.6."""
    words = "sixty box for a refresh"
    of = {"": {"value": 0.7, "other": 0.3}}
    event = heard("ohms", Heard(words), of, {words: 1.0}, faithful)
    assert event.doubtful is asked


def test_a_number_of_the_grammar_is_asked_about_whoever_said_it() -> None:
    number = Heard("two", (Reading(Decimal(2)),), doubtful=True)
    assert heard("volts", number, {"": {"other": 1.0}}, {}) == number


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Room:
    """A quiet one, where flite speaks."""
    studio = Studio(Path(tmp_path_factory.mktemp("spoken")))
    return Room(build.Components(Settings()).hearing(), studio, "quiet", ("flite rms",))


@pytest.mark.parametrize(
    ("situation", "wants", "words"),
    [
        ("confirm", "disregard", "no scrap that my lead had slipped off"),
        ("confirm", "negative", "no that is not what i said to you"),
        ("confirm", "affirm", "you have it right two point five is what i am looking at"),
        ("volts", "finish", "i am packing up for tonight"),
        ("volts", "limit", "should that wire be live with the key out"),
        ("ohms", "how", "how can i be sure i am touching both"),
        ("repair", "tool", "what bit fits these screws"),
        ("amps", "other", "two amps he had in the van and a bass bin"),
    ],
)
def test_it_is_understood_when_it_is_spoken(
    room: Room, situation: str, wants: str, words: str
) -> None:
    assert score(Phrase(situation, (wants,), words), room.hear).score is Score.UNDERSTOOD
