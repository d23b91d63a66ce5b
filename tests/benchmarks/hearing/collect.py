"""Has a labelled set of sounds heard by a listener, and keeps what was heard as JSON lines.

    python tests/benchmarks/hearing/collect.py [--listener sphinx] [--parts fit] [--count 400]

Sounds are made on the fly: speech by synthesisers, noise by numpy. Lines and what was spoken are
kept in a folder, that for temporary files if none is named. A run that was ended goes on where it
stopped; other weights of the ear are heard anew. A line holds::

    id, part, level, noise, voice, kind, step, words
    meaning              what was said; null for other talk and noise
    seconds, snr_db      of the clip, and as measured in the sound alone
    candidates           [words, score], best first; scores are natural logarithms
    rest, free, letters, spelled  as the search of the ear gives them
    network_s, search_s  time used
"""

import argparse
import hashlib
import json
import math
import sys
import tempfile
import time
from collections.abc import Iterator, Set
from itertools import chain
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from benchmarks.hearing.others import Other, others
from benchmarks.hearing.phrases import LEVELS, PARTS, Phrase, phrase, phrase_id
from benchmarks.hearing.sounds import Setting, phrase_clip
from benchmarks.hearing.steps import grammar
from benchmarks.hearing.voices import Studio

from voiceassist.language.codec import to_json
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.ear.automaton_cache import AutomatonCache
from voiceassist.recognise.ear.listener import searched
from voiceassist.recognise.ear.network import LetterNetwork
from voiceassist.recognise.ear.weights import FILE, read_weights
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import Clip
from voiceassist.sound.noise import speech_level_of
from voiceassist.sound.samples import samples_of

TEMPORARY = Path(tempfile.gettempdir()) / "voiceassist-hearing"
OTHER = "other"
HEARERS = ("ear", "sphinx")
Sound = tuple[Phrase | Other, Setting, Clip]
Line = dict[str, Any]
#: Another number when sounds are made otherwise: lines of the ones before are no use then.
_SET = 3
_TOLD_EVERY = 100


def lines_file(listener: str, weights: Path = FILE, folder: Path = TEMPORARY) -> Path:
    """Where the lines of a listener are kept, those of the ear by its weights."""
    if listener != "ear":
        return folder / f"{listener}-set{_SET}.jsonl"
    digest = hashlib.sha256(weights.read_bytes()).hexdigest()
    return folder / f"ear-{digest[:12]}-set{_SET}.jsonl"


def read_lines(file: Path, part: str) -> list[Line]:
    """The lines of a part."""
    text = file.read_text(encoding="utf-8") if file.exists() else ""
    whole = text[: text.rfind("\n") + 1].splitlines()  # a run may have been ended in a line
    return [line for line in map(json.loads, whole) if line["part"] == part]


def sounds(
    part: str, count: int, other_s: float, studio: Studio, known: Set[str] = frozenset()
) -> Iterator[Sound]:
    """The phrases of a part, all levels by turns, and then other sounds; but for those known."""
    for number in range(count):
        for level in LEVELS:
            if phrase_id(part, level, number) not in known:
                said = phrase(part, level, number)
                how, clip = phrase_clip(said, studio)
                yield said, how, clip
    for other in others(part, other_s, studio):
        yield other, other.setting, other.clip


class Ear:
    """The network and the search of the listener ear, by themselves."""

    def __init__(self, weights: Path) -> None:
        self._network, self._kept = LetterNetwork(read_weights(weights)), AutomatonCache()

    def hear(self, clip: Clip, step: StepGrammar) -> Line:
        """What they make of a clip."""
        self._kept.automaton(step)
        began = time.perf_counter()
        logs = self._network.letters(samples_of(clip).astype(np.float32) / np.float32(32_768))
        middle = time.perf_counter()
        found = searched(logs.astype(np.float64), step, self._kept)
        ended = time.perf_counter()
        return {
            "candidates": [[words, round(score, 4)] for words, score in found.phrases],
            "rest": _finite(found.rest if found.phrases else -math.inf),
            "free": round(found.free, 4),
            "letters": found.letters,
            "spelled": found.spelled,
            "network_s": round(middle - began, 4),
            "search_s": round(ended - middle, 4),
        }


class Sphinx:
    """The listener sphinx; what it gives as "none of these" stands for free letters."""

    def __init__(self) -> None:
        self._listener = choose_listener("sphinx", grammar_files("en")["pronunciations.dict"])

    def hear(self, clip: Clip, step: StepGrammar) -> Line:
        """What it makes of a clip."""
        self._listener.prepare(step)
        heard = self._listener.hear(clip)
        return {
            "candidates": [[each.words, each.score] for each in heard.candidates],
            "rest": None,
            "free": heard.none_of_these,
            "letters": int(bool(heard.candidates)),
            "network_s": round(heard.seconds, 4),
            "search_s": 0.0,
        }


def line_of(sound: Sound, hearer: Ear | Sphinx) -> Line:
    """What is known of a sound, and what was heard in it."""
    said, how, clip = sound
    what: Line
    if isinstance(said, Phrase):
        what = {"level": said.level, "kind": said.kind, "meaning": to_json(said.meaning)}
    else:
        what = {"level": OTHER, "kind": said.source, "meaning": None}
    return {
        "id": said.id,
        "part": said.part,
        **what,
        "voice": how.voice,
        "noise": how.noise,
        "step": said.step,
        "words": said.words,
        "seconds": round(clip.seconds, 3),
        "snr_db": round(speech_level_of(clip).snr_db, 2),
        **hearer.hear(clip, grammar(said.step)),
    }


def _finite(number: float) -> float | None:
    return round(number, 4) if math.isfinite(number) else None


def collect(wanted: argparse.Namespace) -> Path:
    """Hear everything that is not in the file yet; the file."""
    file = lines_file(wanted.listener, wanted.weights, wanted.folder)
    file.parent.mkdir(parents=True, exist_ok=True)
    hearer = Ear(wanted.weights) if wanted.listener == "ear" else Sphinx()
    studio = Studio(wanted.folder / "spoken")
    known = {line["id"] for part in wanted.parts for line in read_lines(file, part)}
    each = (
        sounds(part, wanted.count, wanted.other_seconds, studio, known) for part in wanted.parts
    )
    _end_line(file)
    with file.open("a", encoding="utf-8") as out:
        for number, sound in enumerate(chain.from_iterable(each), 1):
            if sound[0].id not in known:
                out.write(json.dumps(line_of(sound, hearer), ensure_ascii=False) + "\n")
                out.flush()
            if number % _TOLD_EVERY == 0:
                print(f"{number} sounds heard, the last {sound[0].id}", file=sys.stderr)
    return file


def _end_line(file: Path) -> None:
    """Take away half a line that a run left which was ended in it."""
    if file.exists():
        whole = file.read_bytes()
        file.write_bytes(whole[: whole.rfind(b"\n") + 1])


def read_options(arguments: list[str]) -> argparse.Namespace:
    """What the command line asks for; ends the program on wrong use."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--parts", nargs="+", choices=PARTS, default=PARTS)
    options.add_argument("--listener", choices=HEARERS, default="ear")
    options.add_argument("--count", type=int, default=400, help="phrases a part and level")
    options.add_argument("--other-seconds", type=float, default=1000.0, help="a part")
    options.add_argument("--weights", type=Path, default=FILE)
    options.add_argument("--folder", type=Path, default=TEMPORARY, help="keeps sounds and lines")
    return options.parse_args(arguments)


if __name__ == "__main__":
    print(collect(read_options(sys.argv[1:])))
