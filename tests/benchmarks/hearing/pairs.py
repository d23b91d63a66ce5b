"""Which words the ear takes for each other, and what foretells it: ``pairs.py [--letters FILE]``.

Words of two answers that a procedure could have, said by two flite voices in quiet and in noise;
heard where only the two can be said. A pair counts as confused when the wrong one comes first in
two of twelve or more. Then how well the distance of phones foretells it, which ``voiceassist
check`` warns by, and that of letters, with costs that ``python -m training confusions`` measured.
The pairs were written down before any was heard; nothing is fitted on them.
"""

import argparse
import json
import random
import sys
import tempfile
from collections.abc import Iterator, Mapping
from itertools import permutations
from math import inf
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from benchmarks.hearing.sounds import VOICES, Setting, recorded
from benchmarks.hearing.voices import Studio

from voiceassist.language.language import Language
from voiceassist.prove.phones import apart
from voiceassist.prove.words import NEAR, Ear
from voiceassist.recognise.dictionary import Dictionary
from voiceassist.recognise.ear.automaton import automaton_of
from voiceassist.recognise.ear.network import LetterNetwork
from voiceassist.recognise.ear.search import Beam, search
from voiceassist.recognise.ear.weights import FILE, SHA256, read_weights
from voiceassist.recognise.graph import WordGraph
from voiceassist.resources import grammar_files
from voiceassist.sound.samples import samples_of

PAIRS = """
loose/lose loose/lost worn/warm worn/torn left/lift hot/not bent/burnt bent/dent cracked/cracks
clean/green clean/clear dirty/thirty dry/dried wet/red rough/rusty rusty/dusty tight/light
tight/right free/three seized/sealed seized/ceased stuck/struck stiff/still moves/loose hums/hum
clicks/click squeals/squeaks grinding/binding leaking/peeling melted/belted swollen/stolen
blue/brown brown/burnt black/slack slack/slick pink/pin grey/green fast/last slow/low high/dry
low/no on/off on/one off/soft yes/no yes/less warm/cold cold/old flat/fat pitted/fitted
fitted/missing chafed/chased pinched/punched cut/shut open/broken closed/clothes closed/close
shorted/sorted sooty/suited burnt/turned turns/burns whine/wine brake/break tail/tale bare/bear
steel/steal plane/plain rattles/battles drags/drugs smooth/moves even/uneven normal/formal
steady/ready faded/jaded corroded/eroded connected/corrected disconnected/connected
present/pleasant white/wide bulb/bold beep/beeps full/pull rear/near upper/copper lower/slower
"""
LEVELS = ("quiet", "20", "10")
#: So often of twelve the wrong one.
CONFUSED = 2
Pair = tuple[str, str]
Costs = Mapping[str, Mapping[str, Mapping[str, float]]]
_UNKNOWN = 30.0


def pairs() -> list[Pair]:
    """The pairs, in order."""
    return [(one, other) for one, _, other in (each.partition("/") for each in PAIRS.split())]


class Room:
    """Where words are said and heard."""

    def __init__(self, folder: Path) -> None:
        self._studio, self._network = Studio(folder), LetterNetwork(read_weights(FILE, SHA256))

    def wrong(self, pair: Pair) -> int:
        """How often of twelve the wrong one came first."""
        automaton = automaton_of(WordGraph(({pair[0]: 1, pair[1]: 2}, {}, {}), frozenset({1, 2})))
        count = 0
        for said, _ in permutations(pair):
            for logs in self._sounds(said):
                found = search(logs, automaton, Beam(share=0.0))
                count += not found.phrases or found.phrases[0][0] != said
        return count

    def _sounds(self, word: str) -> Iterator[np.ndarray]:
        for voice in VOICES["fit"]:
            for level in LEVELS:
                rng = random.Random(f"{word}{voice}{level}")
                noise = "room" if level == "quiet" else "pink"
                rate, seed = rng.choice(("normal", "fast")), rng.getrandbits(32)
                how = Setting(voice, rate, noise, False, -24.0, seed)
                speech = self._studio.spoken(word, voice, rate)
                clip = recorded(speech, how, "fit", level, self._studio)
                sound = samples_of(clip).astype(np.float32) / np.float32(32_768)
                yield self._network.letters(sound).astype(np.float64)


def by_phones() -> dict[Pair, float]:
    """How far apart the pairs are as ``voiceassist check`` counts it."""
    files = grammar_files("en")
    ear = Ear(Language.load(files).say, Dictionary(files["pronunciations.dict"]))
    return {(a, b): apart(ear.phones(a), ear.phones(b)) for a, b in pairs()}


def by_letters(costs: Costs) -> dict[Pair, float]:
    """The cheapest way from one spelling to the other, whichever was said."""
    return {(a, b): min(_edits(a, b, costs), _edits(b, a, costs)) for a, b in pairs()}


def _edits(said: str, taken: str, costs: Costs) -> float:
    added: Mapping[str, float] = costs["added"]  # type: ignore[assignment]
    row = [0.0]
    for letter in taken:
        row.append(row[-1] + added.get(letter, _UNKNOWN))
    for mine in said:
        others = costs["taken"].get(mine, {})
        lost = others.get("_", _UNKNOWN)
        above, row = row, [row[0] + lost]
        for place, letter in enumerate(taken):
            change = 0.0 if mine == letter else others.get(letter, _UNKNOWN)
            insert = row[place] + added.get(letter, _UNKNOWN)
            row.append(min(above[place] + change, above[place + 1] + lost, insert))
    return row[-1]


def told(name: str, far: Mapping[Pair, float], wrong: Mapping[Pair, int], near: float) -> None:
    """How well being nearer than ``near`` foretells confusion, and the order of all pairs."""
    confused = {pair for pair in far if wrong[pair] >= CONFUSED}
    flagged = {pair for pair in far if far[pair] <= near}
    hits, share = 0, 0.0
    for rank, pair in enumerate(sorted(far, key=lambda each: far[each]), 1):
        hits += pair in confused
        share += hits / rank if pair in confused else 0.0
    both = len(flagged & confused)
    print(
        f"{name}: average precision {share / len(confused):.2f}; at {near:.2f} or nearer "
        f"{len(flagged)} of {len(far)}, precision {both / max(len(flagged), 1):.2f}, "
        f"recall {both / len(confused):.2f}"
    )


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--letters", type=Path, help="a table of costs")
    options.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "voices")
    given = options.parse_args()
    room = Room(given.folder)
    wrong = {pair: room.wrong(pair) for pair in pairs()}
    confused = sum(count >= CONFUSED for count in wrong.values())
    print(f"{confused} of {len(wrong)} pairs are confused")
    phones = by_phones()
    told("phones", phones, wrong, NEAR)
    if given.letters is not None:
        letters = by_letters(json.loads(given.letters.read_text(encoding="utf-8")))
        flagged = sum(far <= NEAR for far in phones.values())
        as_many = sorted(letters.values())[flagged - 1] if flagged else -inf
        told("letters, as many", letters, wrong, as_many)


if __name__ == "__main__":
    main()
