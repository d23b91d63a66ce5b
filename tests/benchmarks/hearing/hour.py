"""An hour of talk and noise that is not for the assistant, through the live path of a session.

Sound is cut into phrases as the ears do it, with the detector, the patience and the early look of
a live session; each is heard at a step of a real procedure, decided on as the loop does, loose
talk and guesses included, and handed to the engine. Each phrase finds the session where the scene
began, but that it knows how many before it were not understood, and is heard though the assistant
might be speaking.
"""

import argparse
import json
import random
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchmarks.hearing.chatter import Scene, scenes
from benchmarks.hearing.collect import lines_file
from benchmarks.hearing.intervals import an_hour
from benchmarks.hearing.voices import Studio
from talk.situations import PLACES, standing_at

from voiceassist.app import build, loaded
from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.capture import EARLY_S
from voiceassist.app.ears.hearing import Hearing, holds_speech
from voiceassist.app.ears.is_complete import is_settled
from voiceassist.app.ears.judgement import decided_at
from voiceassist.app.ears.wiring import LONGEST_QUIET_S
from voiceassist.app.live.guessing import with_guess
from voiceassist.app.live.heard_events import decided_event
from voiceassist.app.settings.settings import Settings
from voiceassist.doubt.policy import Reject
from voiceassist.language.codec import to_json
from voiceassist.recognise.detecting import speech_detector
from voiceassist.recognise.ear.listener import EarListener
from voiceassist.recognise.ear.weights import read_weights
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session
from voiceassist.session.states import State
from voiceassist.sound.clip import Clip
from voiceassist.sound.frames import FRAME_S, frames
from voiceassist.sound.patience import Patience
from voiceassist.sound.segment import UNHURRIED, Segment, Segmenter

Line = dict[str, Any]
#: What became of a phrase. "taken" moves the job, "answered" gets an answer that moves nothing,
#: "guessed" gets one to a guess at loose talk, "offered" a question whether that was meant.
OUTCOMES = ("taken", "answered", "guessed", "offered", "asked", "noisy", "let pass", "not heard")
_STIRRING = ("taken", "answered", "guessed")
#: What of a session tells that the job moved.
_MOVING = ("state", "step", "stage", "finding", "ledger", "conditions", "acknowledged", "facts")
_ASKING = frozenset({State.CONFIRM, State.WHICH})
_SUFFIX = {"kept": ".hour.jsonl", "fit": ".fit-hour.jsonl"}
_EARLY_FRAMES = round(EARLY_S / FRAME_S)


class Bay:
    """Where the sound is heard."""

    def __init__(self, hearing: Hearing, situation: str) -> None:
        self._hearing = hearing
        self.situation = situation
        self._talker, self._turn = standing_at(situation)
        self._grammar = self._talker.grammar(self._turn)
        self._misses = 0
        hearing.prepare(self._grammar)

    def phrases(self, clip: Clip) -> Iterator[Line]:
        """What became of each phrase in ``clip``."""
        detector, patience = speech_detector(print), Patience(UNHURRIED.quiet_s, LONGEST_QUIET_S)
        segmenter = Segmenter(UNHURRIED)
        for frame in frames([clip]):
            segmenter.be_patient(patience.quiet_s)
            segment = segmenter.push(frame, speech=detector.is_speech(frame))
            early = segment is None and self._is_early(segmenter)
            segment = segmenter.so_far() if early else segment
            line = self._line(segment, early=early) if segment is not None else None
            if segment is not None and line is not None:
                patience.learn(segment.pause_s)
                if early:
                    segmenter.reset()
                yield line

    def _is_early(self, segmenter: Segmenter) -> bool:
        return segmenter.in_speech and round(segmenter.quiet_s / FRAME_S) == _EARLY_FRAMES

    def _line(self, segment: Segment, *, early: bool) -> Line | None:
        """What became of a phrase; None of one that may go on."""
        found = self._hearing.hear(segment.clip)
        if early and not is_settled(found, self._grammar):
            return None
        if segment.cut and isinstance(found.decided(repr), Reject):
            return {"outcome": "noisy", "heard": ""}
        if not holds_speech(found):
            return {"outcome": "not heard", "heard": ""}
        session = replace(self._turn.session, misses=self._misses)
        setup = self._talker.engine.at(session)
        decision = decided_at(found, setup, session)
        said = Utterance(
            found.words, (), found.nothing, certain=False, start_s=0, end_s=0, judgement=found
        )
        event = decided_event(said, decision)
        guesser, sound = self._talker.guesser, (found.faithful, found.wordings)
        event = with_guess(event, self._grammar, setup, session, guesser, *sound)
        outcome = self._outcome(session, event)
        if outcome in _STIRRING:
            self._misses = 0
        self._misses += outcome == "let pass"
        return {"outcome": outcome, "heard": event.words, "early": early} | {
            "meanings": [to_json(meaning) for meaning in event.meanings]
        }

    def _outcome(self, before: Session, event: Heard) -> str:
        """By what the engine does with it."""
        if not event.meanings:
            return "let pass" if event.guess is None else "offered"
        after = self._talker.engine.handle(before, event).session
        if event.doubtful or (after.state in _ASKING and after.pending != before.pending):
            return "asked"
        if event.guessed:
            return "guessed"
        moved = any(getattr(after, part) != getattr(before, part) for part in _MOVING)
        return "taken" if moved else "answered"


