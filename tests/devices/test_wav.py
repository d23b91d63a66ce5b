"""Sound files."""

import stat
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import samples_of


@given(
    samples=st.lists(st.integers(-32_768, 32_767), min_size=1), rate_hz=st.integers(4_000, 192_000)
)
def test_what_is_written_is_read_back(
    tmp_path_factory: pytest.TempPathFactory, samples: list[int], rate_hz: int
) -> None:
    clip = Clip(np.array(samples, "<i2").tobytes(), rate_hz)
    path = tmp_path_factory.getbasetemp() / "round.wav"
    write_clip(path, clip)
    assert read_clip(path) == clip


def test_the_standard_library_reads_what_is_written(tmp_path: Path) -> None:
    write_clip(tmp_path / "x.wav", Clip(b"\x01\x00\xff\x7f", 22_050))
    with wave.open(str(tmp_path / "x.wav")) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 22_050)
        assert file.readframes(10) == b"\x01\x00\xff\x7f"


def test_what_is_written_is_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "answers.wav"
    write_clip(path, Clip(b"\0\0" * 16, 16000))
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.parametrize("name", ["x.wav", "x.flac"])
@pytest.mark.parametrize("rate_hz", [8000, 44_100, 48_000])
def test_stereo_is_averaged_at_the_files_own_rate(tmp_path: Path, name: str, rate_hz: int) -> None:
    both = np.array([[1000, 3000], [-200, -400]], np.int16)
    soundfile.write(tmp_path / name, both, rate_hz)
    clip = read_clip(tmp_path / name)
    assert clip.rate_hz == rate_hz
    assert list(samples_of(clip)) == [2000, -300]


@pytest.mark.parametrize("subtype", ["PCM_24", "PCM_32", "FLOAT", "PCM_U8"])
def test_other_sample_formats_come_out_on_the_same_scale(tmp_path: Path, subtype: str) -> None:
    half = np.full(100, 0.5)
    soundfile.write(tmp_path / "x.wav", half, 16_000, subtype=subtype)
    assert samples_of(read_clip(tmp_path / "x.wav")) == pytest.approx(16_384, abs=130)


def write_text(path: Path) -> None:
    path.write_text("twelve point six volts")


def write_nothing(path: Path) -> None:
    path.touch()


def write_header_only(path: Path) -> None:
    soundfile.write(path, np.zeros(0, np.int16), 16_000)


def write_folder(path: Path) -> None:
    path.mkdir()


def write_none(path: Path) -> None:
    del path


@pytest.mark.parametrize(
    ("make", "found"),
    [
        (write_none, "there is no such file"),
        (write_folder, "this is a folder"),
        (write_text, "this is not a sound file"),
        (write_nothing, "this is not a sound file"),
        (write_header_only, "there is no sound in it"),
    ],
)
def test_a_file_that_cannot_be_used_is_named_with_what_is_wrong(
    tmp_path: Path, make: object, found: str
) -> None:
    path = tmp_path / "x.wav"
    assert callable(make)
    make(path)
    with pytest.raises(DeviceError) as caught:
        read_clip(path)
    assert caught.value.found == found
    assert caught.value.place == str(path)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)


def test_writing_into_a_folder_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="no such folder"):
        write_clip(tmp_path / "none" / "x.wav", Clip.silence(0.1))


def test_writing_over_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="cannot be written"):
        write_clip(tmp_path, Clip.silence(0.1))


def test_a_path_that_the_system_will_not_even_look_at_is_named(tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match="it cannot be read: File name too long"):
        read_clip(tmp_path / ("x" * 300))
    with pytest.raises(DeviceError, match="it cannot be written: File name too long"):
        write_clip(tmp_path / ("x" * 300) / "x.wav", Clip.silence(0.1))


@pytest.mark.parametrize("bad", [np.nan, np.inf])
def test_samples_that_are_no_numbers_are_refused(tmp_path: Path, bad: float) -> None:
    path = tmp_path / "bad.wav"
    soundfile.write(path, np.array([0.0, bad, 0.1]), 16000, subtype="FLOAT")
    with pytest.raises(DeviceError, match="not numbers"):
        read_clip(path)
