"""What a sound check finds, line by line: for people, and as the JSON objects of ``soundcheck``."""

from dataclasses import asdict, dataclass
from typing import ClassVar, Self

from voiceassist.app.ears.judgement import Judgement
from voiceassist.devices.portaudio import SoundDevice
from voiceassist.sound.advice import Findings, Hint, SoundVerdict, Trial, advised, verdict_of
from voiceassist.sound.soundcheck import Echo

#: Softer than any sound that was ever rounded to 16 bits.
_NO_SOUND_DBFS = -200.0
_DB_A_BLOCK = 4
_QUIETEST_DB = -80


@dataclass(frozen=True, slots=True)
class SoundLine:
    """One thing that is found; as a string it is for people."""

    event: ClassVar[str]

    def to_json(self) -> dict[str, object]:
        """For programs."""
        return {"event": self.event, **asdict(self)}


@dataclass(frozen=True, slots=True)
class DeviceLine(SoundDevice, SoundLine):
    """A sound device."""

    event = "device"

    def __str__(self) -> str:
        ways = [f"{self.inputs} in"] if self.inputs else []
        ways += [f"{self.outputs} out"] if self.outputs else []
        used = ["microphone"] if self.default_input else []
        used += ["loudspeaker"] if self.default_output else []
        default = f"  (default {' and '.join(used)})" if used else ""
        return f"{self.name}: {', '.join(ways)}, {self.rate_hz} Hz{default}"


@dataclass(frozen=True, slots=True)
class MicrophoneLine(SoundLine):
    """What is listened to."""

    event = "microphone"
    name: str
    rate_hz: int

    def __str__(self) -> str:
        return f"Listening to {self.name}, {self.rate_hz} Hz"


@dataclass(frozen=True, slots=True)
class SayLine(SoundLine):
    """What the technician is asked for."""

    event = "say"
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class LevelLine(SoundLine):
    """The last half second; None for digital silence, for JSON has no infinity."""

    event = "level"
    rms_dbfs: float | None

    def __str__(self) -> str:
        over = -1.0 if self.rms_dbfs is None else self.rms_dbfs - _QUIETEST_DB
        return f"   {'#' * max(0, round(over / _DB_A_BLOCK))} {_db(self.rms_dbfs)}"


@dataclass(frozen=True, slots=True)
class NoiseLine(SoundLine):
    """The noise of the room."""

    event = "noise"
    noise_dbfs: float | None

    def __str__(self) -> str:
        return f"Noise of the room: {_db(self.noise_dbfs)}"


@dataclass(frozen=True, slots=True)
class ToneLine(SoundLine):
    """Whether the microphone hears the loudspeaker."""

    event = "tone"
    heard: bool
    level_dbfs: float | None = None
    delay_ms: int | None = None

    @classmethod
    def of(cls, echo: Echo | None) -> Self:
        """Of our tone in the microphone."""
        if echo is None:
            return cls(heard=False)
        return cls(True, rounded(echo.level_dbfs), round(echo.delay_s * 1000))

    def __str__(self) -> str:
        if not self.heard:
            return "The microphone does not hear the loudspeaker."
        return f"The microphone hears the loudspeaker: {_db(self.level_dbfs)}, {self.delay_ms} ms"


@dataclass(frozen=True, slots=True)
class PhraseLine(SoundLine):
    """A trial phrase; its levels are None when nothing was heard."""

    event = "phrase"
    wanted: str
    words: str
    understood: bool
    probability: float | None = None
    level_dbfs: float | None = None
    peak_dbfs: float | None = None
    clipped: float | None = None
    snr_db: float | None = None

    @classmethod
    def of(cls, trial: Trial, judgement: Judgement | None = None) -> Self:
        """Of a trial and how sure its words are."""
        guesses = judgement.guesses if judgement is not None else ()
        known = [judgement.probability(guess) for guess in guesses] if judgement is not None else []
        likely = max((round(each, 4) for each in known if each is not None), default=None)
        about = (trial.wanted, trial.words, trial.understood, likely)
        if (sound := trial.phrase) is None:
            return cls(*about)
        levels = rounded(sound.level_dbfs), rounded(sound.peak_dbfs)
        return cls(*about, *levels, round(sound.clipped, 5), rounded(sound.snr_db))

    def __str__(self) -> str:
        if self.level_dbfs is None:
            return f"> {self.words}  (too soft to measure)" if self.words else "> nothing"
        sure = "" if self.probability is None else f", {int(self.probability * 100)}% sure"
        good = "understood" if self.understood else "not understood"
        return (
            f"> {self.words or '(no words)'}  ({good}{sure})\n"
            f"   voice {_db(self.level_dbfs)}, peak {_db(self.peak_dbfs)},"
            f" {self.snr_db} dB above the noise"
        )


@dataclass(frozen=True, slots=True)
class SummaryLine(SoundLine):
    """The verdict, and what to change, the gravest first."""

    event = "summary"
    verdict: SoundVerdict
    advice: tuple[Hint, ...]

    @classmethod
    def of(cls, found: Findings) -> Self:
        """Of all that was measured."""
        advice = advised(found)
        return cls(verdict_of(advice), advice)

    def __str__(self) -> str:
        advice = "".join(f"\n  {each.text}" for each in self.advice)
        return f"Verdict: {self.verdict}{advice or ', nothing to change'}"


def rounded(dbfs: float) -> float | None:
    """To a tenth; None for digital silence."""
    return round(dbfs, 1) if dbfs > _NO_SOUND_DBFS else None


def _db(dbfs: float | None) -> str:
    return "silence" if dbfs is None else f"{dbfs} dB"
