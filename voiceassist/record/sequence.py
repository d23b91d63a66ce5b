"""Which session came after which: by a number that each is given, since a clock may be wrong.

The number stands in the first line of the journal. Journals of earlier versions have none; they
come before all that have one, in the order of their names.
"""

import json
from collections.abc import Iterable
from pathlib import Path

from voiceassist.record.folder import SessionFolder, sessions

#: A first line is no longer than this; what is, is not read to its end.
_LONGEST = 1_000_000


def head_of(folder: SessionFolder) -> dict[str, object]:
    """The first line of the journal in ``folder``; empty when it cannot be read."""
    if folder.refused:
        return {}
    try:
        with folder.journal.open("rb") as file:
            found = json.loads(file.readline(_LONGEST))
    except (OSError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def sequence_of(folder: SessionFolder) -> int:
    """The number of the session in ``folder``; 0 when it has none."""
    return _number(head_of(folder).get("sequence"))


def next_sequence(records: Path) -> int:
    """The number for a session that begins now in ``records``.

    Two that begin at the same moment may get the same one; their names tell them apart then.
    """
    return 1 + max(map(sequence_of, sessions(records)), default=0)


def in_order(folders: Iterable[SessionFolder]) -> tuple[SessionFolder, ...]:
    """``folders``, the one that was begun last at the end."""
    return tuple(sorted(folders, key=lambda folder: (sequence_of(folder), folder.id)))


def _number(value: object) -> int:
    return value if type(value) is int and value > 0 else 0
