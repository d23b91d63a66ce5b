"""The parts of one job: two complaints of a customer, each with a session of its own.

The first line of each journal tells which part it is, by which procedures the parts go, and the
session before it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record.facts import fact, order_key
from voiceassist.record.folder import SessionFolder, sessions
from voiceassist.record.lines import SessionLine
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import head_of, in_order


@dataclass(frozen=True, slots=True)
class JobPart:
    """Which part of a job a session is.

    Parts:
        names: procedures of all parts, in order.
        number: of this one, from 1 on.
        after: the session before it; empty for the first.
    """

    names: tuple[str, ...]
    number: int = 1
    after: str = ""

    @property
    def following(self) -> str:
        """The procedure of the next part; empty after the last."""
        return self.names[self.number] if self.number < len(self.names) else ""

    def next(self, session: str) -> "JobPart":
        """The part after this one, whose session is called ``session``."""
        return replace(self, number=self.number + 1, after=session)

    def to_json(self) -> dict[str, object]:
        """As the journal keeps it."""
        return {
            "number": self.number,
            "of": len(self.names),
            "after": self.after,
            "names": list(self.names),
        }


def part_of(head: Mapping[str, object]) -> JobPart | None:
    """Which part the session with this first line is; None for a job of one.

    Journals of earlier versions do not tell the procedures of the parts.
    """
    kept = SessionLine(head).part
    number, names = kept.get("number"), kept.get("names")
    if type(number) is not int or not isinstance(names, list | tuple):
        return None
    told = tuple(map(str, names))
    return JobPart(told, number, str(kept.get("after", ""))) if 1 <= number <= len(told) else None


def parts_of(folder: SessionFolder) -> tuple[SessionFolder, ...]:
    """The sessions of the job that ``folder`` is a part of, in order; itself alone for one."""
    if not SessionLine(head_of(folder)).part:
        return (folder,)
    in_turn = in_order(sessions(folder.path.parent))
    before = {each.id: _after(each) for each in in_turn}
    job = {folder.id}
    for each in reversed(in_turn):  # a part comes after the one that it names
        job |= {before[each.id]} if each.id in job else set()
    for each in in_turn:
        job |= {each.id} if before[each.id] in job - {""} else set()
    return tuple(each for each in in_turn if each.id in job)


def _after(folder: SessionFolder) -> str:
    return str(SessionLine(head_of(folder)).part.get("after") or "")


def left_open(records: Path, asked: str) -> SessionFolder | None:
    """A finished session whose job has a part that is not begun, where that is asked for.

    Args:
        records: folder of records.
        asked: the session's name, its beginning or its repair order; empty for the last session.
    """
    folder = next(_fitting(records, asked), None)
    if folder is None or folder.refused or folder.unfinished:
        return None
    part = part_of(head_of(folder))
    if part is None or not part.following or parts_of(folder)[-1] != folder:
        return None
    return folder


def _fitting(records: Path, asked: str) -> Iterator[SessionFolder]:
    """Sessions that ``asked`` may mean, the latest first."""
    try:
        folders = in_order(sessions(records))[::-1]
    except RecordError:
        return
    for folder in folders:
        if not folder.begun or folder.deleted:
            continue
        order = fact(ReadSession([SessionLine(head_of(folder))]).facts, "repair order")
        if folder.id.startswith(asked) or (asked and order_key(order) == order_key(asked)):
            yield folder
