"""The sound library started afresh, when its sound server comes back late."""

import pytest

from voiceassist.devices import portaudio
from voiceassist.errors import DeviceError


class Library:
    """sounddevice as far as it starts and ends PortAudio, on a server that refuses for a while."""

    class PortAudioError(Exception):
        """Its own error."""

    def __init__(self, refusals: int) -> None:
        self._refusals = refusals
        self._initialized = 1

    def _terminate(self) -> None:
        if not self._initialized:
            raise self.PortAudioError("PortAudio not initialized")
        self._initialized -= 1

    def _initialize(self) -> None:
        self._refusals -= 1
        if self._refusals >= 0:
            raise self.PortAudioError("Error initializing PortAudio")
        self._initialized += 1


def test_a_sound_server_that_refuses_at_first_is_used_when_it_is_there(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    library = Library(refusals=2)
    monkeypatch.setattr(portaudio, "sounddevice", lambda: library)
    monkeypatch.setattr(portaudio, "_streams", [])
    for _ in range(2):
        with pytest.raises(DeviceError, match="Error initializing PortAudio"):
            portaudio.start_afresh(0.0)
    portaudio.start_afresh(0.0)
    assert library._initialized == 1
