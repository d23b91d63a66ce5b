"""The labelled sounds of the hearing benchmark: true meanings, true levels, parts kept apart."""

import re
import subprocess
import sys
from collections import Counter
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from benchmarks.hearing import chatter, collect, noises, tools
from benchmarks.hearing.intervals import Share, an_hour
from benchmarks.hearing.others import prompts
from benchmarks.hearing.people import PACKAGES, people
from benchmarks.hearing.phrases import LEVELS, PARTS, Phrase, phrase, phrases
from benchmarks.hearing.sounds import LEAD_S, SNR_DB, VOICES, mixed, noise, sentences, setting
from benchmarks.hearing.steps import grammar, is_heard, means_something
from benchmarks.hearing.voices import missing_programs
from numpy.typing import NDArray
from scipy.stats import binomtest
from text_to_num import alpha2digit

from voiceassist.devices.wav import read_clip
from voiceassist.language.codec import from_json
from voiceassist.language.meanings import Reading
from voiceassist.measure.units import unit
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.noise import speech_level_of
from voiceassist.sound.samples import samples_of

HOUSE = Path(__file__).parents[2]
FIXTURES = HOUSE / "audio_fixtures" / "phrases"
FULL_SCALE = 32_768
V, MV = unit("V"), unit("mV")

# --- phrases ---


def hundred(part: str, level: str) -> list[Phrase]:
    return list(phrases(part, level, 100))


def test_a_shorter_set_is_the_beginning_of_a_longer_one() -> None:
    assert list(phrases("fit", "20", 130))[:30] == list(phrases("fit", "20", 30))


def test_the_set_is_the_same_in_every_process() -> None:
    program = (
        "from benchmarks.hearing.phrases import phrases\n"
        "from benchmarks.hearing.sounds import setting\n"
        "print([(p, setting('kept', '5', p.id)) for p in phrases('kept', '5', 30)])"
    )

    def run(hash_seed: str) -> str:
        paths = f"{HOUSE}:{HOUSE / 'tests'}"
        done = subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONPATH": paths, "PYTHONHASHSEED": hash_seed},
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    assert run("1") == run("2")


# The shares of real use that the set was ordered with.
def test_a_hundred_phrases_have_the_shares_of_real_use() -> None:
    assert Counter(said.kind for said in hundred("fit", "10")) == {
        "reading": 60,
        "command": 15,
        "answer": 10,
        "lamp": 8,
        "correction": 5,
        "job": 2,
    }


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("level", LEVELS)
def test_each_phrase_can_be_heard_at_its_step_and_means_one_thing(part: str, level: str) -> None:
    for said in hundred(part, level):
        assert is_heard(said.words, said.step)
        assert grammar(said.step).parse(said.words).meanings == (said.meaning,)


def test_an_independent_reader_of_numbers_finds_the_same_values() -> None:
    checked = 0
    for said in hundred("fit", "quiet") + hundred("kept", "quiet"):
        read = alpha2digit(said.words, "en", 0)
        numbers = re.findall(r"[\d.]+", read)
        # It does not read "oh", "niner", a point without a digit before it, or a half.
        readable = not {"oh", "niner", "point", "half"} & set(read.split())
        if isinstance(said.meaning, Reading) and len(numbers) == 1 and readable:
            assert Decimal(numbers[0]) == abs(said.meaning.value)
            checked += 1
    assert checked > 50


def test_parts_and_levels_say_different_things() -> None:
    sets = [[said.words for said in hundred(part, level)] for part in PARTS for level in LEVELS]
    assert all(a != b for n, a in enumerate(sets) for b in sets[:n])
    ids = [said.id for part in PARTS for level in LEVELS for said in hundred(part, level)]
    assert len(set(ids)) == len(ids)


def test_numbers_that_sound_alike_are_well_represented() -> None:
    readings = [
        said.words.split() for said in phrases("fit", "quiet", 400) if said.kind == "reading"
    ]
    for pair in (("thirteen", "thirty"), ("fifteen", "fifty"), ("five", "nine")):
        each = [sum(word in words for words in readings) for word in pair]
        assert min(each) >= 5
    alike = {"five", "nine"} | {f"{n}{end}" for n in ("thir", "four", "fif", "six", "seven",
             "eigh", "nine") for end in ("teen", "ty")}  # fmt: skip
    assert sum(bool(alike & set(words)) for words in readings) > len(readings) / 2


# --- parts kept apart ---


