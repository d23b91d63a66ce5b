"""Files that a user asks for: new ones, for their owner alone."""

from collections.abc import Callable
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk


def write_new(out: Path, content: bytes, option: str = "--out") -> None:
    """Write ``content`` to the new file ``out``.

    Args:
        out: where.
        content: of the file, whole.
        option: that named it, for messages.

    Raises:
        RecordError: the file is there already, or the disk refuses it.
    """
    make_new(out, lambda: disk.write_whole(out, content), option)


def write_plot(out: Path, svg: str) -> None:
    """Write a drawing to the new file that ``--plot`` named.

    Raises:
        RecordError: the name does not end in .svg, the file is there, or the disk refuses it.
    """
    if out.suffix.lower() != ".svg":
        raise RecordError(
            f"{out.suffix or out.name!r} is not a known form of drawing",
            place="--plot",
            remedy="give a name that ends in .svg",
        )
    write_new(out, svg.encode("utf-8"), "--plot")


def make_new(out: Path, make: Callable[[], None], option: str = "--out") -> None:
    """Have ``make`` write the new file ``out``; as ``write_new``."""
    another = f"give another {option}"
    if out.exists():
        raise RecordError("there is already a file", place=str(out), remedy=another)
    try:
        make()
    except OSError as error:
        raise RecordError(
            f"it cannot be written: {disk.reason(error)}", place=str(out), remedy=another
        ) from None
