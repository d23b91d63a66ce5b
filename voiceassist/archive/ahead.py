"""What the archive holds of many sessions, asked for at once and not one by one."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import groupby, islice

from voiceassist.archive.asking import Row, Seal
from voiceassist.archive.store import Archive
from voiceassist.errors import ArchiveContentError
from voiceassist.record.folder import SessionFolder

#: So many sessions are asked for in one question.
AT_ONCE = 200


class Ahead:
    """Answers for some sessions, taken before their journals are read; others ask the archive.

    Args:
        archive: is asked.
        folders: of these sessions.
    """

    def __init__(self, archive: Archive, folders: Sequence[str]) -> None:
        self._archive = archive
        self.place = archive.place
        self._seals: dict[str, Seal] = {}
        self._sessions: dict[str, Row] = {}
        self._readings: dict[int, Sequence[Row]] = {}
        # What one session's rows should not hold must not stop the others: they are asked singly.
        with suppress(ArchiveContentError):
            self._seals = archive.seals_of(folders)
        with suppress(ArchiveContentError):
            self._sessions = {row["folder"]: row for row in archive.sessions_of(folders)}
        with suppress(ArchiveContentError):
            self._readings = self._asked([row["number"] for row in self._sessions.values()])

    def _asked(self, numbers: Sequence[int]) -> dict[int, Sequence[Row]]:
        found = groupby(self._archive.readings_of(numbers), key=lambda row: int(row["session"]))
        return dict.fromkeys(numbers, ()) | {number: tuple(rows) for number, rows in found}

    def seal(self, folder: str, own_id: str = "") -> Seal | None:
        """The longest journal seen of it."""
        return self._seals.get(folder) or self._archive.seal(folder, own_id)

    def session(self, folder: str) -> Row | None:
        """Its row."""
        return self._sessions.get(folder) or self._archive.session(folder)

    def readings(self, number: int) -> Sequence[Row]:
        """The rows of its readings."""
        found = self._readings.get(number)
        return self._archive.readings(number) if found is None else found


#: What can be asked of an archive about a session.
Holding = Archive | Ahead


def ahead(
    archive: Archive, folders: Sequence[SessionFolder]
) -> Iterator[tuple[SessionFolder, Holding]]:
    """Each of ``folders`` with what answers for it, asked for in portions.

    Raises:
        ArchiveError: the archive fails.
    """
    left = iter(folders)
    while portion := list(islice(left, AT_ONCE)):
        held = Ahead(archive, [folder.id for folder in portion])
        for folder in portion:
            yield folder, held
