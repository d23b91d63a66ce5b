"""What who begins a job was told before: the notice that opens it, and what is taught once."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import islice
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record.chain import entry_in
from voiceassist.record.entry import Entry
from voiceassist.record.folder import SessionFolder, sessions

_TECHNICIAN = "technician"
#: The first lines of a journal: the session, perhaps that sound is kept, and the opening.
_FIRST_LINES = 3
#: So many of the latest sessions are looked at, and so many of one person read to the end.
_MOST_SESSIONS, _MOST_READ = 200, 40


def is_familiar(records: Path, facts: Mapping[str, str], source: str, today: date) -> bool:
    """True when the same technician began a job with limits of the same source earlier today.

    Whoever gives no name is taken for the one who gave none before. A journal that cannot be
    read tells nothing, and the notice is given again.

    Args:
        records: the folder of all records; only today's sessions in it are looked at.
        facts: of the job that begins.
        source: where its limits come from, which the notice tells too.
        today: by the clock on the wall.
    """
    who = _name(facts)
    return any(_tells(folder, who, source) for folder in _of_the_day(records, today))


def was_told(records: Path, facts: Mapping[str, str], sentence: str) -> bool:
    """True when ``sentence`` was said to the same technician in an earlier session.

    Only the latest sessions are looked at; what was told so long ago may be told again.
    """
    try:
        latest = sessions(records)[-_MOST_SESSIONS:]
    except RecordError:
        return False
    who, said = _name(facts), sentence.encode()
    own = (folder for folder in reversed(latest) if _is_of(folder, who))
    return any(said in _journal(folder) for folder in islice(own, _MOST_READ))


def _is_of(folder: SessionFolder, who: str) -> bool:
    first, *_ = _first_entries(folder) or (None,)
    facts = first.fields.get("facts") if first is not None else None
    return isinstance(facts, Mapping) and _name(facts) == who


def _journal(folder: SessionFolder) -> bytes:
    try:
        return folder.journal.read_bytes()
    except OSError:
        return b""


def _name(facts: Mapping[str, object]) -> str:
    return " ".join(str(facts.get(_TECHNICIAN, "")).split()).casefold()


def _of_the_day(records: Path, today: date) -> Iterator[SessionFolder]:
    """The sessions begun on that day, the latest first."""
    try:
        found = sessions(records)
    except RecordError:
        return
    for folder in reversed(found):
        if folder.id.startswith(f"{today:%Y%m%d}-"):
            yield folder


def _tells(folder: SessionFolder, who: str, source: str) -> bool:
    """True when its first lines tell of the same person and source, and that it was opened."""
    first, *others = _first_entries(folder) or (None,)
    if first is None or first.event != "session" or str(first.fields.get("source")) != source:
        return False
    facts = first.fields.get("facts")
    opened = any(entry.event == "say" for entry in others)
    return opened and isinstance(facts, Mapping) and _name(facts) == who


def _first_entries(folder: SessionFolder) -> list[Entry]:
    if folder.refused:
        return []
    try:
        with folder.journal.open("rb") as file:
            lines = list(islice(file, _FIRST_LINES))
    except OSError:
        return []
    entries = (entry_in(line.rstrip(b"\n")) for line in lines)
    return [entry for entry in entries if isinstance(entry, Entry)]
