"""Which listener a model folder is for, told by its files."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from voiceassist.errors import ModelError

#: The files that mark a model of each listener; for vosk there are two ways to lay it out.
_MARKS: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "vosk": (("am/final.mdl", "graph"), ("final.mdl", "mfcc.conf")),
}


def kind_of(folder: Path) -> str | None:
    """The listener that ``folder`` is a model for; None when it is none of them."""
    for kind, layouts in _MARKS.items():
        if any(all((folder / name).exists() for name in marks) for marks in layouts):
            return kind
    return None


def find_model(folder: Path) -> tuple[Path, str]:
    """The one model in ``folder`` or below, and the listener it is for.

    Raises:
        ModelError: there is none, or more than one.
    """
    found = list(_models(folder))
    if not found:
        raise ModelError(
            "there is no model in it for " + ", ".join(sorted(_MARKS)),
            remedy="name the folder or archive of one",
        )
    if len(found) > 1:
        names = ", ".join(str(path.relative_to(folder)) for path, _ in found)
        raise ModelError(f"there are several models in it: {names}", remedy="add them one by one")
    return found[0]


def _models(folder: Path) -> Iterator[tuple[Path, str]]:
    kind = kind_of(folder)
    if kind is not None:
        yield folder, kind
        return
    for inner in sorted(folder.iterdir()):
        if inner.is_dir() and not inner.is_symlink():
            yield from _models(inner)
