"""The shipped procedures, and finding one by a word of it."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path

import yaml

from voiceassist import resources

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WORD = re.compile(r"\w+")
#: A key of the head with all that stands under it.
_SHOWN = re.compile(r"^(?:title|for|complaints):.*?(?=^[^\s#-]|\Z)", re.MULTILINE | re.DOTALL)
#: How alike a mistyped word must be to what it may stand for, from 0 to 1. Common practice.
_ALIKE = 0.75
#: Shorter words are too much like many others to be guessed at.
_LEAST_LETTERS = 4
#: More offers than these are no help.
_MOST_OFFERS = 3


@dataclass(frozen=True, slots=True)
class Listed:
    """A procedure as a list of them has it.

    Parts:
        name: by which it is run.
        title: what is wrong.
        complaints: what else a customer may say.
        subject: the vehicle, and what of it is looked at.
    """

    name: str
    title: str
    complaints: tuple[str, ...] = ()
    subject: str = ""

    @property
    def words(self) -> frozenset[str]:
        """Every word of name, title and complaints, in small letters."""
        return frozenset(_words(" ".join((self.name, self.title, *self.complaints))))

    def fits(self, asked: str, *, subject: bool = False) -> bool:
        """True when ``asked`` is a part of the name, or each word of it begins one in here.

        With ``subject`` the words of the subject count too.
        """
        tokens = _words(asked)
        words = self.words | set(_words(self.subject)) if subject else self.words
        known = all(any(word.startswith(token) for word in words) for token in tokens)
        return bool(tokens) and (known or "-".join(tokens) in self.name)


@dataclass(frozen=True, slots=True)
class Matches:
    """What a word may mean.

    Parts:
        fitting: procedures that it fits.
        near: where it fits none, those that it fits but for a slip of the finger.
    """

    fitting: tuple[Listed, ...]
    near: tuple[Listed, ...] = ()


def shipped() -> tuple[Listed, ...]:
    """Every shipped procedure, by name.

    Raises:
        ResourceError: they are missing, or cannot be read.
    """
    files = resources.folder("procedures").glob("*.yaml")
    return tuple(sorted((_listed(file) for file in files), key=lambda each: each.name))


def find(asked: str, among: Sequence[Listed]) -> Matches:
    """The procedures that ``asked`` may mean; a whole name means that one alone.

    What stands in the subject only counts where nothing else fits.
    """
    named = [each for each in among if each.name == asked.casefold().strip()]
    fitting = named or [each for each in among if each.fits(asked)]
    fitting = fitting or [each for each in among if each.fits(asked, subject=True)]
    return Matches(tuple(fitting), () if fitting else _near(asked, among))


def is_path(asked: str) -> bool:
    """True when ``asked`` tells a file, whether there is one or not."""
    given = Path(asked)
    return bool(given.suffix) or len(given.parts) > 1 or _is_file(given)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name too long to be one
        return False


def _near(asked: str, among: Sequence[Listed]) -> tuple[Listed, ...]:
    """Those whose name is much like it, then those that it fits with its words put right."""
    names = get_close_matches("-".join(_words(asked)), [each.name for each in among], cutoff=_ALIKE)
    known = sorted(frozenset[str]().union(*(each.words for each in among)))
    mended = " ".join(_mended(token, known) for token in _words(asked))
    alike = [each for name in names for each in among if each.name == name]
    alike += [each for each in among if each.fits(mended) and each not in alike]
    alike += [each for each in _telling(mended, among) if each not in alike]
    return tuple(alike[:_MOST_OFFERS])


def _telling(asked: str, among: Sequence[Listed]) -> list[Listed]:
    """Those that have words of it, the best first; a word that few have tells more."""
    tokens = {token for token in _words(asked) if len(token) >= _LEAST_LETTERS}
    holding = {token: [each for each in among if token in each.words] for token in tokens}
    scores = {
        each: sum(1 / len(those) for those in holding.values() if each in those) for each in among
    }
    best = max(scores.values(), default=0.0)
    found = [each for each in among if scores[each] and scores[each] * 2 > best]
    return sorted(found, key=lambda each: -scores[each])


def _mended(token: str, known: Iterable[str]) -> str:
    """The word that ``token`` is most like; itself when there is none."""
    if len(token) < _LEAST_LETTERS:
        return token
    return next(iter(get_close_matches(token, known, n=1, cutoff=_ALIKE)), token)


def _words(text: str) -> list[str]:
    return _WORD.findall(text.casefold())


@cache
def _listed(file: Path) -> Listed:
    """The head of a procedure file; what is written in it wrongly is for ``check`` to tell.

    Only the parts that are shown are read: its steps take a hundred times as long.
    """
    parts = _SHOWN.findall(resources.read_text(file))
    head = yaml.load("".join(parts), Loader=_LOADER)
    fields = head if isinstance(head, dict) else {}
    complaints = fields.get("complaints")
    entries = complaints if isinstance(complaints, list) else []
    title, subject = str(fields.get("title", "")), str(fields.get("for", ""))
    return Listed(file.stem, title, tuple(str(each) for each in entries), subject)
