"""Short tones that tell how the assistant stands, made from numbers."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import clip_of_floats

#: Peak, in dB below full scale: gentle beside a voice, which peaks some 12 dB higher.
PEAK_DBFS = -18.0
#: How long a note takes to come and to go: a jump in level would click.
RAMP_S = 0.012


class Tone(StrEnum):
    """What a tone tells. That something was understood the answer tells, which comes at once."""

    LISTENING = "listening"
    NOT_UNDERSTOOD = "not understood"
    THINKING = "thinking"


@dataclass(frozen=True, slots=True)
class Sine:
    """One sine: ``hertz`` for ``seconds``."""

    hertz: float
    seconds: float


#: Rising asks, falling refuses. Between 440 and 1100 Hz small loudspeakers and tired ears both
#: do well. Fifths and octaves of A.
NOTES: dict[Tone, tuple[Sine, ...]] = {
    Tone.LISTENING: (Sine(659.3, 0.06), Sine(880.0, 0.07)),
    Tone.NOT_UNDERSTOOD: (Sine(659.3, 0.08), Sine(440.0, 0.12)),
    Tone.THINKING: (Sine(440.0, 0.05),),
}


def tone(kind: Tone, rate_hz: int = LISTEN_RATE_HZ) -> Clip:
    """The clip of ``kind``, each note with soft edges, one after another."""
    notes = [_note(note, rate_hz) for note in NOTES[kind]]
    return clip_of_floats(np.concatenate(notes), rate_hz)


def _note(note: Sine, rate_hz: int) -> "np.ndarray[tuple[int], np.dtype[np.float32]]":
    """A sine under a raised-cosine edge at both ends."""
    at_s = np.arange(round(note.seconds * rate_hz)) / rate_hz
    edge = np.minimum(np.minimum(at_s, at_s[::-1]) / RAMP_S, 1.0)
    envelope = 0.5 - 0.5 * np.cos(np.pi * edge)
    sine = np.sin(2 * np.pi * note.hertz * at_s) * 10 ** (PEAK_DBFS / 20)
    samples: np.ndarray[tuple[int], np.dtype[np.float32]] = (sine * envelope).astype(np.float32)
    return samples
