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

import numpy as np
import pytest
from benchmarks.hearing import noises
from benchmarks.hearing.sounds import mixed
from benchmarks.hearing.voices import trimmed

from voiceassist.app import build
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.settings.settings import Settings
from voiceassist.doubt.policy import Accept, AskAmong
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Identifier, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of, samples_of

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
    with closing(build.Components(Settings(listener=request.param)).hearing()) as made:
        yield made


def best(hearing: Hearing, clip: Clip) -> tuple[Meaning, ...]:
    guesses = hearing.hear(QUIET + clip + QUIET).guesses
    return guesses[0].meanings if guesses else ()


def test_a_womans_numbers_are_heard_among_all_that_a_step_takes(hearing: Hearing) -> None:
    language = build.Components(Settings()).language
    hearing.prepare(language.compose(Expectation(("voltage",), unit("V"))))
    heard = [best(hearing, prompt(f"digits/{number}")) for number in NUMBERS]
    right = [
        any(isinstance(m, Reading) and m.value == number for m in meanings)
        for number, meanings in zip(NUMBERS, heard, strict=True)
    ]
    least = {"ear": 28, "sphinx": 20}[hearing.name]
    assert sum(right) >= least, dict(zip(NUMBERS, heard, strict=True))


def values(key: tuple[Meaning, ...]) -> list[Decimal]:
    return [meaning.value for meaning in key if isinstance(meaning, Reading)]


#: Words of numbers, as she recorded them, and what they come to: 28 alone, 40 joined.
JOINED: dict[str, int] = {str(number): number for number in NUMBERS} | {
    **{f"{tens} {units}": tens + units for tens in range(20, 100, 10) for units in (1, 5, 9)},
    **{f"{n} hundred": 100 * n for n in range(1, 10, 2)},
    **{f"{n} hundred {10 * n + 10}": 110 * n + 10 for n in range(1, 9)},
    **{f"{n} hundred {n + 12}": 101 * n + 12 for n in (2, 4, 6)},
}


def spoken(words: str) -> Clip:
    """Her words one after the other, without the quiet around each."""
    parts = [trimmed(samples_of(prompt(f"digits/{word}")).astype(float)) for word in words.split()]
    gap = np.zeros(800)
    return clip_of(np.concatenate([each for part in parts for each in (part, gap)]), 16_000)


def in_noise(clip: Clip, snr_db: float, seed: int) -> Clip:
    """The clip in the middle of pink noise, which nothing was trained on."""
    speech = samples_of(clip).astype(float)
    around = noises.pink(speech.size + 9600, np.random.RandomState(seed))
    return mixed(speech, around, snr_db, -26.0)


@pytest.fixture(scope="module")
def ear() -> Iterator[Hearing]:
    with closing(build.Components(Settings(listener="ear")).hearing()) as made:
        made.prepare(
            build.Components(Settings()).language.compose(Expectation(("voltage",), unit("V")))
        )
        yield made


@pytest.mark.parametrize(("snr_db", "least"), [(45, 66), (20, 64), (10, 64), (5, 60)])
def test_her_numbers_are_heard_in_noise_and_never_taken_for_others(
    ear: Hearing, snr_db: float, least: int
) -> None:
    """The counts are near those of a first trial: all of 47 down to 10 dB, and 46 at 5 dB."""
    assert len(JOINED) == 68
    heard = {
        number: ear.hear(in_noise(spoken(words), snr_db, number))
        for words, number in JOINED.items()
    }
    first = {n: values(j.guesses[0].meanings) for n, j in heard.items() if j.guesses}
    decided = {n: judgement.decided(repr) for n, judgement in heard.items()}
    taken = {n: values(d.key) for n, d in decided.items() if isinstance(d, Accept)}
    right = [n for n, found in first.items() if found == [n]]
    wrong = {n: found for n, found in taken.items() if found != [n]}
    assert len(right) >= least, {n: found for n, found in first.items() if found != [n]}
    assert len(wrong) <= (snr_db < 20), wrong


def test_none_of_her_teens_and_tens_is_taken_on_its_sound_where_nobody_knows_the_limit(
    ear: Hearing,
) -> None:
    alike = [*range(13, 20), *range(30, 100, 10)]
    decided = {n: ear.hear(QUIET + prompt(f"digits/{n}") + QUIET).decided(repr) for n in alike}
    assert all(isinstance(each, AskAmong) for each in decided.values()), decided
    among = {
        n: [v for key in each.keys for v in values(key)]
        for n, each in decided.items()
        if isinstance(each, AskAmong)
    }
    assert all(n in found for n, found in among.items()), among


def test_a_vehicle_number_spelled_by_her_is_heard_whole() -> None:
    """49 CFR 565.15 table V, the regulation's own sample, spelled with the alphabet of ICAO."""
    words = {"G": "phonetic/g_p", "A": "phonetic/a_p", "H": "phonetic/h_p"}
    said = Clip.silence(0.1, 16000)
    for character in "1G4AH59H45G118341":
        said = said + prompt(words.get(character, f"digits/{character}"))
        said = said + Clip.silence(0.1, 16000)
    with closing(build.Components(Settings(listener="ear")).hearing()) as hearing:
        hearing.prepare(
            build.Components(Settings()).language.compose(Expectation(identifier="vin"))
        )
        assert best(hearing, said) == (Identifier("vin", "1G4AH59H45G118341"),)