def test_the_part_kept_for_judging_has_other_voices_and_other_noise() -> None:
    assert not set(VOICES["fit"]) & set(VOICES["kept"])
    seeds = [
        {setting(part, level, said.id).seed for level in LEVELS for said in hundred(part, level)}
        for part in PARTS
    ]
    assert len(seeds[0]) == len(seeds[1]) == 400
    assert not seeds[0] & seeds[1]


def test_the_part_kept_for_judging_is_spoken_by_six_voices_of_synthesisers_never_trained_on() -> (
    None
):
    programs = {voice.split()[0] for voice in VOICES["kept"]}
    assert programs == {"flite", "festival", "pico", "piper"}
    assert len(set(VOICES["kept"])) == len(VOICES["kept"]) == 6


def test_shop_talk_is_a_hundred_and_fifty_sentences_halved_between_the_parts() -> None:
    fit, kept = sentences("fit"), sentences("kept")
    assert len(set(fit + kept)) == len(fit) + len(kept) >= 150
    assert abs(len(fit) - len(kept)) <= 1


@pytest.mark.parametrize("part", PARTS)
def test_no_other_talk_is_a_phrase_of_any_step(part: str) -> None:
    assert [words for words in sentences(part) + prompts(part) if means_something(words)] == []
    assert not set(prompts("fit")) & set(prompts("kept"))


@pytest.mark.skipif(
    not all(path.exists() for path in PACKAGES.values()), reason="Debian's recordings are missing"
)
def test_recordings_of_people_say_no_phrase_and_are_halved_between_the_parts() -> None:
    fit, kept = people("fit"), people("kept")
    assert not {record.path for record in fit} & {record.path for record in kept}
    assert min(len(fit), len(kept)) > 100
    assert not any(means_something(record.words) for record in fit + kept)


# --- levels ---


def tone(seconds: float = 1.0) -> NDArray[np.float64]:
    """A tone that no noise here holds, in place of speech."""
    at_s = np.arange(round(seconds * LISTEN_RATE_HZ)) / LISTEN_RATE_HZ
    return np.sin(2 * np.pi * 1037 * at_s)


def around(kind: str, size: int, seed: int = 3) -> NDArray[np.float64]:
    talk = (samples_of(read_clip(FIXTURES / "x01.wav")).astype(np.float64),)
    return noise(kind, size, np.random.RandomState(seed), talk)


def apart(clip: Clip) -> tuple[float, float]:
    """Level of the tone in dBFS, and how far it lies above the rest, by least squares."""
    lead = round(LEAD_S * LISTEN_RATE_HZ)
    during = samples_of(clip)[lead:-lead].astype(np.float64)
    at = 2 * np.pi * 1037 * np.arange(during.size) / LISTEN_RATE_HZ
    waves = np.stack([np.sin(at), np.cos(at)], axis=1)
    fitted = waves @ np.linalg.lstsq(waves, during, rcond=None)[0]
    power, rest = np.mean(fitted**2), np.mean((during - fitted) ** 2)
    return float(10 * np.log10(power / FULL_SCALE**2)), float(10 * np.log10(power / rest))


@pytest.mark.parametrize("kind", [*noises.KINDS, *tools.KINDS, "room"])
@pytest.mark.parametrize("snr_db", SNR_DB.values())
def test_a_mix_has_the_levels_it_says(kind: str, snr_db: float) -> None:
    size = LISTEN_RATE_HZ + 2 * round(LEAD_S * LISTEN_RATE_HZ)
    level, distance = apart(mixed(tone(), around(kind, size), snr_db, -26))
    assert distance == pytest.approx(snr_db, abs=0.3)
    assert level == pytest.approx(-26, abs=0.3)


def test_a_mix_too_loud_is_made_softer_and_not_cut_off() -> None:
    size = LISTEN_RATE_HZ + 2 * round(LEAD_S * LISTEN_RATE_HZ)
    clip = mixed(tone(), around("impacts", size), 5, -3)
    assert int(np.abs(samples_of(clip).astype(np.int32)).max()) < 32_000
    assert apart(clip)[1] == pytest.approx(5, abs=0.3)


# The lead tells how loud a steady noise is. Blows and babble come and go: how loud they are
# later it does not tell.
@pytest.mark.parametrize("kind", ["pink", "compressor", "mains", "room"])
@pytest.mark.parametrize("snr_db", SNR_DB.values())
@pytest.mark.parametrize("name", ["r01", "r14", "c08", "a05"])
def test_the_estimate_from_the_sound_alone_is_near_the_true_level(
    kind: str, snr_db: float, name: str
) -> None:
    speech = samples_of(read_clip(FIXTURES / f"{name}.wav")).astype(np.float64)[4000:-4000]
    size = speech.size + 2 * round(LEAD_S * LISTEN_RATE_HZ)
    clip = mixed(speech, around(kind, size), snr_db, -26)
    assert speech_level_of(clip).snr_db == pytest.approx(snr_db, abs=2.5)


