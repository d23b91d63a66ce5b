"""What was heard, as JSON lines: one line a sound and run, added at the end and never changed.

A line holds::

    id, part, set ("phrase" or "other"), source, level, noise, echo, voice, rate, kind, step
    words, meaning       what was said; the meaning is null for other talk and noise
    seconds              of the clip
    speech_dbfs          the level the speech was put at
    level_dbfs, noise_dbfs, snr_db    as measured in the sound alone
    detected             whether the speech detector finds speech in it
    listeners            by name: {candidates: [{words, score, meanings}], none_of_these,
                         nothing, seconds, weighed: {words: score}, looked_at: [words], weigh_s}

``level`` is "quiet" or the speech above the noise in dB, as text. Scores are natural logarithms,
null for minus infinity. ``weighed`` is the second look, at what any set of listeners may have
heard; ``looked_at`` those phrases, ``weigh_s`` the seconds for each of them. A later line with the
same id may add listeners; ``read_records`` joins them, unless the sound is another one by then.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchmarks.hearing.others import Other
from benchmarks.hearing.phrases import Phrase
from benchmarks.hearing.sounds import Setting

from voiceassist.language.codec import to_json
from voiceassist.language.meanings import Meaning
from voiceassist.recognise.silero import SileroDetector
from voiceassist.sound.clip import Clip
from voiceassist.sound.noise import speech_level_of
from voiceassist.sound.segment import UNHURRIED, segments

Record = dict[str, Any]

_QUIET_S = 1.0
_SAME = ("words", "step", "level", "voice", "rate", "noise", "seconds")


@dataclass(frozen=True, slots=True)
class Guess:
    """One thing that may have been said; ``meanings`` are those of its words, likeliest first."""

    words: str
    score: float
    meanings: tuple[Meaning, ...]


@dataclass(frozen=True, slots=True)
class Hearing:
    """What a listener or a baseline made of a clip; fields as ``recognise.base.Heard`` has them."""

    name: str
    guesses: tuple[Guess, ...]
    none_of_these: float | None
    nothing: str | None
    seconds: float

    def to_json(self) -> Record:
        """As it stands in a line, under its name."""
        return {
            "candidates": [
                {
                    "words": guess.words,
                    "score": _finite(guess.score),
                    "meanings": [to_json(meaning) for meaning in guess.meanings],
                }
                for guess in self.guesses
            ],
            "none_of_these": _finite(self.none_of_these),
            "nothing": self.nothing,
            "seconds": round(self.seconds, 4),
        }


def record_of(said: Phrase | Other, how: Setting, clip: Clip) -> Record:
    """The part of a line that is known before anybody has listened."""
    level = speech_level_of(clip)
    if isinstance(said, Phrase):
        group, source, kind = "phrase", "phrase", said.kind
        meaning = to_json(said.meaning)
    else:
        group, source, kind, meaning = "other", said.source, "other", None
    return {
        "id": said.id,
        "part": said.part,
        "set": group,
        "source": source,
        "level": said.level,
        "noise": how.noise,
        "echo": how.echo,
        "voice": how.voice,
        "rate": how.rate,
        "kind": kind,
        "step": said.step,
        "words": said.words,
        "meaning": meaning,
        "seconds": round(clip.seconds, 3),
        "speech_dbfs": how.speech_dbfs,
        "level_dbfs": round(level.level_dbfs, 2),
        "noise_dbfs": round(level.noise_dbfs, 2),
        "snr_db": round(level.snr_db, 2),
        "detected": isinstance(said, Phrase) or _detected(clip),
        "listeners": {},
    }


def _detected(clip: Clip) -> bool:
    """Whether the session's speech detector would hand it to the listeners."""
    quiet = Clip.silence(_QUIET_S, clip.rate_hz)
    return any(segments([quiet + clip + quiet], SileroDetector(), UNHURRIED))


def read_records(path: Path) -> dict[str, Record]:
    """Every sound by its id, with all its listeners; empty when there is no such file.

    A line that was cut off when a run was ended is left out, so its sound is heard again.
    """
    found: dict[str, Record] = {}
    if not path.exists():
        return found
    for line in path.read_text(encoding="utf-8").splitlines():
        try:
            record: Record = json.loads(line)
        except json.JSONDecodeError:
            continue
        listeners = heard_before(found, record) | record["listeners"]
        found[record["id"]] = {**record, "listeners": listeners}
    return found


def heard_before(known: Mapping[str, Record], record: Record) -> Record:
    """What listeners have made of the same sound; none when the set has changed since.

    A change of the grammars can put another phrase under the same id.
    """
    earlier = known.get(record["id"])
    if earlier is None or any(earlier[key] != record[key] for key in _SAME):
        return {}
    listeners: Record = earlier["listeners"]
    return listeners


def add_record(path: Path, record: Mapping[str, Any]) -> None:
    """Write one line at the end, on a line of its own even after one that was cut off."""
    text = json.dumps(record, ensure_ascii=False, allow_nan=False) + "\n"
    with path.open("a+b") as file:
        if file.tell():
            file.seek(-1, 2)
            text = text if file.read(1) == b"\n" else "\n" + text
        file.write(text.encode())


def _finite(score: float | None) -> float | None:
    return None if score is None or not math.isfinite(score) else round(score, 4)
