"""A second language, by grammar files alone. Readings of numbers: common practice, no source."""

from decimal import Decimal

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Spread,
)
from voiceassist.measure.units import unit
from voiceassist.recognise.graph import graph_of


def reading(value: str, symbol: str = "") -> Reading:
    return Reading(Decimal(value), unit(symbol) if symbol else None)


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("십이점육 볼트", reading("12.6", "V")),
        ("십이 점 육 영 볼트", reading("12.60", "V")),
        ("팔 점 사", reading("8.4")),
        ("영점오", reading("0.5")),
        ("영점영오", reading("0.05")),
        ("백오", reading("105")),
        ("일공사", reading("104")),
        ("이십만 오천육백", reading("205600")),
        ("만천백십일", reading("11111")),
        ("삼백오십 밀리볼트", reading("350", "mV")),
        ("사점칠 킬로옴", reading("4.7", "kΩ")),
        ("십오 암페어입니다", reading("15", "A")),
        ("영하 오 도", reading("-5", "°C")),
        ("삼 회", reading("3", "times")),
        ("십이회", reading("12", "times")),
        ("팔백 회전", reading("800", "rpm")),
        ("마이너스 영점이", reading("-0.2")),
        ("정정 구점팔", Correction(reading("9.8"))),
        ("정정 십오, 일오", Correction(reading("15"))),
        ("십이점일에서 십이점사 사이", Spread(reading("12.1"), reading("12.4"))),
        ("범위 초과", OverRange()),
        ("어두워요", Lamp("dim")),
        ("예", Answer("affirm")),
        ("아니요", Answer("negative")),
        ("다시 말해", Command("repeat")),
        ("8.4 V", reading("8.4", "V")),
    ],
)
def test_korean_is_understood(korean: Language, words: str, meaning: Meaning) -> None:
    assert korean.compose(Expectation.anything()).parse(words).meanings == (meaning,)


@pytest.mark.parametrize("words", ["점", "십십", "백 십 백", "볼트", "십이 점", "정정 십오 오일"])
def test_korean_nonsense_is_refused(korean: Language, words: str) -> None:
    assert korean.compose(Expectation.anything()).parse(words).meanings == ()


def test_ten_thousand_is_said_without_one(korean: Language) -> None:
    assert korean.say(reading("10000")) == "만"
    assert korean.say(reading("110000")) == "십 일 만"


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("아무것도 없어요", reading("0")),
        ("안 나와요", reading("0")),
        ("잠깐만요", Command("stand-by")),
        ("다 했어요", Answer("done")),
        ("알겠어요", Answer("affirm")),
        ("변화 없어요", Command("same")),
        ("못 닿아요", Command("skip", "no-access")),
        ("어느 전선", Command("how", "asked/wire")),
        ("무슨 색", Command("how", "asked/colour")),
        ("몇 번 핀", Command("how", "asked/pin")),
        ("어느 커넥터", Command("how", "asked/connector")),
        ("어느 퓨즈", Command("how", "asked/fuse")),
        ("무슨 부품", Command("how", "asked/part")),
        ("조임 토크", Command("how", "asked/torque")),
        ("뭘 뜯어요", Command("how", "asked/opens")),
    ],
)
def test_what_koreans_say_at_a_measuring_step_is_understood(
    korean: Language, words: str, meaning: Meaning
) -> None:
    step = Expectation(("voltage",), unit("V"))
    assert korean.compose(step).parse(words).meanings == (meaning,)


def test_every_command_is_searched_by_a_recogniser(korean: Language) -> None:
    """Danger above all: who says that something burns must not be heard as something else."""
    grammar = korean.compose(Expectation(("voltage",), unit("V")))
    graph = graph_of(grammar)
    searched = {
        meaning.name
        for phrase in graph.cover()
        for meaning in grammar.parse(phrase).meanings
        if isinstance(meaning, Command)
    }
    assert set(COMMANDS) - searched == set()


@pytest.mark.parametrize("words", ["타는 냄새", "연기 나요", "불이야"])
def test_danger_is_searched_in_each_way_to_cry_it(korean: Language, words: str) -> None:
    grammar = korean.compose(Expectation())
    assert graph_of(grammar).contains(words)
    assert grammar.parse(words).meanings == (Command("danger"),)
