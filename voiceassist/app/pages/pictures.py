"""Pictures that the technician attaches to a session: kept beside its journal, and named in it."""

import re
import shlex
from pathlib import Path

from voiceassist.app.pages.images import jpeg, picture
from voiceassist.errors import RecordError
from voiceassist.page.enclosed import EnclosedPicture
from voiceassist.record import lines
from voiceassist.record.entry import digest
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_session import ReadSession
from voiceassist.record.webvtt import one_line

#: As a typed line has it; spoken words name no file.
_ASKED = re.compile(r"note picture (\S.*)", re.IGNORECASE | re.DOTALL)
_MOST = 100
_CAPTION = 200


def picture_asked(words: str) -> str:
    """What is behind "note picture" in a typed line; empty for any other line."""
    match = _ASKED.fullmatch(words.strip())
    return match[1] if match is not None else ""


def file_and_caption(asked: str) -> tuple[Path, str]:
    """The file that was asked for, and the words behind it: ``plug.jpg the burnt pin``.

    The whole is a file's name where there is such a file; a name with spaces may be quoted.
    """
    if Path(asked).expanduser().is_file():
        return Path(asked).expanduser(), ""
    try:
        name, *words = shlex.split(asked)
    except ValueError:  # a quote that is not closed, as in don't
        name, *words = asked.split()
    return Path(name).expanduser(), " ".join(words)


def kept_picture(folder: SessionFolder, path: Path, caption: str = "") -> lines.Picture:
    """Put the picture at ``path`` into ``folder``; the line that names it, to be kept next.

    Raises:
        RecordError: it is no picture, there are too many, or the disk refuses it.
    """
    data = picture(path)
    name = _free_name(folder)
    folder.write(name, data)
    shown = one_line(caption)[:_CAPTION]
    taken_from = one_line(path.name)
    return lines.Picture.made(file=name, sha256=digest(data), caption=shown, taken_from=taken_from)


def pictures_of(
    folder: SessionFolder, read: ReadSession
) -> tuple[tuple[EnclosedPicture, ...], tuple[str, ...]]:
    """The pictures that the session names, and the names of those that are gone or were changed."""
    found, missing = [], []
    for line in read.every(lines.Picture):
        data = _content(folder, line.file)
        whole = data if data is not None and digest(data) == line.sha256 else None
        image = jpeg(whole) if whole is not None else None
        if image is None:
            missing.append(line.file)
        else:
            found.append(EnclosedPicture(image, line.caption, line.at))
    return tuple(found), tuple(missing)


def _content(folder: SessionFolder, name: str) -> bytes | None:
    if not name or Path(name).name != name:
        return None
    try:
        return (folder.path / name).read_bytes()
    except OSError:
        return None


def _free_name(folder: SessionFolder) -> str:
    for number in range(1, _MOST + 1):
        name = f"picture-{number:03}.jpg"
        if not (folder.path / name).exists():
            return name
    raise RecordError(
        f"the session has {_MOST} pictures", place=str(folder.path), remedy="leave it at that"
    )