def tell(given: argparse.Namespace) -> None:
    """Hear what is not heard yet, and print what was taken."""
    file = lines_file(given.listener, given.weights, given.folder).with_suffix(_SUFFIX[given.of])
    known = _lines(file)
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("a", encoding="utf-8") as out:
        for line in _heard(given, known):
            out.write(json.dumps(line, ensure_ascii=False) + "\n")
            out.flush()
    print("\n".join(rows(_lines(file))))


def _heard(given: argparse.Namespace, known: list[Line]) -> Iterator[Line]:
    """A line for each scene that is not known, until all last as long as is wanted."""
    if given.listener == "ear":
        shop = build.Components(Settings())
        ear = EarListener(weights=read_weights(given.weights))
        hearing = Hearing(ear, loaded.shipped_odds(), build.alikes(shop.language))
    else:
        hearing = build.Components(Settings(listener=given.listener)).hearing()
    total_s = 0.0
    done = {line["scene"]: line for line in known}
    for one in scenes(Studio(given.folder / "spoken"), given.of):
        if total_s >= 60 * given.minutes:
            return
        total_s += one.clip.seconds
        if one.number not in done:
            yield _scene_line(one, hearing)


def _scene_line(one: Scene, hearing: Hearing) -> Line:
    situation = random.Random(f"bay {one.number}").choice(sorted(PLACES))
    bay = Bay(hearing, situation)
    return {
        "scene": one.number,
        "source": one.source,
        "level": one.level,
        "noise": one.noise,
        "place": situation,
        "words": one.words,
        "seconds": one.clip.seconds,
        "speech_s": round(one.speech_s, 1),
        "phrases": list(bay.phrases(one.clip)),
    }


def _lines(file: Path) -> list[Line]:
    text = file.read_text(encoding="utf-8") if file.exists() else ""
    return [json.loads(line) for line in text.splitlines()]


def _rate(count: int, hours: float) -> str:
    low, high = an_hour(count, hours)
    return f"{count / hours:.1f} ({low:.1f}-{high:.1f})"


def rows(of: list[Line]) -> Iterator[str]:
    """How often it stirs, a line a source, and then all that was taken."""
    rates = "taken an hour | taken, answered or guessed an hour"
    yield f"| source | minutes | of it speech | {' | '.join(OUTCOMES)} | {rates} |"
    yield "|---" * (5 + len(OUTCOMES)) + "|"
    for source in ("all", *sorted({line["source"] for line in of})):
        these = [line for line in of if source in {"all", line["source"]}]
        hours = sum(line["seconds"] for line in these) / 3600
        speech = sum(line["speech_s"] for line in these) / 60
        counts = Counter(each["outcome"] for line in these for each in line["phrases"])
        cells = " | ".join(str(counts[outcome]) for outcome in OUTCOMES)
        taken, all_ = counts["taken"], sum(counts[each] for each in _STIRRING)
        rate = f"{_rate(taken, hours)} | {_rate(all_, hours)}"
        yield f"| {source} | {60 * hours:.1f} | {speech:.1f} | {cells} | {rate} |"
    yield ""
    for line in of:
        for each in line["phrases"]:
            if each["outcome"] in _STIRRING:
                where = f"{line['source']}, {line['level']}, {line['noise']} at {line['place']}"
                said = " / ".join(line["words"])
                early = ", early" if each["early"] else ""
                yield f"- {each['outcome']}{early}: {each['heard']} ({where}); said: {said}"
