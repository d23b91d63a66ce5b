"""People's voices: one woman's recorded prompts, read from the installed package.

Source: Debian's asterisk-core-sounds-en-g722 (CC-BY-SA-3.0, Allison Smith). Read where it is
installed, never copied. A pocketsphinx grammar of one word a clip hears 28 of its 32 number
prompts, measured beforehand; a grammar with everything that a step takes is harder.
"""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import pytest

from voiceassist.app import build
from voiceassist.app.hearing import Hearing
from voiceassist.app.settings import Settings
from voiceassist.doubt.policy import Accept, AskAmong
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Identifier, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.sound.clip import Clip

PROMPTS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
MISSING = [
    package
    for package, found in {
        "asterisk-core-sounds-en-g722": (PROMPTS / "digits").is_dir(),
        "ffmpeg": shutil.which("ffmpeg") is not None,
    }.items()
    if not found
]
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(MISSING), reason=f"needs the package {', '.join(MISSING)}"),
]

QUIET = Clip.silence(0.3, 16000)
NUMBERS = [*range(21), 30, 40, 50, 60, 70, 80, 90]


def prompt(name: str) -> Clip:
    command = ["ffmpeg", "-loglevel", "error", "-f", "g722", "-i", str(PROMPTS / f"{name}.g722")]
    done = subprocess.run(
        [*command, "-ar", "16000", "-f", "s16le", "-"], capture_output=True, check=True
    )
    return Clip(done.stdout, 16000)


@pytest.fixture(params=["ear", "sphinx"])
def hearing(request: pytest.FixtureRequest) -> Iterator[Hearing]:
    with closing(build.Shop(Settings(listener=request.param)).hearing()) as made:
        yield made


def best(hearing: Hearing, clip: Clip) -> tuple[Meaning, ...]:
    guesses = hearing.hear(QUIET + clip + QUIET).guesses
    return guesses[0].meanings if guesses else ()


def test_a_womans_numbers_are_heard_among_all_that_a_step_takes(hearing: Hearing) -> None:
    language = build.Shop(Settings()).language
    hearing.prepare(language.compose(Expectation(("voltage",), unit("V"))))
    heard = [best(hearing, prompt(f"digits/{number}")) for number in NUMBERS]
    right = [
        any(isinstance(m, Reading) and m.value == number for m in meanings)
        for number, meanings in zip(NUMBERS, heard, strict=True)
    ]
    least = {"ear": 28, "sphinx": 20}[hearing.name]
    assert sum(right) >= least, dict(zip(NUMBERS, heard, strict=True))


def test_none_of_her_numbers_is_taken_for_another_by_two_listeners_who_may_ask() -> None:
    language = build.Shop(Settings()).language
    with closing(build.Shop(Settings(listener="joint")).hearing()) as both:
        both.prepare(language.compose(Expectation(("voltage",), unit("V"))))
        decided = {
            number: both.hear(QUIET + prompt(f"digits/{number}") + QUIET).decided(repr)
            for number in NUMBERS
        }
    taken = {n: values(d.key) for n, d in decided.items() if isinstance(d, Accept)}
    asked = {
        n: [v for key in d.keys for v in values(key)]
        for n, d in decided.items()
        if isinstance(d, AskAmong)
    }
    assert taken == {number: [number] for number in taken}
    assert len(taken) >= 20
    assert len(taken) + sum(number in among for number, among in asked.items()) >= 26, decided


def values(key: tuple[Meaning, ...]) -> list[Decimal]:
    return [meaning.value for meaning in key if isinstance(meaning, Reading)]


def test_a_vehicle_number_spelled_by_her_is_heard_whole() -> None:
    """49 CFR 565.15 table V, the regulation's own sample, spelled with the alphabet of ICAO."""
    words = {"G": "phonetic/g_p", "A": "phonetic/a_p", "H": "phonetic/h_p"}
    said = Clip.silence(0.1, 16000)
    for character in "1G4AH59H45G118341":
        said = said + prompt(words.get(character, f"digits/{character}"))
        said = said + Clip.silence(0.1, 16000)
    with closing(build.Shop(Settings(listener="joint")).hearing()) as joint:
        joint.prepare(build.Shop(Settings()).language.compose(Expectation(identifier="vin")))
        assert best(joint, said) == (Identifier("vin", "1G4AH59H45G118341"),)
