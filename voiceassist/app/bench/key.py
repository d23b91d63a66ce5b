"""The key to the page, for whoever comes from another computer."""

import os
import re
import secrets
import stat
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import SettingsError
from voiceassist.record import disk

FILE = "bench-key"
_BYTES = 32
_KEY = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


@dataclass(frozen=True, slots=True)
class AccessKey:
    """The key.

    Parts:
        text: of 256 random bits.
        new: it was made just now.
    """

    text: str
    new: bool


def key_in(folder: Path, *, anew: bool = False) -> AccessKey:
    """The key that ``folder`` keeps, made at random when there is none, or ``anew``.

    Raises:
        SettingsError: the file cannot be kept, is no key, or is not for its owner alone.
    """
    path = folder / FILE
    try:
        if path.exists() and not anew:
            return AccessKey(_read(path), new=False)
        text = secrets.token_urlsafe(_BYTES)
        disk.make_folder(folder)
        disk.write_whole(path, f"{text}\n".encode())
    except OSError as error:
        raise SettingsError(
            f"the key cannot be kept: {disk.reason(error)}",
            place=str(path),
            remedy="make it readable and writable for you alone",
        ) from None
    return AccessKey(text, new=True)


def _read(path: Path) -> str:
    found = os.stat(path)
    others = stat.S_IMODE(found.st_mode) & 0o077
    mine = not hasattr(os, "geteuid") or found.st_uid == os.geteuid()
    if others or not mine:
        raise SettingsError(
            "others can read or write this key",
            place=str(path),
            remedy="make another with --new-key",
        )
    text = disk.read_whole(path).decode("ascii", "replace").strip()
    if not _KEY.fullmatch(text):
        raise SettingsError(
            "this is not a key", place=str(path), remedy="make another with --new-key"
        )
    return text
