"""What is added to a kept session afterwards, each with the day and who added it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from voiceassist.app.keeping.removal_rules import user
from voiceassist.app.pages.made_files import make_files
from voiceassist.app.pages.pictures import kept_picture
from voiceassist.app.records.find_session import resolved
from voiceassist.app.records.opened import Records, wall
from voiceassist.app.warn import Warn
from voiceassist.errors import RecordError
from voiceassist.record.folder import SessionFolder
from voiceassist.record.journal import Journal
from voiceassist.record.lines import Addendum
from voiceassist.record.webvtt import one_line

#: Characters of an addendum; what is longer belongs in a file of its own.
_LONGEST = 4000


@dataclass(frozen=True, slots=True)
class Addition:
    """What is to be added.

    Parts:
        words: an addendum; empty for none.
        pictures: files to attach.
        caption: what the pictures show.
    """

    words: str = ""
    pictures: Sequence[Path] = ()
    caption: str = ""

    def __post_init__(self) -> None:
        if not one_line(self.words) and not self.pictures:
            raise RecordError(
                "there is nothing to add", place="add", remedy="give a text, or --picture FILE"
            )
        if len(self.words) > _LONGEST:
            raise RecordError(
                f"the text has {len(self.words)} characters",
                place="add",
                remedy=f"say it in {_LONGEST} or fewer",
            )


def add(records: Records, name: str, addition: Addition, warn: Warn) -> dict[str, Any]:
    """Add to the session called ``name``; the JSON object of ``records add``.

    Raises:
        RecordError: it is not found or open in another process, an addendum is given to a job
            that is not closed, the disk refuses it, or a file is no picture.
    """
    folder = resolved(records, name)
    if not folder.begun:
        raise RecordError("nothing is kept of this session", place=str(folder.path))
    with Journal.open(folder.journal, wall) as journal:
        lines = list(_lines(folder, journal, addition))
        entries = journal.append([{**line, "step": "", "text": "", "by": user()} for line in lines])
        _must_be_kept(journal)
        make_files(folder, journal.entries, warn)
        count = len(journal.entries)
    records.sync()
    added = [str(e.fields["file"]) for e in entries if "file" in e.fields]
    return {"session": folder.id, "text": one_line(addition.words), "pictures": added} | {
        "lines": count
    }


def _lines(
    folder: SessionFolder, journal: Journal, addition: Addition
) -> Iterator[Mapping[str, object]]:
    words = one_line(addition.words)
    if words and all(entry.event != "end" for entry in journal.entries):
        raise RecordError(
            "the job is not closed, so there is nothing to add to",
            place=folder.id,
            remedy="go on with it and take a note: voiceassist run --resume",
        )
    if words:
        yield Addendum.made(words=words)
    for path in addition.pictures:
        yield kept_picture(folder, path, addition.caption)


def _must_be_kept(journal: Journal) -> None:
    if journal.trouble is not None:
        raise RecordError(
            f"it could not be added: {journal.trouble.found}", place=journal.trouble.place
        )
