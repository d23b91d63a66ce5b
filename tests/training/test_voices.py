"""Voices of formants, accents from elsewhere, and phrases put together of single words."""

import shutil
from contextlib import closing
from pathlib import Path
from random import Random

import numpy as np
import pytest
import torch
from numpy.typing import NDArray

from training import formants, hmm, tubes
from training.clips import RATE_HZ, shards
from training.phonemes import Spoken, _from_elsewhere, phonemes, write
from training.speaking import Order, speak_all
from training.speech import joined, resampled

FETCHED = Path(__file__).parents[2] / ".ear"
SYNTHESISER, MODELS = FETCHED / "gnuspeech.mjs", FETCHED / "rhvoice"
needs_models = pytest.mark.skipif(not MODELS.exists(), reason="needs python -m training fetch")
needs_espeak = pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="needs espeak-ng")


@needs_espeak
def test_formants_say_a_phrase_in_many_voices_and_none_like_the_other() -> None:
    rng = Random(1)
    said = [formants.said("twelve point five volts", rng) for _ in range(6)]
    assert all(sound is not None and 0.6 < len(sound) / RATE_HZ < 5 for sound in said)
    assert len({None if sound is None else sound.tobytes() for sound in said}) == 6


def test_every_accent_and_many_variants_speak() -> None:
    rng = Random(2)
    voices = [formants.command(rng)[2] for _ in range(2000)]
    assert {voice.split("+")[0] for voice in voices} == set(formants.ACCENTS)
    assert {v.split("+")[1] for v in voices if "+" in v} == set(formants.VARIANTS)


