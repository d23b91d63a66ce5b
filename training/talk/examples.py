"""Writes what the network of guesses learns. Run: python -m training.talk.examples FILE

The same that ``train.py`` learns, but of a phrase that may be for several things each of them.
With ``--of "far-[qrs].tsv"`` only the phrases of these open files, and what is heard of them.
"""

import argparse
import json
from collections.abc import Iterator, Sequence
from pathlib import Path

from training.talk.train import HEARD, Labelled, labelled, made, of_several
from voiceassist.language.words import cut

#: What is misheard, or made of the grammar, counts for less than what people wrote.
_LESS = 0.5
_Row = tuple[str, Sequence[str], str, float]


def examples() -> Iterator[_Row]:
    """Words, intents, place and how much it counts."""
    people = [*said(), *(_of_one(each, 1.0) for each in labelled() if not each.where)]
    meant = {intent for _, intents, _, _ in people for intent in intents}
    yield from people
    yield from (_of_one(each, _LESS) for each in made() if each.intent in meant)


def said(files: str = "*.tsv") -> Iterator[_Row]:
    """The same of what people said, or of some files of it."""
    heard = json.loads(HEARD.read_text(encoding="utf-8"))
    for each, intents in of_several(files):
        yield _plain(each.phrase), intents, each.where, 1.0
        others = (words for words in heard.get(each.phrase, ()) if words != each.phrase)
        yield from ((_plain(words), intents, each.where, _LESS) for words in others)


def _of_one(each: Labelled, count: float) -> _Row:
    return _plain(each.phrase), (each.intent,), each.where, count


def _plain(phrase: str) -> str:
    return " ".join(cut(phrase, frozenset()))


def main() -> None:
    """Write them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--of", metavar="FILES", help="of these open files only")
    options = parser.parse_args()
    found = said(options.of) if options.of else examples()
    options.file.write_text(json.dumps(list(found)), encoding="utf-8")


if __name__ == "__main__":
    main()
