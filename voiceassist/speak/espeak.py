"""The espeak-ng voice: a child process that turns text on its standard input into samples."""

import struct

from voiceassist.errors import SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.speak.child_voice import ChildVoice, one_line

TIMEOUT_S = 5.0
_PROGRAM = "espeak-ng"
_MISSING = "install the package espeak-ng"
_AMPLITUDE = 100  # espeak-ng's own, of 0 to 200
_HEADER_BYTES = 44


class EspeakVoice(ChildVoice):
    """Speaks with espeak-ng.

    Args:
        voice: a voice that ``espeak-ng --voices`` lists, or a language like "en-us".
        rate_wpm: words a minute.
        volume: in percent of the engine's own, 30 to 200.
        program: the program to run.

    Raises:
        SpeakError: the rate or the volume is out of range.
    """

    name = "espeak"

    def __init__(
        self,
        voice: str = "en-us",
        rate_wpm: int = 160,
        volume: int = 100,
        *,
        program: str = _PROGRAM,
    ) -> None:
        super().__init__(rate_wpm, volume)
        self._voice = voice
        self._program = program

    def synthesise(self, sentence: str) -> Clip:
        """The whole sentence as sound, at espeak-ng's own rate (22 050 Hz).

        An empty clip when there is nothing to say or it was cancelled.

        Raises:
            SpeakError: espeak-ng is missing, does not know the voice, failed, or took over 5 s.
        """
        # Double square brackets would make espeak-ng read phoneme names.
        text = one_line(sentence).replace("[[", "[ [")
        if not text:
            return Clip(b"")
        done = self._child.run(self._command(), text.encode(), TIMEOUT_S, _MISSING)
        if done.cancelled:
            return Clip(b"")
        if done.status:
            raise SpeakError(
                f"espeak-ng cannot speak as {self._voice!r}: {done.complaint or 'no reason given'}",
                remedy="choose a voice that espeak-ng --voices lists",
            )
        return clip_of_stream(done.output)

    def _command(self) -> list[str]:
        amplitude = round(_AMPLITUDE * self._pace.loudness)
        return [
            self._program,
            *("--stdin", "--stdout"),
            *("-v", self._voice),
            *("-s", str(self._pace.rate_wpm)),
            *("-a", str(amplitude)),
        ]


def clip_of_stream(output: bytes) -> Clip:
    """The sound in a WAV that was written to a pipe.

    Its header was written before the length was known, so the bytes that came are counted instead.

    Raises:
        SpeakError: it is not a 16-bit mono WAV of the plain kind.
    """
    if not output:
        return Clip(b"")
    if len(output) < _HEADER_BYTES or output[:4] != b"RIFF" or output[36:40] != b"data":
        raise SpeakError(
            "espeak-ng gave no WAV sound", remedy="install the package espeak-ng again"
        )
    channels, rate_hz = struct.unpack_from("<HI", output, 22)
    (bits,) = struct.unpack_from("<H", output, 34)
    if (channels, bits) != (1, 16):
        raise SpeakError(f"espeak-ng gave {channels} channels of {bits} bits, not 1 of 16")
    pcm = output[_HEADER_BYTES:]
    return Clip(pcm[: len(pcm) // 2 * 2], rate_hz)
