"""Whether what the archive tells of a session is what its journal gives."""

from voiceassist.archive import tables
from voiceassist.archive.ahead import Holding
from voiceassist.archive.problems import Audit
from voiceassist.archive.rows import TakenSession, reading_row, session_row
from voiceassist.record.chain import ChainReport
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_session import ReadSession

#: Columns of ``sessions`` that tell of the file, not of the session.
_OF_THE_FILE = frozenset({"size", "mtime_ns", "missing", "chain"})


def rows(
    look: Audit, folder: SessionFolder, found: ChainReport, archive: Holding, read: ReadSession
) -> None:
    """Hold what the archive says against what the journal gives."""
    row = archive.session(folder.id)
    if row is None:
        look.add("archive", "", 0, "the archive does not hold the session")
        return
    taken = TakenSession.of(folder.id, found, row["size"], row["mtime_ns"], read)
    if row["lines"] != len(taken.hashes) and _grows(folder, row["size"]):
        look.notes.append("the session is under way; the archive is some lines behind")
        return
    due = {k: v for k, v in session_row(taken, archive.place).items() if k not in _OF_THE_FILE}
    wrong = [name for name, value in due.items() if row[name] != value]
    if wrong:
        look.add("archive", "", 0, f"the archive tells another {', '.join(sorted(wrong))}")
    wanted = [reading_row(measured) for measured in taken.summary.readings]
    names = [column.name for column in tables.readings.c if column.name not in {"session", "place"}]
    held = [{name: r[name] for name in names} for r in archive.readings(row["number"])]
    for number, (one, other) in enumerate(zip(wanted, held, strict=False), 1):
        if one != other or str(one["value"]) != str(other["value"]):
            look.add("archive", "", 0, f"the archive tells reading {number} otherwise")
    if len(held) != len(wanted):
        look.add("archive", "", 0, f"the archive has {len(held)} readings of {len(wanted)}")


def _grows(folder: SessionFolder, size: int) -> bool:
    """The journal is another size by now than when the archive took it in."""
    try:
        return folder.journal.stat().st_size != size
    except OSError:
        return True
