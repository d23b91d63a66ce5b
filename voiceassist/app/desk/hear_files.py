"""Sound files heard outside a session."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voiceassist.app import build
from voiceassist.app.desk.understand import grammar_for
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import Judgement
from voiceassist.app.live.heard_events import decision_name
from voiceassist.doubt.evidence import Guess, Key
from voiceassist.doubt.policy import Accept
from voiceassist.doubt.same import settled
from voiceassist.errors import VoiceAssistError
from voiceassist.language.codec import to_json
from voiceassist.sound.clip import Clip

if TYPE_CHECKING:
    from voiceassist.sound.segment import SpeechDetector


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
    tell: Callable[[str], None] = lambda _: None,
) -> Iterator[dict[str, Any]]:
    """What was heard in each file, as the JSON objects of ``voiceassist hear``.

    A file with several utterances gives an object for each, a bad one an object with "error".

    Args:
        files: paths.
        expect, procedure, step: narrow the grammar, see ``grammar_for``.
        changes: settings of the command line.
        tell: gets one sentence when speech cannot be told from noise as well as it should be.
    """
    from voiceassist.recognise.detecting import speech_detector

    shop = build.Components(build.settings(changes or {}))
    grammar = grammar_for(shop, expect=expect, procedure=procedure, step=step)
    detector = speech_detector(tell)
    with closing(shop.hearing()) as hearing:
        hearing.prepare(grammar)
        for file in files:
            try:
                yield from _heard(file, hearing, detector)
            except VoiceAssistError as error:
                yield {"file": file, "listener": hearing.name, "error": str(error)}


def _heard(file: str, hearing: Hearing, detector: "SpeechDetector") -> Iterator[dict[str, Any]]:
    for stretch in _stretches(Path(file), detector):
        judgement = hearing.hear(stretch.clip)
        yield {
            "file": file,
            "listener": hearing.name,
            **stretch.where,
            **_judged(judgement),
            "audio_s": round(stretch.seconds, 3),
            "processing_s": round(hearing.seconds, 4),
        }


def _stretches(path: Path, detector: "SpeechDetector") -> list[Stretch]:
    """The utterances in a file; the whole of it when there is one, or none that can be told."""
    from voiceassist.devices.wav import read_clip
    from voiceassist.sound.resample import resampled
    from voiceassist.sound.segment import UNHURRIED, segments

    clip = read_clip(path)
    found = list(segments([clip], detector, UNHURRIED))
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


def _judged(judgement: Judgement) -> dict[str, object]:
    """Outside a session every understanding leads to a place of its own."""
    decision = judgement.decided(repr)
    only = decision.key[0] if isinstance(decision, Accept) and len(decision.key) == 1 else None
    name = decision_name(decision)
    asks = isinstance(decision, Accept) and only is None
    return {
        "decision": "ask" if asks else name,
        "meaning": to_json(only) if only else None,
        "candidates": [_candidate(guesses, judgement) for guesses in _by_meaning(judgement)],
        "reason": "" if name != "reject" else judgement.why_not,
        "snr_db": round(judgement.snr_db, 1),
    }


def _by_meaning(judgement: Judgement) -> list[list[Guess]]:
    """The guesses of each understanding together, the likeliest first."""
    found: dict[Key, list[Guess]] = {}
    for guess in judgement.guesses:
        found.setdefault(settled(guess.meanings, judgement.expectation), []).append(guess)
    return sorted(found.values(), key=lambda guesses: -(judgement.probability(guesses[0]) or 0.0))


def _candidate(guesses: Sequence[Guess], judgement: Judgement) -> dict[str, object]:
    """One understanding; ``probability`` is null where the odds of the listener are not known.

    ``also`` are other words that mean the same, which share the one probability.
    """
    best, probability = guesses[0], judgement.probability(guesses[0])
    others = dict.fromkeys(guess.words for guess in guesses if guess.words != best.words)
    return {
        "words": best.words,
        "score": round(best.score, 2),
        "probability": round(probability, 4) if probability is not None else None,
        "meaning": to_json(best.meanings[0]) if len(best.meanings) == 1 else None,
        "also": list(others),
    }
