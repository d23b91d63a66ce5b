"""Phonemes of phrases, by espeak-ng, as numbers that the speech network reads."""

import json
import re
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

#: The plain accents first, then those of the same side of the ocean.
AMERICAN = ("en-us", "en-us-nyc", "en-029")
BRITISH = ("en-gb", "en-gb-x-rp", "en-gb-scotland", "en-gb-x-gbclan", "en-gb-x-gbcwmd")
_PLAIN_AMERICAN, _PLAIN_BRITISH = 0.85, 0.5
#: The voices' styles reach no farther; longer phrases are left out.
MOST = 200
#: espeak-ng says "kye-lohm" for kilohm.
_KILOHM = re.compile(r"kˈaɪl(oʊ|əʊ|oː)m")
#: English with an accent from elsewhere: each of these is one habit, told from memory.
_HABITS = (
    (("ð", "d"), ("θ", "t")),
    (("ð", "z"), ("θ", "s")),
    (("w", "v"),),
    (("v", "w"),),
    (("ɹ", "r"), ("ɾ", "r")),
    (("ɹ", "ɾ"),),
    (("ʌ", "a"), ("æ", "a")),
    (("æ", "ɛ"),),
    (("ɪ", "i"),),
    (("ʊ", "u"),),
    (("oʊ", "oː"), ("əʊ", "oː"), ("eɪ", "eː")),
    (("ɜː", "ɛɹ"),),
    (("t", "ʈ"), ("d", "ɖ")),
    (("h", ""),),
    (("ŋ", "n"),),
)
_FROM_ELSEWHERE, _MOST_HABITS = 0.14, 4
_HARDENED = {"b": "p", "d": "t", "ɡ": "k", "v": "f", "z": "s"}
_SOFT_END = re.compile(r"[bdɡvz](?= |$)")
_EARLY_TEEN = re.compile(r"ˈ([^ˈ ]*?)(tˌ?iː?n)\b")
#: How often a teen is stressed on its last syllable, as people do to tell it from a ten.
_LATE = 0.65


@dataclass(frozen=True, slots=True)
class Spoken:
    """A phrase and how it is said, once for each accent."""

    text: str
    american: tuple[int, ...]
    british: tuple[int, ...]


def phonemes(texts: Sequence[str], signs: Mapping[str, int], rng: Random) -> Iterator[Spoken]:
    """Each text with its phonemes, but those too long; teens are mostly stressed late."""
    american, british = (_mixed(texts, ways, plain, rng) for ways, plain in _SIDES)
    for text, one, other in zip(texts, american, british, strict=True):
        late, elsewhere = rng.random() < _LATE, rng.random() < _FROM_ELSEWHERE
        said = [_stressed_late(p) if late else p for p in (one, other)]
        a, b = (_numbers(_from_elsewhere(p, rng) if elsewhere else p, signs) for p in said)
        if 0 < len(a) <= MOST and 0 < len(b) <= MOST:
            yield Spoken(text, a, b)


def _mixed(
    texts: Sequence[str], accents: Sequence[str], plain: float, rng: Random
) -> Iterator[str]:
    """Each text in one of the accents, the first of them as often as told."""
    ways = [_espeak(texts, accent) for accent in accents]
    for of_text in zip(*ways, strict=True):
        yield of_text[0] if rng.random() < plain else rng.choice(of_text[1:])


def _from_elsewhere(ipa: str, rng: Random) -> str:
    """With a few habits of another language."""
    for habit in rng.sample(_HABITS, rng.randrange(1, _MOST_HABITS + 1)):
        for ours, theirs in habit:
            ipa = ipa.replace(ours, theirs)
    return _SOFT_END.sub(lambda m: _HARDENED[m[0]], ipa) if rng.random() < 0.3 else ipa


_SIDES = ((AMERICAN, _PLAIN_AMERICAN), (BRITISH, _PLAIN_BRITISH))


def write(path: Path, spoken: Sequence[Spoken]) -> None:
    """Keep phrases and phonemes in a file."""
    rows = [[s.text, s.american, s.british] for s in spoken]
    path.write_text(json.dumps(rows, separators=(",", ":")), encoding="utf-8")


def read(path: Path) -> list[Spoken]:
    """The phrases of such a file."""
    rows = json.loads(path.read_text(encoding="utf-8"))
    return [Spoken(text, tuple(a), tuple(b)) for text, a, b in rows]


def _espeak(texts: Sequence[str], accent: str) -> list[str]:
    """A paragraph for each text, so that espeak-ng keeps them apart."""
    command = ["espeak-ng", "-q", "--ipa", "-v", accent]
    told = "\n\n".join(texts) + "\n"
    result = subprocess.run(command, input=told, capture_output=True, text=True, check=True)
    said = _KILOHM.sub(r"kˈɪl\1m", result.stdout)
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    if len(lines) != len(texts):
        raise ValueError(f"espeak-ng made {len(lines)} lines of {len(texts)} phrases")
    return lines


def _stressed_late(ipa: str) -> str:
    return _EARLY_TEEN.sub(lambda m: f"ˌ{m[1]}tˈiːn", ipa)


def _numbers(ipa: str, signs: Mapping[str, int]) -> tuple[int, ...]:
    return tuple(signs[c] for c in ipa if c in signs)
