"""``voiceassist soundcheck``: on recordings, without devices, and on a real sound server."""

import ctypes.util
import json
import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from running import call, lines

from voiceassist.app.soundcheck.check import check_file
from voiceassist.app.soundcheck.lines import SoundLine
from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import amplified, level_of
from voiceassist.sound.samples import clip_of, samples_of

if TYPE_CHECKING:
    from soundserver import SoundServer

HOUSE = Path(__file__).parents[2]
PHRASES = HOUSE / "audio_fixtures"
READING = PHRASES / "demo" / "03-battery.wav"


def noisy(clip: Clip, noise_dbfs: float) -> Clip:
    drawn = np.random.default_rng(3).standard_normal(clip.samples)
    return clip_of(samples_of(clip) + drawn * 32_768 * 10 ** (noise_dbfs / 20), clip.rate_hz)


def measured(file: Path) -> list[dict[str, Any]]:
    """The lines of a check of a recording."""
    shown: list[SoundLine] = []
    verdict = check_file(str(file), {"listener": "sphinx"}, shown.append, pytest.fail)
    found: list[dict[str, Any]] = json.loads(json.dumps([line.to_json() for line in shown]))
    assert found[-1]["verdict"] == verdict
    return found


def test_a_good_recording_is_ok() -> None:
    found = measured(READING)
    assert [line["event"] for line in found] == ["microphone", "noise", "phrase", "summary"]
    assert found[2]["words"] == "twelve point eight volts"
    assert found[2]["understood"]
    assert found[3] == {"event": "summary", "verdict": "ok", "advice": []}


@pytest.mark.parametrize(
    ("name", "about", "text"),
    [
        ("soft", "soft", "raise its input level by about"),
        ("clipped", "clipping", "It clips"),
        ("noise", "noise", "use a headset near your mouth, or --talk key"),
        ("silence", "silent", "I heard nothing"),
        ("narrow", "rate", "8000 samples a second"),
    ],
)
def test_a_bad_recording_is_told_what_is_wrong_with_it(
    tmp_path: Path, name: str, about: str, text: str
) -> None:
    quiet = Clip.silence(0.6, 16_000)
    clip = quiet + read_clip(READING) + quiet
    made = {
        "soft": lambda: amplified(clip, -27),
        "clipped": lambda: amplified(clip, 24),
        "noise": lambda: noisy(clip, -28),
        "silence": lambda: Clip.silence(2),
        "narrow": lambda: Clip(samples_of(clip)[::2].tobytes(), 8_000),
    }[name]()
    write_clip(tmp_path / "made.wav", made)
    found = measured(tmp_path / "made.wav")
    advice = {each["about"]: each["text"] for each in found[-1]["advice"]}
    assert about in advice, found
    assert text in advice[about]


def test_the_command_gives_a_line_a_finding_and_tells_by_its_exit_code(tmp_path: Path) -> None:
    write_clip(tmp_path / "quiet.wav", Clip.silence(1))
    done = call("soundcheck", "--in", str(tmp_path / "quiet.wav"), "--json", "--listener", "sphinx")
    assert done.returncode == 1, done.stderr
    assert [line["event"] for line in lines(done)] == ["microphone", "noise", "summary"]
    assert lines(done)[-1]["verdict"] == "bad"


def test_people_get_words_and_no_json() -> None:
    done = call("soundcheck", "--in", str(READING), "--listener", "sphinx")
    assert done.returncode == 0, done.stderr
    assert "> twelve point eight volts  (understood" in done.stdout
    assert "Verdict: ok, nothing to change" in done.stdout
    assert "{" not in done.stdout


@pytest.mark.parametrize("arguments", [["--json"], ["--list"]])
def test_without_a_device_it_says_to_plug_one_in(arguments: list[str]) -> None:
    if ctypes.util.find_library("portaudio") is None:
        pytest.skip("the package libportaudio2 is not installed")
    done = call("soundcheck", *arguments)
    if done.returncode != 2:
        pytest.skip("this computer has sound devices")
    assert done.stdout == ""
    assert "there is no sound device; plug a microphone or headset in" in done.stderr


def test_without_portaudio_it_says_what_to_install(tmp_path: Path) -> None:
    # sounddevice fails so when it is imported.
    (tmp_path / "sounddevice.py").write_text("raise OSError('PortAudio library not found')")
    done = call("soundcheck", PYTHONPATH=f"{tmp_path}{os.pathsep}{HOUSE}")
    assert done.returncode == 2
    assert "the system library PortAudio is missing; install the package" in done.stderr


def test_a_missing_file_is_named() -> None:
    done = call("soundcheck", "--in", "none.wav")
    assert (done.returncode, done.stdout) == (2, "")
    assert "none.wav: there is no such file" in done.stderr


SAYS = {"twelve point six volts": "r01", "affirm": "a01", "say again": "c01"}


def answered(server: "SoundServer", process: "subprocess.Popen[str]") -> list[dict[str, Any]]:
    """The lines of a check, by a technician who says what he is asked for."""
    found: list[dict[str, Any]] = []
    asked = ""
    assert process.stdout is not None
    for text in process.stdout:
        found.append(json.loads(text))
        if found[-1]["event"] == "say":
            asked = str(found[-1]["text"]).removesuffix(".").rpartition(": ")[2]
        if found[-1]["event"] == "level" and asked:  # it listens
            path = str(PHRASES / "phrases" / f"{SAYS[asked]}.wav")
            server.start("paplay", "-d", "mouth", path).communicate(timeout=20)
            asked = ""
    process.wait(20)
    return found


@pytest.mark.slow
def test_through_real_devices_it_asks_listens_measures_and_is_content(
    sound_server: "SoundServer",
) -> None:
    sound_server.environment["VOICEASSIST_RATE_WPM"] = "300"
    # The loudspeaker stands beside the microphone, so that its own questions reach it too.
    sound_server.environment["PULSE_SINK"] = "mouth"
    process = sound_server.start(sys.executable, "-m", "voiceassist", "soundcheck", "--json")
    watchdog = threading.Timer(90, process.kill)
    watchdog.start()
    try:
        found = answered(sound_server, process)
    finally:
        watchdog.cancel()
        process.kill()
        _, errors = process.communicate()
    phrases = [line for line in found if line["event"] == "phrase"]
    assert [line["words"] for line in phrases] == list(SAYS), errors
    assert all(line["understood"] for line in phrases), phrases
    spoken = [read_clip(PHRASES / "phrases" / f"{name}.wav") for name in SAYS.values()]
    for line, clip in zip(phrases, spoken, strict=True):
        # The virtual microphone gives back what was played, at the same level.
        assert line["peak_dbfs"] == pytest.approx(level_of(clip).peak_dbfs, abs=1.5)
    assert any(line["event"] == "device" and line["default_input"] for line in found)
    (tone,) = (line for line in found if line["event"] == "tone")
    assert tone["heard"]
    # The tone's own level, from its formula: peak -15 dB, a sine but for its edges.
    assert tone["level_dbfs"] == pytest.approx(-18, abs=1.5)
    assert 0 < tone["delay_ms"] < 1500
    assert "--duplex half" in found[-1]["advice"][0]["text"]
    assert found[-1]["verdict"] == "ok"
    assert process.returncode == 0
