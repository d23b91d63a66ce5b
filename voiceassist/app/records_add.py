"""What is added to a kept session afterwards, each with the day and who added it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from voiceassist.app.made_files import make_files
from voiceassist.app.pictures import kept_picture
from voiceassist.app.records import Records, wall
from voiceassist.app.records_session import resolved
from voiceassist.app.removals import user
from voiceassist.app.sources import Warn
from voiceassist.errors import RecordError
from voiceassist.record.journal import Journal


def add_pictures(
    records: Records, name: str, files: Sequence[Path], caption: str, warn: Warn
) -> dict[str, Any]:
    """Attach pictures to the session called ``name``; the JSON object of ``records add``.

    Raises:
        RecordError: it is not found or open in another process, or a file is no picture.
    """
    folder = resolved(records, name)
    if not folder.begun:
        raise RecordError("nothing is kept of this session", place=str(folder.path))
    with Journal.open(folder.journal, wall) as journal:
        for path in files:
            line = kept_picture(folder, path, caption)
            journal.append([{**line, "step": "", "text": "", "by": user()}])
        entries = journal.entries
        make_files(folder, entries, warn)
    records.sync()
    added = [str(entry.fields["file"]) for entry in entries[-len(files) :]]
    return {"session": folder.id, "pictures": added, "lines": len(entries)}
