"""Has the labelled set heard by the network of the listener ear, and keeps what was found.

    python tests/benchmarks/hearing/ear.py [--parts fit,kept] [--count 400] [--weights FILE]

Sounds are made on the fly, as ``collect.py`` tells. A line holds what is known of the sound, the
candidates with their log probabilities, and ``total``, ``rest``, ``free`` and ``letters`` as the
search gives them. Lines are kept in the system's temporary folder under the checksum of the
weights: a run that was ended goes on where it stopped, and other weights are heard anew.
"""

import argparse
import hashlib
import json
import math
import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
import threadpoolctl
from benchmarks.hearing.others import Other, others
from benchmarks.hearing.phrases import LEVELS, PARTS, Phrase, phrase
from benchmarks.hearing.sounds import Setting, phrase_clip
from benchmarks.hearing.steps import grammar
from benchmarks.hearing.voices import Studio

from voiceassist.language.codec import to_json
from voiceassist.recognise.ear.kept import Kept
from voiceassist.recognise.ear.network import Network
from voiceassist.recognise.ear.search import Beam, search
from voiceassist.recognise.ear.weights import FILE, read_weights
from voiceassist.sound.clip import Clip
from voiceassist.sound.noise import speech_level_of
from voiceassist.sound.samples import samples_of

TEMPORARY = Path(tempfile.gettempdir()) / "voiceassist-hearing"
OTHER = "other"
Sound = tuple[Phrase | Other, Setting, Clip]
Line = dict[str, Any]


def lines_file(weights: Path) -> Path:
    """Where the lines of these weights are kept."""
    return TEMPORARY / f"ear-{hashlib.sha256(weights.read_bytes()).hexdigest()[:12]}.jsonl"


def read_lines(file: Path, part: str) -> list[Line]:
    """The lines of a part."""
    lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return [line for line in map(json.loads, lines) if line["part"] == part]


def sounds(part: str, count: int, other_s: float, studio: Studio) -> Iterator[Sound]:
    """The phrases of a part, all levels by turns, and then other sounds."""
    for number in range(count):
        for level in LEVELS:
            said = phrase(part, level, number)
            how, clip = phrase_clip(said, studio)
            yield said, how, clip
    for other in others(part, other_s, studio):
        yield other, other.setting, other.clip


def line_of(sound: Sound, network: Network, kept: Kept) -> Line:
    """What the network makes of a sound."""
    said, how, clip = sound
    automaton = kept.automaton(grammar(said.step))
    began = time.perf_counter()
    logs = network.letters(samples_of(clip).astype(np.float32) / np.float32(32_768))
    middle = time.perf_counter()
    found = search(logs.astype(np.float64), automaton, Beam())
    ended = time.perf_counter()
    what: Line
    if isinstance(said, Phrase):
        what = {"level": said.level, "kind": said.kind, "meaning": to_json(said.meaning)}
    else:
        what = {"level": OTHER, "kind": said.source, "meaning": None}
    return {
        "id": said.id,
        "part": said.part,
        **what,
        "snr": said.level,
        "voice": how.voice,
        "noise": how.noise,
        "step": said.step,
        "words": said.words,
        "seconds": round(clip.seconds, 3),
        "snr_db": round(speech_level_of(clip).snr_db, 2),
        "candidates": [[words, round(score, 4)] for words, score in found.phrases],
        "total": _finite(found.total),
        "rest": _finite(found.rest if found.phrases else -math.inf),
        "free": round(found.free, 4),
        "letters": found.letters,
        "network_s": round(middle - began, 4),
        "search_s": round(ended - middle, 4),
    }


def _finite(number: float) -> float | None:
    return round(number, 4) if math.isfinite(number) else None


def main() -> None:
    """Hear everything that is not in the file yet."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--parts", default=",".join(PARTS))
    options.add_argument("--count", type=int, default=400, help="phrases a part and level")
    options.add_argument("--other-seconds", type=float, default=1000.0, help="a part")
    options.add_argument("--weights", type=Path, default=FILE)
    given = options.parse_args()
    file = lines_file(given.weights)
    file.parent.mkdir(parents=True, exist_ok=True)
    threadpoolctl.threadpool_limits(1, user_api="blas")
    network, kept, studio = (
        Network(read_weights(given.weights)),
        Kept(),
        Studio(TEMPORARY / "spoken"),
    )
    with file.open("a", encoding="utf-8") as out:
        parts = given.parts.split(",")
        known = {line["id"] for part in parts for line in read_lines(file, part)}
        each = (sounds(part, given.count, given.other_seconds, studio) for part in parts)
        for sound in chain.from_iterable(each):
            if sound[0].id not in known:
                out.write(json.dumps(line_of(sound, network, kept), ensure_ascii=False) + "\n")
                out.flush()
    print(file)


if __name__ == "__main__":
    main()
