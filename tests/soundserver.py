"""A sound server of our own: what is played into "mouth" arrives at the default microphone, and
what the program plays arrives at "speaker", whose monitor can be recorded."""

import ctypes.util
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

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
#: Of what the monitor of the loudspeaker is recorded as.
RATE_HZ = 16_000


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

    def again(self) -> "SoundServer":
        """Another server in the place of this one, once this one was killed."""
        home = Path(self.environment["XDG_RUNTIME_DIR"])
        (home / "native").unlink(missing_ok=True)
        return _served(home, self.environment)

    def say(self, sound: Path) -> None:
        """Play a sound file into the microphone, to its end."""
        self.start("paplay", "-d", "mouth", str(sound)).communicate(timeout=60)

    def control(self, *command: str) -> str:
        """What ``pactl`` answers to a command."""
        done = subprocess.run(
            ["pactl", *command],
            env=self.environment, capture_output=True, text=True, timeout=20, check=True,
        )  # fmt: skip
        return done.stdout.strip()

    def recorder(self) -> subprocess.Popen[bytes]:
        """Records the loudspeaker to its standard output: 16-bit mono at ``RATE_HZ``."""
        return subprocess.Popen(
            ["parec", "-d", "speaker.monitor", "--raw", "--format=s16le", "--channels=1",
             f"--rate={RATE_HZ}", "--latency-msec=20"],
            env=self.environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip


def lacking() -> str:
    """What is not installed that a server of our own needs; empty when nothing."""
    if shutil.which("pulseaudio") is None or shutil.which("paplay") is None:
        return "the packages pulseaudio and pulseaudio-utils are not installed"
    if not list(Path("/usr/lib").glob(f"*/{PLUGIN}")):
        return "the package libasound2-plugins is not installed"
    if ctypes.util.find_library("portaudio") is None:
        return "the package libportaudio2 is not installed"
    return ""


@contextmanager
def serving(folder: Path | None = None) -> Iterator[SoundServer]:
    """A server with its files in ``folder``, gone at the end."""
    with tempfile.TemporaryDirectory(prefix="sound-") as made:
        home = folder or Path(made)
        environment = _prepared(home)
        server = _served(home, environment)
        try:
            yield server
        finally:
            server.process.kill()
            server.process.wait()


def _served(home: Path, environment: dict[str, str]) -> SoundServer:
    command = ["pulseaudio", "-n", "-F", str(home / "modules.pa"), "--daemonize=no"]
    command += ["--use-pid-file=no", "--exit-idle-time=-1"]
    process = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        wait_for(home / "native")
    except BaseException:
        process.kill()
        process.wait()
        raise
    return SoundServer(process, environment)


def _prepared(home: Path) -> dict[str, str]:
    (home / "asoundrc").write_text(ALSA)
    (home / "modules.pa").write_text(MODULES.format(socket=home / "native"))
    return {
        **os.environ,
        "HOME": str(home),
        "XDG_RUNTIME_DIR": str(home),
        "PULSE_RUNTIME_PATH": str(home),
        "PULSE_SERVER": f"unix:{home / 'native'}",
        "ALSA_CONFIG_PATH": str(home / "asoundrc"),
        "PYTHONPATH": str(HOUSE),
    }


def wait_for(path: Path, limit_s: float = 10) -> None:
    """Wait until ``path`` is there."""
    due = time.monotonic() + limit_s
    while not path.exists():
        assert time.monotonic() < due, f"{path} did not appear"
        time.sleep(0.05)
