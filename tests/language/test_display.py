"""Text for the eye turned into words for the voice."""

import pytest

from voiceassist.language.language import Language


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "8.4 V is below 11.8 V",
            "eight point four volts is below eleven point eight volts",
        ),
        ("30 A fuse", "thirty amp fuse"),
        ("a 12 V battery", "a twelve volt battery"),
        ("-5 °C", "minus five degrees celsius"),
        ("−5 °C", "minus five degrees celsius"),
        ("1.5 N·m", "one point five newton metres"),
        ("12.60 V", "twelve point six zero volts"),
        ("4.7 kΩ", "four point seven kilohms"),
        ("4.7 k\N{OHM SIGN}", "four point seven kilohms"),
        ("20 µA", "twenty microamps"),
        ("50%", "fifty percent"),
        ("1 V", "one volt"),
        ("flashes 3 times", "flashes three times"),
        ("flashes 1 times", "flashes one time"),
        ("12.6V.", "twelve point six volts."),
        ("4-pin plug", "four-pin plug"),
        ("a well-known fault", "a well-known fault"),
        ("pin 3, then pin 4", "pin three, then pin four"),
        ("between -0.2 V and 0.2 V", None),
        ("lamp H4 at 08:30", "lamp H4 at 08:30"),
        ("version 1.2.3", "version 1.2.3"),
        ("serial 12345678901", "serial 12345678901"),
        ("5 Apples", "five Apples"),
        ("no figures here", "no figures here"),
    ],
)
def test_figures_and_units_become_words(english: Language, text: str, words: str | None) -> None:
    expected = words or "between minus zero point two volts and zero point two volts"
    assert english.spoken(text) == expected


def test_the_words_are_those_of_the_language(korean: Language) -> None:
    assert korean.spoken("8.4 V") == "팔 점 사 볼트"
