"""Phrases and sound files understood outside a session."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from voiceassist.app import build
from voiceassist.app.ears import understand
from voiceassist.errors import SettingsError
from voiceassist.language.codec import to_json
from voiceassist.language.expectation import Expectation
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import base_unit
from voiceassist.recognise.base import Candidate, Heard
from voiceassist.session.expect import of_step


def grammar_for(
    shop: build.Shop, *, expect: str = "", procedure: str = "", step: str = ""
) -> StepGrammar:
    """The grammar of a quantity, of a procedure's step, or of everything.

    Raises:
        VoiceAssistError: no such quantity, procedure or step.
    """
    return shop.language.compose(_expectation(expect, procedure, step))


def _expectation(expect: str, procedure: str, step: str) -> Expectation:
    if bool(procedure) != bool(step):
        raise SettingsError("--procedure and --step go together", remedy="give both")
    if procedure:
        found, _ = build.procedure(procedure)
        names = [*found.steps, *found.repairs]
        if step not in names:
            raise SettingsError(
                f"there is no step {step!r} in it", place=procedure, remedy=", ".join(names)
            )
        return of_step(found.step(step))
    if expect:
        return Expectation(quantities=(expect,), unit=base_unit(expect))
    return Expectation.anything()


def understand_words(
    words: str, *, expect: str = "", procedure: str = "", step: str = "", language: str = ""
) -> dict[str, Any]:
    """What ``words`` mean, as the JSON object of ``voiceassist understand``."""
    shop = build.Shop(build.settings({"language": language} if language else {}))
    grammar = grammar_for(shop, expect=expect, procedure=procedure, step=step)
    understood = grammar.parse(words)
    return {
        "text": understood.text,
        "meanings": [to_json(meaning) for meaning in understood.meanings],
        "ambiguous": understood.ambiguous,
        "reason": understood.reason,
    }


def hear_files(
    files: Sequence[str],
    *,
    expect: str = "",
    procedure: str = "",
    step: str = "",
    language: str = "",
    listener: str = "",
) -> Iterator[dict[str, Any]]:
    """What was heard in each file, as the JSON objects of ``voiceassist hear``."""
    from voiceassist.devices.wav import read_clip
    from voiceassist.sound.resample import resampled

    changes = {"language": language, "listener": listener}
    shop = build.Shop(build.settings({name: value for name, value in changes.items() if value}))
    grammar = grammar_for(shop, expect=expect, procedure=procedure, step=step)
    ears = shop.listener()
    ears.prepare(grammar)
    for file in files:
        clip = read_clip(Path(file))
        heard = ears.hear(resampled(clip))
        yield {"file": file, "listener": ears.name, **_judged(heard, grammar)} | {
            "audio_s": round(clip.seconds, 3),
            "processing_s": round(heard.seconds, 4),
        }


def _judged(heard: Heard, grammar: StepGrammar) -> dict[str, object]:
    understood = understand(heard, grammar)
    only = understood.meanings[0] if len(understood.meanings) == 1 else None
    return {
        "decision": _decision(len(understood.meanings)),
        "meaning": to_json(only) if only else None,
        "candidates": [_candidate(candidate, grammar) for candidate in heard.candidates],
        "none_of_these": heard.none_of_these,
        "reason": understood.reason,
    }


def _decision(meanings: int) -> str:
    return {0: "reject", 1: "accept"}.get(meanings, "ask")


def _candidate(candidate: Candidate, grammar: StepGrammar) -> dict[str, object]:
    """``probability`` is null: scores of this listener are not calibrated."""
    meanings = grammar.parse(candidate.words).meanings
    return {
        "words": candidate.words,
        "score": round(candidate.score, 2),
        "probability": None,
        "meaning": to_json(meanings[0]) if len(meanings) == 1 else None,
    }
