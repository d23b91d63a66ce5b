"""Has the open phrases spoken, and writes down what the ear makes of them, for ``train.py``.

Run: python -m training.talk.hear --folder FOLDER [--of "far-[qrs].tsv"]

So the guesses learn what misheard words were meant for. The voices are those of the part ``fit``
and espeak-ng's, which is in no part; each fifth of the phrases is heard with rows of words that
were made without it. With ``--of`` only some open files are heard, and the rest stays as it is.
"""

import argparse
import json
import random
import sys
from collections.abc import Iterator
from pathlib import Path

from training.talk.train import HEARD, HOUSE, labelled, of_several
from training.talk.words import rows

sys.path.insert(0, str(HOUSE / "tests"))

from benchmarks.hearing.sounds import Setting, recorded
from benchmarks.hearing.voices import Studio

from voiceassist.recognise.ear.lexicon import Lexicon
from voiceassist.recognise.ear.listener import letters_of
from voiceassist.recognise.ear.wording import wordings

_VOICES = ("flite slt", "flite rms", "espeak en-gb", "espeak en-us")
_PARTS = 5
#: Wordings with a smaller share are left out.
_SLIGHT, _MOST = 0.12, 4


def part_of(phrase: str) -> int:
    """The fifth that a phrase belongs to."""
    return random.Random(f"part {phrase}").randrange(_PARTS)


def heard(part: int, studio: Studio, files: str) -> Iterator[tuple[str, list[str]]]:
    """Each phrase of a part of some files, with what is heard of it."""
    others = (each.phrase for each in labelled() if part_of(each.phrase) != part)
    lexicon = Lexicon(rows(others))
    for phrase in dict.fromkeys(each.phrase for each, _ in of_several(files)):
        if part_of(phrase) == part:
            rng = random.Random(f"quiet {phrase}")
            voice, seed = rng.choice(_VOICES), rng.getrandbits(32)
            how = Setting(voice, "normal", "room", False, -24.0, seed)
            said = studio.spoken(phrase, how.voice, how.rate)
            clip = recorded(said, how, "fit", "quiet", studio)
            found = wordings(letters_of(clip), lexicon)[:_MOST]
            yield phrase, [words for words, share in found if share > _SLIGHT]


def main() -> None:
    """Write what is heard."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", type=Path, required=True, help="keeps the spoken phrases")
    parser.add_argument("--of", metavar="FILES", help="of these open files only")
    options = parser.parse_args()
    studio, files = Studio(options.folder), options.of or "*.tsv"
    found = json.loads(HEARD.read_text(encoding="utf-8")) if options.of else {}
    found.update(each for part in range(_PARTS) for each in heard(part, studio, files))
    HEARD.write_text(json.dumps(dict(sorted(found.items())), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
