"""The phrases the ear learns from, mixed as people speak.

Plain readings are far more frequent than odd ones. The phrases of the grammars and of every
procedure are among them, and so is talk that is no part of any grammar.
"""

import json
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from zlib import crc32

from training.contrasts import contrast, long
from training.numbers import DIGITS, one_of_a_pair, reading, value
from voiceassist.app import build
from voiceassist.language.expectation import Expectation
from voiceassist.language.jsgf import Expression
from voiceassist.language.language import Language
from voiceassist.language.linking import link
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.language.sampling import sample
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import QUANTITIES, base_unit
from voiceassist.session.expect import of_step

HERE = Path(__file__).parent
LONGEST = 76
#: A whole vehicle number, spelled out.
LONGEST_OF_ALL = 190
COLOURS = ("red", "black", "brown", "green", "blue", "yellow", "white", "grey", "orange", "violet")
_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")
#: Before a reading, now and then.
_LEADS = (
    *("correction", "i said", "no", "make that", "it reads", "it's", "it is", "i get", "i have"),
    *("i'm getting", "reading", "about", "uh", "um", "okay", "just under", "a bit over", "so"),
)


@dataclass(frozen=True, slots=True)
class Shares:
    """How much of what is drawn is listed talk, contrasts, and long phrases; the rest is mixed."""

    talk: float = 0.05
    contrasts: float = 0.0
    long: float = 0.0


class Deck:
    """Listed phrases, dealt so that each comes once before any comes again."""

    def __init__(self, phrases: Sequence[str]) -> None:
        self._phrases, self._left = tuple(phrases), list[str]()

    def __bool__(self) -> bool:
        return bool(self._phrases)

    def deal(self, rng: Random) -> str:
        """The next phrase."""
        if not self._left:
            self._left = rng.sample(self._phrases, len(self._phrases))
        return self._left.pop()


@dataclass(frozen=True, slots=True)
class Mixer:
    """Draws phrases.

    Parts:
        steps: the grammars of all steps of all procedures, and of each quantity.
        rules: the grammars' rules and those of talk, by full name.
        words: running text of the procedures, for speech that no grammar holds.
        phrases: whole phrases of talk, from files of them.
        names: points, parts and colours of the procedures.
        shares: how much comes from elsewhere than the mixture.
    """

    steps: tuple[StepGrammar, ...]
    rules: dict[str, Expression]
    words: tuple[str, ...]
    phrases: Deck
    names: tuple[str, ...]
    shares: Shares = Shares()

    def draw(self, rng: Random) -> str:
        """One phrase, in small letters, no figures."""
        while True:
            kind = self._kind(rng)
            text = re.sub(r"[^a-z' ]+", " ", kind(rng).lower())
            text = " ".join(text.split())
            if 0 < len(text) <= (LONGEST_OF_ALL if kind is long else LONGEST):
                return text

    def _kind(self, rng: Random) -> Callable[[Random], str]:
        listed = self.shares.talk if self.phrases else 0.0
        extra = (listed, self.shares.contrasts, self.shares.long)
        kinds, weights = zip(*self._mixture(), strict=True)
        mixed: Callable[[Random], str] = rng.choices(kinds, weights)[0]
        if not any(extra):
            return mixed
        others = (self.phrases.deal, contrast, long)
        return rng.choices((*others, mixed), (*extra, 1 - sum(extra)))[0]

    def _mixture(self) -> Iterator[tuple[Callable[[Random], str], float]]:
        yield self._reading, 0.38
        yield self._pair, 0.06
        yield lambda rng: rng.choice(self.steps).sample(rng, heard=True)[0], 0.1
        yield lambda rng: rng.choice(self.steps).sample(rng)[0], 0.06
        yield lambda rng: self._rule("commands.command", rng), 0.06
        yield lambda rng: self._rule("answers.answer", rng), 0.04
        yield lambda rng: self._rule("readings.heard-lamp", rng), 0.01
        yield lambda rng: self._rule("talk.talk", rng), 0.1
        yield self._fragment, 0.07
        yield self._identifier, 0.03
        yield self._name, 0.04

    def _rule(self, name: str, rng: Random) -> str:
        return " ".join(sample(self.rules, name, rng)[0])

    def _reading(self, rng: Random) -> str:
        said = reading(rng)
        if rng.random() < 0.1:
            said = f"{rng.choice(_LEADS)} {said}"
        return f"{said} and {value(rng)}" if rng.random() < 0.02 else said

    def _pair(self, rng: Random) -> str:
        said = one_of_a_pair(rng)
        return said if rng.random() < 0.35 else f"{said} {rng.choice(('volts', 'amps', 'ohms'))}"

    def _fragment(self, rng: Random) -> str:
        count = rng.randrange(2, 9)
        start = rng.randrange(len(self.words) - count)
        return " ".join(self.words[start : start + count])

    def _identifier(self, rng: Random) -> str:
        """A few signs of a number plate or an order, as they are spelled."""
        rule = rng.choice(("identifiers.heard-repair-order", "identifiers.repair-order"))
        return self._rule(rule, rng)

    def _name(self, rng: Random) -> str:
        name = rng.choice(self.names)
        return f"pin {rng.choice(DIGITS[1:])}" if rng.random() < 0.15 else name


