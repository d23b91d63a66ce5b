"""The id that a folder of records keeps in itself, so that bays of one name are told apart."""

import os
import re
import secrets
import time
from contextlib import suppress
from pathlib import Path

from voiceassist.record import disk

BAY_ID = ".bay-id"
#: Others may read it: it tells nothing, and another account must not make a second one.
_MODE = 0o644
_ID = re.compile(r"[0-9a-f]{32}", re.ASCII)
#: Another process may have made the file and not yet written into it.
_WAIT_S = 0.5


def bay_id(records: Path) -> str:
    """The id of ``records``, made where there is none; empty when the disk lets nobody keep one."""
    path = records / BAY_ID
    if found := _read(path):
        return found
    with suppress(OSError):
        _make(path)
    due = time.monotonic() + _WAIT_S
    while not (found := _read(path)) and path.exists() and time.monotonic() < due:
        time.sleep(0.02)
    return found


def _read(path: Path) -> str:
    try:
        found = path.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""
    return found if _ID.fullmatch(found) else ""


def _make(path: Path) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, _MODE)
    with open(handle, "w", encoding="ascii") as file:
        file.write(f"{secrets.token_hex(16)}\n")
        file.flush()
        os.fsync(handle)
    disk.sync_folder(path.parent)