@needs_espeak
def test_formants_fill_shards(tmp_path: Path) -> None:
    write(tmp_path / "few.json", [Spoken("go back", (), ()), Spoken("fifteen ohms", (), ())])
    speak_all(Order(tmp_path, tmp_path / "few.json", 1e12, 1, "cpu", formants=True))
    (shard,) = shards(tmp_path / "speech")
    assert shard.texts == ("go back", "fifteen ohms")
    assert all(len(sound) > RATE_HZ // 3 for sound in shard.sounds)


def test_every_throat_is_another_and_half_of_them_are_womens() -> None:
    rng = Random(5)
    files = [tubes.voice(rng) for _ in range(400)]
    assert len({each["voice_male"] for each in files}) == 400
    lengths = [float(_value(each["voice_male"], "vocal_tract_length")) for each in files]
    assert 13 < min(lengths) < 14
    assert 18 < max(lengths) < 19
    high = [float(_value(each["voice_male"], "reference_glottal_pitch")) > -6 for each in files]
    assert 150 < sum(high) < 250


def _value(text: str, name: str) -> str:
    (line,) = [each for each in text.splitlines() if each.startswith(f"{name} = ")]
    return line.partition(" = ")[2]


@pytest.mark.skipif(not SYNTHESISER.exists(), reason="needs python -m training fetch")
def test_a_tube_says_a_phrase_in_many_voices_and_none_like_the_other() -> None:
    rng = Random(6)
    with closing(tubes.Tubes(SYNTHESISER)) as speaker:
        said = [speaker.said("twelve point five volts", rng) for _ in range(4)]
        assert speaker.said("", rng) is None
    assert all(sound is not None and 0.6 < len(sound) / RATE_HZ < 5 for sound in said)
    assert len({None if sound is None else sound.tobytes() for sound in said}) == 4


def test_models_speak_in_every_voice_and_most_often_in_those_of_english() -> None:
    rng = Random(7)
    voices = [hmm.Voice.drawn(rng) for _ in range(2000)]
    assert len(set(voices)) == 2000
    assert {voice.name for voice in voices} == set(hmm.NAMES)
    assert sum(voice.name in {"Bdl", "Clb"} for voice in voices) > 1600


def test_a_short_throat_leaves_pace_and_pitch_as_they_were() -> None:
    plain, short = (hmm.Voice("Clb", made_hz, 1.2, 0.9).told() for made_hz in (24_000, 28_800))
    assert plain.relative_rate == pytest.approx(short.relative_rate * 1.2)
    assert plain.relative_pitch == pytest.approx(short.relative_pitch * 1.2)


@needs_models
def test_models_say_a_phrase_in_many_voices_and_none_like_the_other() -> None:
    rng, speaker = Random(8), hmm.Models(MODELS)
    said = [speaker.said("twelve point five volts", hmm.Voice.drawn(rng)) for _ in range(6)]
    assert all(sound is not None and 0.6 < len(sound) / RATE_HZ < 5 for sound in said)
    assert len({None if sound is None else sound.tobytes() for sound in said}) == 6
    assert speaker.said("", hmm.Voice.drawn(rng)) is None


@needs_models
def test_a_shorter_throat_is_neither_faster_nor_higher() -> None:
    speaker = hmm.Models(MODELS)
    long, short = (
        speaker.said("one nine one nine", hmm.Voice("Bdl", made_hz, 1, 1))
        for made_hz in (21_600, 27_600)
    )
    assert long is not None
    assert short is not None
    assert len(short) == pytest.approx(len(long), rel=0.08)
    assert _pitch_hz(short) == pytest.approx(_pitch_hz(long), rel=0.1)


def _pitch_hz(sound: NDArray[np.int16]) -> float:
    """Of the middle of a sound, by the lag at which it is most like itself."""
    middle = sound[len(sound) // 2 :][: RATE_HZ // 4].astype(np.float64)
    alike = np.correlate(middle, middle, "full")[len(middle) - 1 :]
    first, last = RATE_HZ // 300, RATE_HZ // 60
    return RATE_HZ / (first + int(alike[first:last].argmax()))


@needs_models
def test_models_fill_shards(tmp_path: Path) -> None:
    (tmp_path / "rhvoice").symlink_to(MODELS)
    write(tmp_path / "few.json", [Spoken("go back", (), ()), Spoken("fifteen ohms", (), ())])
    speak_all(Order(tmp_path, tmp_path / "few.json", 1e12, 1, "cpu", hmm=True))
    (shard,) = shards(tmp_path / "speech")
    assert shard.texts == ("go back", "fifteen ohms")
    assert all(len(sound) > RATE_HZ // 3 for sound in shard.sounds)


@needs_espeak
def test_no_accent_says_kye_lohms() -> None:
    signs = {sign: number for number, sign in enumerate("abcdefghijklmnopqrstuvwxyzɪəʊˈː ")}
    names = {number: sign for sign, number in signs.items()}
    for seed in range(8):
        (said,) = phonemes(["kilohms"], signs, Random(seed))
        for numbers in (said.american, said.british):
            assert "".join(names[n] for n in numbers).startswith(("kˈɪl", "kˈil"))


def test_habits_of_elsewhere_change_some_sounds_and_leave_the_words_apart() -> None:
    rng = Random(3)
    ipa = "ðə vˈəʊlts wˈɪtʃ ɹˈɛd"
    changed = {_from_elsewhere(ipa, rng) for _ in range(50)}
    assert len(changed) > 10
    assert all(each.count(" ") == ipa.count(" ") for each in changed)


def test_joined_words_follow_one_another_with_a_pause_at_most() -> None:
    word = (np.sin(np.arange(RATE_HZ // 2) / 5) * 9000).astype(np.int16)
    whole = joined([word, word, word], Random(4))
    assert whole is not None
    assert 3 * (len(word) - 1200) <= len(whole) <= 3 * len(word) + 3 * RATE_HZ // 5
    assert joined([], Random(4)) is None


@pytest.mark.parametrize("made_hz", [22_050, 24_000])
def test_a_tone_keeps_its_pitch_at_another_rate(made_hz: int) -> None:
    tone = torch.sin(torch.arange(made_hz) * 2 * torch.pi * 1000 / made_hz)
    lower = resampled(tone, made_hz, RATE_HZ).numpy()
    assert len(lower) == RATE_HZ
    wanted = np.sin(np.arange(RATE_HZ) * 2 * np.pi * 1000 / RATE_HZ)
    assert np.abs(lower - wanted).max() < 0.01
