"""The folders of records that an archive knows, and how one of them is forgotten."""

from dataclasses import dataclass

from voiceassist.app.records.opened import Records
from voiceassist.errors import RecordError


@dataclass(frozen=True, slots=True)
class KnownFolder:
    """A folder of records that an archive has seen.

    Parts:
        id: by which the archive knows it.
        shown: host and path, as last seen.
        sessions: how many lie there.
        here: it is the folder that the archive was opened with.
    """

    id: str
    shown: str
    sessions: int
    here: bool


def places(records: Records) -> list[KnownFolder]:
    """All of them, those without a session too."""
    bays, counts = records.archive.bays(), records.archive.places()
    return [
        KnownFolder(id_, bays.get(id_, id_), counts.get(id_, 0), id_ == records.archive.place)
        for id_ in sorted({*bays, *counts})
    ]


def forget(records: Records, name: str, *, yes: bool) -> KnownFolder:
    """Take out what the archive holds of the folder called ``name``: its id, or host and path.

    Raises:
        RecordError: there is none, it is the folder in use, or ``yes`` is not given.
    """
    fitting = [one for one in places(records) if name in {one.id, one.shown}]
    if not fitting:
        raise RecordError(
            f"the archive knows no place {name!r}",
            place=records.archive.name,
            remedy="see: voiceassist records forget-place",
        )
    (found,) = fitting[:1]
    if found.here:
        raise RecordError(
            "this is the folder of records in use",
            place=found.shown,
            remedy="to make what is known of it anew: voiceassist records rebuild",
        )
    if not yes:
        raise RecordError(
            f"{found.sessions} sessions would be taken out of the archive; nothing was done",
            place=found.shown,
            remedy="add --yes; the journals there stay as they are",
        )
    records.archive.forget_place(found.id)
    return found
