"""From what was measured at a microphone to what to change about it, in plain words. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from voiceassist.sound.clip import LISTEN_RATE_HZ
from voiceassist.sound.soundcheck import Echo, MeasuredPhrase

#: A voice at its best: leaves 26 dB to full scale, the nominal active speech level of telephone
#: measurements (ITU-T P.830, from memory).
GOOD_DBFS = -26.0
#: Between these a voice needs no change (common practice, no source).
SOFT_DBFS, LOUD_DBFS = -38.0, -12.0
#: So soft that speech detectors begin to take it for quiet.
LOST_DBFS = -50.0
#: Speech detectors and listeners take a few cut samples; more sound rough.
SOME_CLIPPED, MUCH_CLIPPED = 0.0005, 0.01
#: Below the first the assistant asks more often, below the second it hardly understands (from
#: this project's own measurements of its listeners in noise).
NOISY_DB, HOPELESS_DB = 15.0, 5.0


class SoundVerdict(StrEnum):
    """What it all comes to."""

    OK = "ok"
    USABLE = "usable"
    BAD = "bad"


_GRAVITY = (SoundVerdict.OK, SoundVerdict.USABLE, SoundVerdict.BAD)


@dataclass(frozen=True, slots=True)
class Trial:
    """One trial phrase.

    Parts:
        wanted: words that were asked for; empty when any would do.
        words: words that were heard; empty for none.
        understood: the listener took them for what was meant.
        phrase: its levels; None when nothing was heard at all.
    """

    wanted: str
    words: str
    understood: bool
    phrase: MeasuredPhrase | None


@dataclass(frozen=True, slots=True)
class Findings:
    """All that was measured.

    Parts:
        rate_hz: the microphone's own rate.
        noise_dbfs: of the room.
        trials: the phrases; empty when none was asked for.
        echo: our tone in the microphone; None when it was not in it.
        echo_tried: a tone was played at all.
        speaker_failed: the loudspeaker went away meanwhile.
    """

    rate_hz: int
    noise_dbfs: float
    trials: tuple[Trial, ...] = ()
    echo: Echo | None = None
    echo_tried: bool = False
    speaker_failed: bool = False


@dataclass(frozen=True, slots=True)
class Hint:
    """Something to know or to change.

    Parts:
        about: a fixed word for programs: "rate", "silent", "soft", "loud", "clipping", "noise",
            "recognition" or "loudspeaker".
        weight: how bad it is; OK for what needs no change.
        text: in plain words.
    """

    about: str
    weight: SoundVerdict
    text: str


def advised(found: Findings) -> tuple[Hint, ...]:
    """What to change, the gravest first."""
    voices = [trial.phrase for trial in found.trials if trial.phrase is not None]
    parts = [*_rate(found.rate_hz), *_silence(found, voices)]
    if voices:
        parts += [*_clipping(voices), *_level(voices), *_noise(voices), *_recognition(found.trials)]
    parts += _loudspeaker(found)
    return tuple(sorted(parts, key=lambda part: -_GRAVITY.index(part.weight)))


def verdict_of(advice: Sequence[Hint]) -> SoundVerdict:
    """The gravest of all."""
    return max((part.weight for part in advice), key=_GRAVITY.index, default=SoundVerdict.OK)


def _rate(rate_hz: int) -> Iterator[Hint]:
    if rate_hz < LISTEN_RATE_HZ:
        yield Hint(
            "rate",
            SoundVerdict.USABLE,
            f"The microphone gives {rate_hz} samples a second, which leaves out half of what"
            f" tells words apart: choose a device or mode with {LISTEN_RATE_HZ} or more (a"
            " wireless headset may have a wideband mode).",
        )


def _silence(found: Findings, voices: Sequence[MeasuredPhrase]) -> Iterator[Hint]:
    if not found.trials:
        return
    if not voices:
        yield Hint(
            "silent",
            SoundVerdict.BAD,
            "I heard nothing: check that the microphone is plugged in, switched on and not muted,"
            " and that it is the one you speak into.",
        )
    elif len(voices) < len(found.trials):
        missed = len(found.trials) - len(voices)
        yield Hint(
            "silent",
            SoundVerdict.USABLE,
            f"I did not hear {missed} of {len(found.trials)} phrases: begin when I have finished"
            " and speak as loud as you would at work.",
        )


def _clipping(voices: Sequence[MeasuredPhrase]) -> Iterator[Hint]:
    worst = max(voice.clipped for voice in voices)
    if worst > SOME_CLIPPED:
        weight = SoundVerdict.BAD if worst > MUCH_CLIPPED else SoundVerdict.USABLE
        yield Hint(
            "clipping",
            weight,
            f"It clips ({worst * 100:.1f} % of the samples are cut off): lower the input level by"
            " about 12 dB, or move the microphone away from your mouth.",
        )


def _level(voices: Sequence[MeasuredPhrase]) -> Iterator[Hint]:
    level = _middle([voice.level_dbfs for voice in voices])
    change = round(abs(GOOD_DBFS - level))
    if level < SOFT_DBFS:
        yield Hint(
            "soft",
            SoundVerdict.BAD if level < LOST_DBFS else SoundVerdict.USABLE,
            f"Too quiet ({level:.0f} dB of full scale): move the microphone closer or raise its"
            f" input level by about {change} dB.",
        )
    elif level > LOUD_DBFS:
        yield Hint(
            "loud",
            SoundVerdict.USABLE,
            f"Too loud ({level:.0f} dB of full scale): lower the input level by about {change} dB.",
        )


def _noise(voices: Sequence[MeasuredPhrase]) -> Iterator[Hint]:
    gap = _middle([voice.snr_db for voice in voices])
    if gap < NOISY_DB:
        yield Hint(
            "noise",
            SoundVerdict.BAD if gap < HOPELESS_DB else SoundVerdict.USABLE,
            f"The noise is only {gap:.0f} dB below your voice: use a headset near your mouth, or"
            " --talk key.",
        )


def _recognition(trials: Sequence[Trial]) -> Iterator[Hint]:
    right = sum(trial.understood for trial in trials)
    if right < len(trials):
        weight = SoundVerdict.BAD if right * 2 < len(trials) else SoundVerdict.USABLE
        yield Hint(
            "recognition",
            weight,
            f"{right} of {len(trials)} phrases were understood: mend what else is told here"
            " first, then try another --listener.",
        )


def _loudspeaker(found: Findings) -> Iterator[Hint]:
    if found.speaker_failed:
        text = "The loudspeaker stopped meanwhile: plug it in again, or close what else uses it."
        yield Hint("loudspeaker", SoundVerdict.USABLE, text)
        return
    if not found.echo_tried:
        return
    if found.echo is None:
        text = (
            "The microphone does not hear the loudspeaker: you may cut in while I speak, with"
            " --duplex full."
        )
    else:
        text = (
            f"The microphone hears the loudspeaker, at {found.echo.level_dbfs:.0f} dB of full"
            f" scale and {found.echo.delay_s * 1000:.0f} ms late: let me finish before you speak"
            " (--duplex half, the default), or use a headset."
        )
    yield Hint("loudspeaker", SoundVerdict.OK, text)


def _middle(values: Sequence[float]) -> float:
    """The median, the lower one of two."""
    return sorted(values)[(len(values) - 1) // 2]