# --- noises ---


@pytest.mark.parametrize("kind", [*noises.KINDS, *tools.KINDS])
def test_a_noise_is_settled_by_its_seed(kind: str) -> None:
    first, again, other = (around(kind, 20_000, seed) for seed in (5, 5, 6))
    assert first.size == 20_000
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)
    assert np.isfinite(first).all()


# By definition of pink noise.
def test_pink_noise_has_as_much_power_in_every_octave() -> None:
    power = np.abs(np.fft.rfft(noises.pink(1 << 18, np.random.RandomState(1)))) ** 2
    hertz = np.fft.rfftfreq(1 << 18, 1 / LISTEN_RATE_HZ)
    octaves = [power[(hertz >= low) & (hertz < 2 * low)].sum() for low in (125, 500, 2000)]
    assert max(octaves) < 1.1 * min(octaves)


def test_blows_stand_far_above_their_mean_and_a_hum_does_not() -> None:
    def crest(kind: str) -> float:
        sound = around(kind, 3 * LISTEN_RATE_HZ)
        return float(np.abs(sound).max() / np.sqrt(np.mean(sound**2)))

    assert crest("impacts") > 6
    assert crest("mains") < 4


def test_a_room_adds_a_tail_and_leaves_the_beginning() -> None:
    speech = tone(0.5)
    heard = noises.echoed(speech, np.random.RandomState(2))
    assert heard[:30] == pytest.approx(speech[:30])
    tail = heard[speech.size :]
    assert 0 < np.mean(tail**2) < 0.1 * np.mean(speech**2)


# --- intervals ---


# scipy.stats.binomtest as an independent reference.
@pytest.mark.parametrize(("count", "of"), [(0, 40), (1, 1500), (15, 1500), (1470, 1500), (7, 7)])
def test_a_share_has_the_interval_of_wilson(count: int, of: int) -> None:
    reference = binomtest(count, of).proportion_ci(method="wilson")
    assert Share(count, of).interval == pytest.approx((reference.low, reference.high), abs=1e-9)


# The usual table of exact limits of a Poisson count: 0 to 3.69, 0.0253 to 5.57, 1.62 to 11.7.
# From memory.
@pytest.mark.parametrize(
    ("count", "low", "high"), [(0, 0, 3.69), (1, 0.0253, 5.57), (5, 1.62, 11.67)]
)
def test_a_count_in_an_hour_has_its_exact_interval(count: int, low: float, high: float) -> None:
    assert an_hour(count, 1.0) == pytest.approx((low, high), rel=3e-3)
    assert an_hour(count, 0.5) == pytest.approx((2 * low, 2 * high), rel=3e-3)


# --- other talk ---


def test_talk_with_numbers_is_no_phrase_of_any_step() -> None:
    said = [words.format("twelve") for words in chatter.NUMBER_TALK]
    assert len(set(said)) == 20
    assert [words for words in said if means_something(words)] == []


# --- the program ---


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (["--parts", "fitt"], "kept"),
        (["--listener", "nobody"], "sphinx"),
        (["--count", "few"], "int"),
    ],
)
def test_wrong_use_is_told(
    arguments: list[str], complaint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        collect.read_options(arguments)
    assert ended.value.code == 2
    assert complaint in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.skipif(
    bool(missing_programs()), reason=f"needs the packages {', '.join(missing_programs())}"
)
def test_a_run_that_was_ended_goes_on_where_it_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(collect, "TEMPORARY", tmp_path)
    few = ["--parts", "fit", "--other-seconds", "0", "--count"]
    file = collect.collect(collect.read_options([*few, "1"]))
    whole = file.read_text("utf-8")
    file.write_text(whole + whole[:50], "utf-8")
    assert len(collect.read_lines(file, "fit")) == len(LEVELS)
    file.write_text(whole, "utf-8")
    collect.collect(collect.read_options([*few, "2"]))
    lines = collect.read_lines(file, "fit")
    assert Counter(line["id"] for line in lines) == Counter(
        {f"fit-{level}-000{number}": 1 for level in LEVELS for number in range(2)}
    )
    assert collect.read_lines(file, "kept") == []
    first = lines[0]
    assert from_json(first["meaning"]) == phrase("fit", "quiet", 0).meaning
    assert first["snr_db"] == pytest.approx(45, abs=2)
