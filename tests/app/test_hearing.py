"""Listeners and calibration together."""

import math
from collections.abc import Sequence

from voiceassist.app.build import calibrations
from voiceassist.app.hearing import Hearing
from voiceassist.app.judging import Judgement
from voiceassist.errors import ListenerGoneError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Candidate, Grammar, Heard
from voiceassist.recognise.panel import Panel
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import Clip

LANGUAGE = Language.load(grammar_files("en"))
VOLTAGE = LANGUAGE.compose(Expectation(("voltage",), unit("V")))
TEEN, TY = "thirteen point five volts", "thirty point five volts"


class Giving:
    """Hears what it is given, under any name."""

    def __init__(self, name: str, *candidates: tuple[str, float]) -> None:
        self.name = name
        self.candidates = tuple(Candidate(*each) for each in candidates)

    def prepare(self, grammar: Grammar) -> None:
        pass

    def hear(self, clip: Clip) -> Heard:
        return Heard(self.name, self.candidates)

    def close(self) -> None:
        pass


class Weighing(Giving):
    """Takes a second look, at which the shorter phrase fits far better."""

    looks: tuple[Sequence[str], ...] = ()

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> tuple[float, ...]:
        self.looks = (*self.looks, tuple(phrases))
        return tuple(-40.0 * len(phrase) if phrase != "why" else -math.inf for phrase in phrases)


class Gone(Giving):
    """Crashes for good."""

    def hear(self, clip: Clip) -> Heard:
        raise ListenerGoneError(f"the listener {self.name} crashed (signal 11)")


def heard(*listeners: Giving, calibrated: bool = True) -> Judgement:
    panel = Panel([(lambda made=each: made) for each in listeners])  # type: ignore[misc]
    hearing = Hearing(panel, calibrations() if calibrated else None)
    hearing.prepare(VOLTAGE)
    # Quiet before and after, so that the level can be told from the noise.
    loud = Clip(bytes([0, 32, 0, 224] * 8000))
    judgement = hearing.hear(Clip.silence(0.3) + loud + Clip.silence(0.3))
    hearing.close()
    return judgement


def test_what_any_of_them_heard_is_weighed_again_by_those_that_can() -> None:
    sphinx = Weighing("sphinx", (TY, -5.0), ("why", -9.0))
    moonshine = Giving("moonshine", (TEEN, 3.0), (TY, 2.9))
    judgement = heard(moonshine, sphinx)
    assert sphinx.looks == ((TEEN, TY, "why"),)
    assert judgement.belief is not None
    assert judgement.belief.likely[0][0] == VOLTAGE.parse(TY).meanings


def test_the_second_look_can_turn_the_first() -> None:
    first = Giving("sphinx", (TY, -5.0), (TEEN, -5.1))
    again = Weighing("sphinx", (TY, -5.0), (TEEN, -5.1))
    moonshine = Giving("moonshine", (TEEN, 3.0), (TY, 2.9))
    likely = [heard(moonshine, each).belief for each in (first, again)]
    teen = VOLTAGE.parse(TEEN).meanings
    assert likely[0] is not None
    assert likely[1] is not None
    assert likely[0].of(teen) > likely[1].of(teen)


def test_no_second_look_where_all_agree_or_nothing_is_calibrated() -> None:
    sphinx = Weighing("sphinx", (TEEN, -5.0), ("why", -9.0))
    heard(Giving("moonshine", (TEEN, 3.0), (TY, 2.0)), sphinx)
    heard(Giving("moonshine", (TY, 3.0)), sphinx, calibrated=False)
    assert sphinx.looks == ()


def test_when_a_listener_is_lost_it_is_told_once_and_the_rest_are_weighed_by_themselves() -> None:
    told: list[str] = []
    panel = Panel([lambda: Gone("whisper"), lambda: Giving("moonshine", (TEEN, 3.0))])
    hearing = Hearing(panel, calibrations(), told.append)
    hearing.prepare(VOLTAGE)
    judgements = [hearing.hear(Clip.silence(1.0)) for _ in range(2)]
    hearing.close()
    assert told == ["the listener whisper crashed (signal 11). The session goes on with moonshine."]
    assert [each.costs for each in judgements] == [calibrations()["moonshine"].costs] * 2
