"""What the voice would read wrongly is put right, by the shipped file and by the user's."""

import languages
import pytest

from voiceassist import resources
from voiceassist.errors import SpeakError
from voiceassist.speak.sayings import Sayings

FILES = resources.grammar_files("en")
ENGLISH = Sayings.load(FILES["spoken.toml"], "spoken.toml")
LANGUAGE = languages.shipped()


# How a technician says these: common practice, no source.
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0–5 V", "zero to five volts"),
        ("0 V – 5 V", "zero volts to five volts"),
        ("0 to 5 V", "zero to five volts"),
        ("5 V ± 0.2 V", "five volts plus or minus zero point two volts"),
        ("±2 V", "plus or minus two volts"),
        ("≥ 11.8 V", "at least eleven point eight volts"),
        ("<0.1 V", "less than zero point one volts"),
        ("2 × 5 A", "two times five amps"),
        ("-3.2 °C", "minus three point two degrees celsius"),
        ("a wire of 4 mm²", "a wire of four square millimetres"),
        ("read on 2026-01-02", "read on two January two thousand twenty six"),
        ("the LED on the ECU", "the L E D on the E C U"),
        ("the LEDGE", "the LEDGE"),
        ("3-5", "three-five"),
    ],
)
def test_text_for_the_eye_is_spoken_as_a_technician_says_it(text: str, said: str) -> None:
    assert LANGUAGE.spoken(ENGLISH(text)) == said


def test_a_users_own_sayings_count_over_the_shipped_ones() -> None:
    own = Sayings.load('[say]\n"LED" = "led"\n"Quillback" = "Quill back"\n', "own")
    said = (ENGLISH | own)("the LED and the VIN of the Quillback")
    assert said == "the led and the V I N of the Quill back"


def test_an_empty_file_changes_nothing() -> None:
    assert Sayings.load("", "own")("5 V ± LED 2026-01-02") == "5 V ± LED 2026-01-02"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[say", "this is not TOML"),
        ("[sayings]\na = 'b'", "found 'sayings'; write [say], [between] or [date]"),
        ("say = 3", "found 'say'"),
        ("[say]\nLED = 3", "'LED' is said as 3"),
        ("[date]\nform = '{day}'", "[date] cannot be used"),
        (f"[date]\nform = '{{dy}}'\nmonths = {['m'] * 12}", "[date] cannot be used"),
    ],
)
def test_a_file_that_cannot_be_used_is_named(text: str, found: str) -> None:
    with pytest.raises(SpeakError) as caught:
        Sayings.load(text, "own.toml")
    assert str(caught.value).startswith("own.toml: ")
    assert found in str(caught.value)
