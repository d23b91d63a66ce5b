"""A listener and its odds together."""

import languages
import pytest

from voiceassist.app.ears.hearing import Hearing, holds_speech
from voiceassist.app.loaded import shipped_odds
from voiceassist.errors import ListenerGoneError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing
from voiceassist.sound.clip import Clip

LANGUAGE = languages.shipped()
VOLTAGE = LANGUAGE.compose(Expectation(("voltage",), unit("V")))
TWELVE = "twelve point six volts"


class Giving:
    """Hears what it is given, under any name."""

    def __init__(self, name: str, *candidates: tuple[str, float]) -> None:
        self.name = name
        self.candidates = tuple(Candidate(*each) for each in candidates)

    def prepare(self, grammar: ListenerGrammar) -> None:
        pass

    def hear(self, clip: Clip) -> HeardClip:
        nothing = None if self.candidates else Nothing.NO_SPEECH
        return HeardClip(self.name, self.candidates, nothing, -50.0)

    def close(self) -> None:
        pass


class Gone(Giving):
    """Crashes for good."""

    def hear(self, clip: Clip) -> HeardClip:
        raise ListenerGoneError(f"the listener {self.name} crashed (signal 11)")


def ready(listener: Giving) -> Hearing:
    hearing = Hearing(listener, shipped_odds())
    hearing.prepare(VOLTAGE)
    return hearing


@pytest.mark.parametrize("name", ["ear", "sphinx"])
def test_a_listener_whose_odds_are_shipped_gives_probabilities_at_its_own_costs(name: str) -> None:
    judgement = ready(Giving(name, (TWELVE, -1.0), ("ten volts", -30.0))).hear(Clip.silence(1.0))
    assert judgement.belief is not None
    assert judgement.belief.likely[0][0] == VOLTAGE.parse(TWELVE).meanings
    assert judgement.costs == shipped_odds()[name].costs


def test_one_whose_odds_nobody_knows_gives_none() -> None:
    judgement = ready(Giving("vosk", (TWELVE, -1.0))).hear(Clip.silence(1.0))
    assert judgement.belief is None
    assert judgement.probability(judgement.guesses[0]) is None


def test_a_clip_without_speech_is_told_from_one_that_is_not_understood() -> None:
    assert not holds_speech(ready(Giving("ear")).hear(Clip.silence(1.0)))
    assert holds_speech(ready(Giving("ear", ("bananas", -1.0))).hear(Clip.silence(1.0)))


def test_a_listener_that_is_at_an_end_says_so() -> None:
    with pytest.raises(ListenerGoneError, match="crashed"):
        ready(Gone("vosk")).hear(Clip.silence(1.0))


def test_hearing_unprepared_is_misuse() -> None:
    with pytest.raises(RuntimeError, match="prepare"):
        Hearing(Giving("ear")).hear(Clip.silence(1.0))


class Foreseeing(Giving):
    """Has so much to do beforehand."""

    def __init__(self, left: int) -> None:
        super().__init__("ear")
        self.left = left

    def expect(self, grammar: ListenerGrammar) -> bool:
        self.left -= 1
        return self.left > 0


def test_a_listener_that_can_get_ready_beforehand_does_a_little_at_a_time() -> None:
    hearing = Hearing(Foreseeing(3))
    assert [hearing.expect(VOLTAGE) for _ in range(3)] == [True, True, False]
    assert not Hearing(Giving("sphinx")).expect(VOLTAGE)
