"""What a sound check finds, as lines: the JSON objects of ``voiceassist soundcheck``."""

from typing import Any

from voiceassist.app.ears.judgement import Judgement
from voiceassist.devices.portaudio import SoundDevice
from voiceassist.sound.advice import Findings, Trial, advised, verdict_of
from voiceassist.sound.soundcheck import Echo

Line = dict[str, Any]

#: Softer than any sound that was ever rounded to 16 bits.
_NO_SOUND_DBFS = -200.0


def device_line(device: SoundDevice) -> Line:
    """A sound device."""
    return {
        "event": "device",
        "name": device.name,
        "inputs": device.inputs,
        "outputs": device.outputs,
        "rate_hz": device.rate_hz,
        "default_input": device.default_input,
        "default_output": device.default_output,
    }


def microphone_line(name: str, rate_hz: int) -> Line:
    """What is listened to."""
    return {"event": "microphone", "name": name, "rate_hz": rate_hz}


def say_line(text: str) -> Line:
    """What the technician is asked for."""
    return {"event": "say", "text": text}


def level_line(rms_dbfs: float) -> Line:
    """The last half second; null for digital silence, for JSON has no infinity."""
    return {"event": "level", "rms_dbfs": _rounded(rms_dbfs)}


def noise_line(noise_dbfs: float) -> Line:
    """The noise of the room."""
    return {"event": "noise", "noise_dbfs": _rounded(noise_dbfs)}


def tone_line(echo: Echo | None) -> Line:
    """Whether the microphone hears the loudspeaker."""
    return {
        "event": "tone",
        "heard": echo is not None,
        "level_dbfs": _rounded(echo.level_dbfs) if echo else None,
        "delay_ms": round(echo.delay_s * 1000) if echo else None,
    }


def phrase_line(trial: Trial, judgement: Judgement | None) -> Line:
    """A trial phrase; its levels are null when nothing was heard."""
    sound = trial.phrase
    guesses = judgement.guesses if judgement is not None else ()
    known = [judgement.probability(guess) for guess in guesses] if judgement is not None else []
    likely = max((each for each in known if each is not None), default=None)
    return {
        "event": "phrase",
        "wanted": trial.wanted,
        "words": trial.words,
        "understood": trial.understood,
        "probability": round(likely, 4) if likely is not None else None,
        "level_dbfs": _rounded(sound.level_dbfs) if sound else None,
        "peak_dbfs": _rounded(sound.peak_dbfs) if sound else None,
        "clipped": round(sound.clipped, 5) if sound else None,
        "snr_db": _rounded(sound.snr_db) if sound else None,
    }


def summary_line(found: Findings) -> Line:
    """The verdict, and what to change, the gravest first."""
    advice = advised(found)
    return {
        "event": "summary",
        "verdict": verdict_of(advice).value,
        "advice": [
            {"about": each.about, "weight": each.weight.value, "text": each.text} for each in advice
        ],
    }


def _rounded(dbfs: float) -> float | None:
    return round(dbfs, 1) if dbfs > _NO_SOUND_DBFS else None
