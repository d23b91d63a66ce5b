"""Sound files heard outside a session."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voiceassist.app import build
from voiceassist.app.ears import understand
from voiceassist.app.understanding import grammar_for
from voiceassist.errors import VoiceAssistError
from voiceassist.language.codec import to_json
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Candidate, Heard
from voiceassist.sound.clip import Clip

if TYPE_CHECKING:
    from voiceassist.recognise.base import Listener


@dataclass(frozen=True, slots=True)
class Stretch:
    """One utterance of a file.

    Parts:
        clip: its sound, 16 kHz.
        seconds: how long it lasts.
        where: "start_s" and "end_s" in the file; empty when it is the whole file.
    """

    clip: Clip
    seconds: float
    where: Mapping[str, float]


def hear_files(
    files: Sequence[str],
    *,
    expect: str = "",
    procedure: str = "",
    step: str = "",
    changes: Mapping[str, object] | None = None,
) -> Iterator[dict[str, Any]]:
    """What was heard in each file, as the JSON objects of ``voiceassist hear``.

    A file with several utterances gives an object for each, a bad one an object with "error".

    Args:
        files: paths.
        expect, procedure, step: narrow the grammar, see ``grammar_for``.
        changes: settings of the command line.
    """
    shop = build.Shop(build.settings(changes or {}))
    grammar = grammar_for(shop, expect=expect, procedure=procedure, step=step)
    listener = shop.listener()
    try:
        listener.prepare(grammar)
        for file in files:
            try:
                yield from _heard(file, listener, grammar)
            except VoiceAssistError as error:
                yield {"file": file, "listener": listener.name, "error": str(error)}
    finally:
        listener.close()


def _heard(file: str, listener: "Listener", grammar: StepGrammar) -> Iterator[dict[str, Any]]:
    for stretch in _stretches(Path(file)):
        heard = listener.hear(stretch.clip)
        yield {
            "file": file,
            "listener": listener.name,
            **stretch.where,
            **_judged(heard, grammar),
            "audio_s": round(stretch.seconds, 3),
            "processing_s": round(heard.seconds, 4),
        }


def _stretches(path: Path) -> list[Stretch]:
    """The utterances in a file; the whole of it when there is one, or none that can be told."""
    from voiceassist.devices.wav import read_clip
    from voiceassist.recognise.detector import VadDetector
    from voiceassist.sound.resample import resampled
    from voiceassist.sound.segment import segments

    clip = read_clip(path)
    found = list(segments([clip], VadDetector()))
    if len(found) < 2:
        return [Stretch(resampled(clip), clip.seconds, {})]
    return [
        Stretch(
            each.clip,
            each.clip.seconds,
            {"start_s": round(each.speech_start_s, 3), "end_s": round(each.speech_end_s, 3)},
        )
        for each in found
    ]


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