def mixer(
    talk: Sequence[Path] = (), shares: Shares | None = None, *, held_back: bool = False
) -> Mixer:
    """Read the grammars and procedures, and files of talk."""
    shop = build.Components(build.settings({"language": "en"}))
    own = link([read_grammar((HERE / "talk.jsgf").read_text(encoding="utf-8"), "talk.jsgf")])
    steps = tuple(shop.language.compose(e) for e in _expectations(shop.language))
    rules = {**shop.language.rules, **steps[-1]._rules, **own}
    files = sorted((HERE.parent / "procedures").glob("*.yaml"))
    text = "\n".join(f.read_text(encoding="utf-8") for f in files)
    phrases, names = deck(talk, held_back=held_back), tuple(_names(files))
    return Mixer(steps, rules, tuple(_running(text)), phrases, names, shares or Shares())


def deck(talk: Sequence[Path], *, held_back: bool = False) -> Deck:
    """What is listed in files of talk.

    A tenth of it is held back from training; ``held_back`` deals that tenth alone.
    """
    spoken = dict.fromkeys(p for path in talk for p in listed(path))
    return Deck([p for p in spoken if is_held_back(p) == held_back])


def listed(path: Path) -> Iterator[str]:
    """The phrases of a file of talk: JSON of lists by kind, or a table whose last column they are.

    Those with figures in them are left out: nobody knows how they are said.
    """
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".json":
        phrases = [p for group in json.loads(text).values() for p in group]
    else:
        phrases = [line.split("\t")[-1] for line in text.splitlines()]
    yield from (p.strip() for p in phrases if p.strip() and not re.search(r"\d", p))


def is_held_back(phrase: str) -> bool:
    """One phrase in ten, always the same ones."""
    return crc32(phrase.encode()) % 10 == 0


def _running(text: str) -> Iterator[str]:
    """The words of the procedures' lines, without their keys and comments."""
    for line in text.splitlines():
        spoken = re.sub(r"^\s*-?\s*[\w -]+:|#.*|[{}\[\]]", " ", line)
        yield from (w for w in _WORD.findall(spoken.lower()) if 1 < len(w) < 15)


def _names(files: list[Path]) -> Iterator[str]:
    """The test points of the procedures, and the colours of wires."""
    yield from COLOURS
    for file in files:
        for point in re.findall(r"(?ms)^points:\n(.*?)^\S", file.read_text(encoding="utf-8")):
            yield from re.findall(r"(?m)^  ([\w ]+):", point)


def _expectations(language: Language) -> Iterator[Expectation]:
    """What each step of each procedure is ready to hear, then each quantity by itself."""
    for file in sorted((HERE.parent / "procedures").glob("*.yaml")):
        procedure = build.procedure(str(file)).procedure
        yield from (of_step(procedure.step(n)) for n in (*procedure.steps, *procedure.repairs))
    for quantity in QUANTITIES:
        yield Expectation(quantities=(quantity,), unit=base_unit(quantity))
    yield Expectation.anything()
