"""Phonemes of phrases, by espeak-ng, as numbers that the speech network reads."""

import json
import re
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

ACCENTS = ("en-us", "en-gb")
#: The voices' styles reach no farther; longer phrases are left out.
MOST = 200
#: espeak-ng says "kye-lohm" for kilohm.
_KILOHM = re.compile(r"kˈaɪl(oʊ|əʊ)m")
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
    american, british = (_espeak(texts, accent) for accent in ACCENTS)
    for text, one, other in zip(texts, american, british, strict=True):
        late = rng.random() < _LATE
        a, b = (_numbers(_stressed_late(p) if late else p, signs) for p in (one, other))
        if 0 < len(a) <= MOST and 0 < len(b) <= MOST:
            yield Spoken(text, a, b)


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
