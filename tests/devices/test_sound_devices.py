"""Microphone and loudspeaker, on a real sound server without sound hardware."""

import ctypes.util
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Protocol

import numpy as np
import pytest

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of

HOUSE = Path(__file__).parent.parent.parent
needs_portaudio = pytest.mark.skipif(
    ctypes.util.find_library("portaudio") is None,
    reason="the package libportaudio2 is not installed",
)


class Server(Protocol):
    """What these tests use of the sound server."""

    process: subprocess.Popen[bytes]

    def run(self, program: str, timeout_s: float = 60) -> subprocess.CompletedProcess[str]:
        """Run Python text that uses it."""
        ...

    def start(self, *command: str) -> subprocess.Popen[str]:
        """Start a program that uses it."""
        ...


def tone(path: Path, seconds: float) -> None:
    """Write a 1 kHz tone."""
    at_s = np.arange(round(seconds * 48_000)) / 48_000
    write_clip(path, clip_of(8000 * np.sin(2 * np.pi * 1000 * at_s), 48_000))


def share_at_1_khz(path: Path) -> tuple[float, float]:
    """Seconds of the file in which there is sound, and the share of its power near 1 kHz."""
    clip = resampled(read_clip(path))
    samples = samples_of(clip).astype(float)
    blocks = samples[: samples.size // 160 * 160].reshape(-1, 160)
    loud_s = float(np.sum(np.abs(blocks).max(axis=1) > 200)) * 0.01
    power = np.abs(np.fft.rfft(samples)) ** 2
    hertz = np.fft.rfftfreq(samples.size, 1 / clip.rate_hz)
    near = power[(hertz > 950) & (hertz < 1050)].sum() / power.sum()
    return loud_s, float(near)


def wait_for_sound(path: Path, limit_s: float = 10) -> None:
    """Wait until the recorder has begun to write samples, not only the header."""
    due = time.monotonic() + limit_s
    while not path.exists() or path.stat().st_size < 20_000:
        assert time.monotonic() < due, "the recorder does not start"
        time.sleep(0.05)


@pytest.mark.slow
def test_the_microphone_hears_what_is_said_to_it(sound_server: Server, tmp_path: Path) -> None:
    tone(tmp_path / "said.wav", 1.0)
    heard = tmp_path / "heard.wav"
    program = f"""
import subprocess
from pathlib import Path
from voiceassist.devices.microphone import Microphone
from voiceassist.devices.wav import write_clip
from voiceassist.sound.clip import Clip
microphone = Microphone()
pcm, speaker = b"", None
for chunk in microphone.chunks():
    pcm += chunk.pcm
    if speaker is None:
        speaker = subprocess.Popen(["paplay", "-d", "mouth", {str(tmp_path / "said.wav")!r}])
    if Clip(pcm, microphone.rate_hz).seconds > 3:
        microphone.close()
microphone.close()
speaker.wait()
assert microphone.dropped_s == 0
write_clip(Path({str(heard)!r}), Clip(pcm, microphone.rate_hz))
"""
    done = sound_server.run(program)
    assert done.returncode == 0, done.stderr
    seconds, near = share_at_1_khz(heard)
    assert seconds == pytest.approx(1.0, abs=0.06)
    assert near > 0.95


@pytest.mark.slow
def test_the_loudspeaker_plays_a_clip_to_its_end(sound_server: Server, tmp_path: Path) -> None:
    tone(tmp_path / "clip.wav", 1.0)
    heard = tmp_path / "heard.wav"
    recorder = sound_server.start(
        "parecord", "-d", "speaker.monitor", "--latency-msec=50", "--file-format=wav", str(heard)
    )
    wait_for_sound(heard)
    program = f"""
import time
from pathlib import Path
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.wav import read_clip
clip = read_clip(Path({str(tmp_path / "clip.wav")!r}))
loudspeaker = Loudspeaker()
for _ in range(2):
    began = time.monotonic()
    loudspeaker.play(clip)
    assert time.monotonic() - began > clip.seconds - 0.2
loudspeaker.close()
"""
    done = sound_server.run(program)
    time.sleep(1)
    recorder.terminate()
    recorder.communicate()
    assert done.returncode == 0, done.stderr
    seconds, near = share_at_1_khz(heard)
    assert seconds == pytest.approx(2.0, abs=0.06)
    assert near > 0.9


@pytest.mark.slow
def test_stop_makes_the_loudspeaker_silent_at_once(sound_server: Server, tmp_path: Path) -> None:
    tone(tmp_path / "clip.wav", 5.0)
    program = f"""
import threading, time
from pathlib import Path
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.wav import read_clip
loudspeaker = Loudspeaker()
loudspeaker.stop()
player = threading.Thread(
    target=loudspeaker.play, args=(read_clip(Path({str(tmp_path / "clip.wav")!r})),)
)
player.start()
time.sleep(1.5)
began = time.monotonic()
loudspeaker.stop()
player.join()
print(time.monotonic() - began)
"""
    done = sound_server.run(program)
    assert done.returncode == 0, done.stderr
    assert float(done.stdout) < 0.3


@pytest.mark.slow
@pytest.mark.parametrize("part", ["microphone", "loudspeaker"])
def test_a_device_that_goes_away_is_reported(
    sound_server: Server, tmp_path: Path, part: str
) -> None:
    tone(tmp_path / "clip.wav", 20.0)
    program = f"""
import os, signal
from pathlib import Path
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.microphone import Microphone
from voiceassist.devices.wav import read_clip
from voiceassist.errors import DeviceError
import threading
def end_server():
    os.kill({sound_server.process.pid}, signal.SIGKILL)
try:
    if {part!r} == "microphone":
        for count, chunk in enumerate(Microphone().chunks()):
            if count == 5:
                end_server()
    else:
        threading.Timer(1.5, end_server).start()
        Loudspeaker().play(read_clip(Path({str(tmp_path / "clip.wav")!r})))
except DeviceError as error:
    print(error, flush=True)
os._exit(0)
"""
    done = sound_server.run(program, 30)
    assert f"the {part} went away" in done.stdout, done.stderr


@pytest.mark.slow
def test_the_devices_are_listed_with_the_default_marked(sound_server: Server) -> None:
    program = """
from voiceassist.devices.portaudio import devices
found = devices()
assert [d for d in found if d.default_input and d.inputs and d.rate_hz > 0], found
assert [d for d in found if d.default_output and d.outputs], found
"""
    done = sound_server.run(program)
    assert done.returncode == 0, done.stderr


FAILURES = """
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.microphone import Microphone
from voiceassist.errors import DeviceError
for make in (Microphone, Loudspeaker):
    for name in {names}:
        try:
            make(name)
        except DeviceError as error:
            print(error)
"""


def failures(names: list[str], **environment: str) -> list[str]:
    """What microphone and loudspeaker say when they cannot be had."""
    done = subprocess.run(
        [sys.executable, "-c", FAILURES.format(names=names)],
        env={**os.environ, "PYTHONPATH": str(HOUSE), **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


@needs_portaudio
def test_no_device_says_to_plug_one_in() -> None:
    said = failures([""])
    if not said:
        pytest.skip("this computer has sound devices")
    assert said == [
        "there is no microphone; plug one in",
        "there is no loudspeaker; plug one in",
    ]


@needs_portaudio
def test_an_unknown_name_is_named() -> None:
    said = failures(["the red one"])
    assert len(said) == 2
    assert all("'the red one'" in line for line in said)


@pytest.mark.parametrize(
    ("module", "missing"),
    [
        ("raise OSError('PortAudio library not found')", "the system library PortAudio is missing"),
        ("raise ModuleNotFoundError('no')", "the Python package sounddevice is missing"),
    ],
)
def test_a_missing_library_is_named_with_what_to_install(
    tmp_path: Path, module: str, missing: str
) -> None:
    # sounddevice fails in these two ways when it is imported.
    (tmp_path / "sounddevice.py").write_text(module)
    said = failures([""], PYTHONPATH=f"{tmp_path}{os.pathsep}{HOUSE}")
    assert len(said) == 2
    assert all(missing in line and "install the package libportaudio2" in line for line in said)
