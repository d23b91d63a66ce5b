"""Finds the shipped grammars, procedures and demo sounds.

In a wheel they lie in ``voiceassist/_data``; in a checkout, editable or not, beside the package.
"""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voiceassist.errors import ResourceError

if TYPE_CHECKING:
    from numpy.typing import NDArray

_LONGEST_NAME = 1000
_PACKAGE = Path(__file__).parent
_BESIDE = {
    "grammars": _PACKAGE.parent / "grammars",
    "procedures": _PACKAGE.parent / "procedures",
    "demo": _PACKAGE.parent / "audio_fixtures" / "demo",
}


def folder(kind: str) -> Path:
    """The folder of shipped "grammars", "procedures" or "demo" sounds.

    Raises:
        ResourceError: neither the wheel nor a checkout holds it.
    """
    for place in (_PACKAGE / "_data" / kind, _BESIDE[kind]):
        if place.is_dir():
            return place
    raise ResourceError(
        f"the shipped {kind} are missing", remedy="install voiceassist again, from its wheel"
    )


def read_text(path: Path) -> str:
    """The UTF-8 text of a file.

    Raises:
        ResourceError: it is missing, a folder, unreadable, or not UTF-8 text.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise ResourceError(
            "there is no such file", place=str(path), remedy="check its name"
        ) from None
    except IsADirectoryError:
        raise ResourceError(
            "this is a folder", place=str(path), remedy="a file is wanted in its place"
        ) from None
    except UnicodeDecodeError:
        raise ResourceError(
            "this is not UTF-8 text", place=str(path), remedy="save it as UTF-8"
        ) from None
    except OSError as error:
        raise ResourceError(f"it cannot be read: {error.strerror}", place=str(path)) from None


def grammar_files(language: str) -> Mapping[str, str]:
    """Name to text of every file of a language's grammar folder.

    Raises:
        ResourceError: there is no such language.
    """
    home = folder("grammars")
    known = sorted(place.name for place in home.iterdir() if place.is_dir())
    if language not in known:
        raise ResourceError(
            f"there is no grammar for the language {language!r}",
            remedy="use one of " + ", ".join(known),
        )
    files = sorted(place for place in (home / language).iterdir() if place.is_file())
    return {place.name: read_text(place) for place in files}


def network(language: str) -> "Mapping[str, NDArray[Any]]":
    """The network that guesses at loose talk of a language; nothing where it has none.

    Raises:
        ResourceError: it cannot be read.
    """
    path = folder("grammars") / language / "net" / "talk.npz"
    return arrays(path) if path.is_file() else {}


def arrays(path: Path) -> "Mapping[str, NDArray[Any]]":
    """The arrays of a NumPy archive.

    Raises:
        ResourceError: it is missing or none.
    """
    from zipfile import BadZipFile

    import numpy as np

    try:
        with np.load(path, allow_pickle=False) as found:
            return {name: found[name] for name in found.files}
    except (ValueError, TypeError, EOFError, OSError, AttributeError, BadZipFile):
        raise ResourceError(
            "this is no whole network", place=str(path), remedy="install voiceassist again"
        ) from None


def procedure_path(name: str) -> Path:
    """The file of a procedure given as a path, or as the name of a shipped one.

    Raises:
        ResourceError: there is neither.
    """
    given = Path(name)
    if len(name) > _LONGEST_NAME:
        raise ResourceError("this name is too long for a file", remedy="check it")
    if given.exists() or given.suffix or len(given.parts) > 1:
        return given
    return _shipped(folder("procedures"), name, "procedure")


def used_procedure(name: str, beside: Path) -> str | None:
    """The text of the procedure ``name`` beside another one, else of the shipped one.

    Raises:
        ResourceError: its file cannot be read.
    """
    for place in (beside, folder("procedures")):
        if (place / f"{name}.yaml").is_file():
            return read_text(place / f"{name}.yaml")
    return None


def meter_path(name: str) -> Path:
    """The file of a meter given as a path, or as the name of a shipped one.

    Raises:
        ResourceError: there is neither.
    """
    given = Path(name)
    if given.suffix or len(given.parts) > 1:
        return given
    return _shipped(folder("procedures") / "meters", name, "meter")


def _choice(known: Sequence[str]) -> str:
    return f"give a path, or one of: {', '.join(known)}"


def _shipped(home: Path, name: str, kind: str) -> Path:
    shipped = home / f"{name}.yaml"
    if not shipped.exists():
        known = sorted(place.stem for place in home.glob("*.yaml"))
        near = get_close_matches(name, known, n=1)
        raise ResourceError(
            f"there is no file and no shipped {kind} called {name!r}",
            remedy=f"did you mean {near[0]!r}?" if near else _choice(known),
        )
    return shipped
