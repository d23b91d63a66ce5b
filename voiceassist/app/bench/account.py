"""Whose account is at the other end of a connection within this computer."""

import socket
import struct
from pathlib import Path

_TABLES = (Path("/proc/net/tcp"), Path("/proc/net/tcp6"))
#: An account that nobody has.
NOBODY = -1


def account_of(
    client: tuple[str, int], server: tuple[str, int], tables: tuple[Path, ...] = _TABLES
) -> int | None:
    """The number of the account that has the end ``client`` of a connection with ``server``.

    Returns:
        NOBODY when only our end of it is listed; None where the system lists neither, as others
        than Linux do.
    """
    theirs, ours = (_written(client), _written(server)), (_written(server), _written(client))
    listed = False
    try:
        for row in (row.split() for table in tables for row in _rows(table)):
            if (row[1], row[2]) == theirs:
                return int(row[7])
            listed = listed or (row[1], row[2]) == ours
    except (OSError, ValueError, IndexError):
        return None
    return NOBODY if listed else None


def _rows(table: Path) -> list[str]:
    return table.read_text("ascii").splitlines()[1:]


def _written(end: tuple[str, int]) -> str:
    """An end as proc(5) writes it: words of four bytes in the order of this computer."""
    family = socket.AF_INET6 if ":" in end[0] else socket.AF_INET
    raw = socket.inet_pton(family, end[0])
    words = struct.unpack(f"={len(raw) // 4}I", raw)
    return "".join(f"{word:08X}" for word in words) + f":{end[1]:04X}"
