"""A sound server of our own: what is played into "mouth" arrives at the default microphone, and
what the program plays arrives at "speaker"."""

import ctypes.util
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

HOUSE = Path(__file__).parent.parent
PLUGIN = "alsa-lib/libasound_module_pcm_pulse.so"
ALSA = """
</usr/share/alsa/alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
"""
MODULES = """
load-module module-native-protocol-unix socket={socket} auth-anonymous=1
load-module module-null-sink sink_name=mouth rate=48000
load-module module-null-sink sink_name=speaker rate=48000
load-module module-remap-source master=mouth.monitor source_name=microphone channels=1
set-default-source microphone
set-default-sink speaker
"""


@dataclass(frozen=True, slots=True)
class SoundServer:
    """A running server and the environment in which programs use it."""

    process: subprocess.Popen[bytes]
    environment: dict[str, str]

    def run(self, program: str, timeout_s: float = 60) -> subprocess.CompletedProcess[str]:
        """Run Python text that uses it."""
        return subprocess.run(
            [sys.executable, "-W", "error", "-c", program],
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=timeout_s,
            check=False,
        )

    def start(self, *command: str) -> subprocess.Popen[str]:
        """Start a program that uses it."""
        return subprocess.Popen(
            command,
            env=self.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )


@pytest.fixture
def sound_server(tmp_path: Path) -> Iterator[SoundServer]:
    """A server for one test, gone after it."""
    if shutil.which("pulseaudio") is None or shutil.which("paplay") is None:
        pytest.skip("the packages pulseaudio and pulseaudio-utils are not installed")
    if not list(Path("/usr/lib").glob(f"*/{PLUGIN}")):
        pytest.skip("the package libasound2-plugins is not installed")
    if ctypes.util.find_library("portaudio") is None:
        pytest.skip("the package libportaudio2 is not installed")
    (tmp_path / "asoundrc").write_text(ALSA)
    (tmp_path / "modules.pa").write_text(MODULES.format(socket=tmp_path / "native"))
    environment = {
        **os.environ,
        "HOME": str(tmp_path),
        "XDG_RUNTIME_DIR": str(tmp_path),
        "PULSE_RUNTIME_PATH": str(tmp_path),
        "PULSE_SERVER": f"unix:{tmp_path / 'native'}",
        "ALSA_CONFIG_PATH": str(tmp_path / "asoundrc"),
        "PYTHONPATH": str(HOUSE),
    }
    command = ["pulseaudio", "-n", "-F", str(tmp_path / "modules.pa"), "--daemonize=no"]
    command += ["--use-pid-file=no", "--exit-idle-time=-1"]
    process = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        wait_for(tmp_path / "native")
        yield SoundServer(process, environment)
    finally:
        process.kill()
        process.wait()


def wait_for(path: Path, limit_s: float = 10) -> None:
    """Wait until ``path`` is there."""
    due = time.monotonic() + limit_s
    while not path.exists():
        assert time.monotonic() < due, f"{path} did not appear"
        time.sleep(0.05)
