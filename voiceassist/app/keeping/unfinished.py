"""Which unfinished session is gone on with, where several bays or accounts share a folder."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from voiceassist.app.keeping.parked import is_marked
from voiceassist.app.warn import Warn
from voiceassist.errors import JournalInUseError, RecordError
from voiceassist.record.facts import fact, order_key
from voiceassist.record.folder import SessionFolder, sessions, unreadable
from voiceassist.record.lines import SessionLine
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import head_of, sequence_of

_Record = TypeVar("_Record")
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A session that can be gone on with.

    Parts:
        folder: where it lies.
        procedure, order: its procedure, and its repair order as opened.
        sequence: its number among the sessions of the folder; 0 when it has none.
        parked: it was left on purpose, until something shows or comes.
    """

    folder: SessionFolder
    procedure: str
    order: str
    sequence: int
    parked: bool = False


@dataclass(frozen=True, slots=True)
class ResumeChoice:
    """The sessions to try, the best first.

    Parts:
        folders: none of them may turn out to be free.
        named: the user named one of them, so that no other will do.
        sentence: a sentence about the choice; empty when there is nothing to say.
    """

    folders: Sequence[SessionFolder]
    named: bool = False
    sentence: str = ""

    def first_free(self, opened: Callable[[SessionFolder], _Record], warn: Warn) -> _Record:
        """The record of the first session that no other process holds, as it is ``opened``.

        Where there are several, it is told which one is gone on with; one that was altered is
        passed over, unless it was named.

        Raises:
            RecordError: none of them is free, or the one that was named cannot be gone on with.
        """
        held: dict[str, RecordError] = {}
        for number, folder in enumerate(self.folders):
            try:
                record = opened(folder)
            except RecordError as error:
                if self.named:
                    raise
                held[folder.id] = error
                continue
            for why in held.values():
                if not isinstance(why, JournalInUseError):
                    warn(str(why))
            others = [each.id for each in self.folders[number + 1 :]]
            for sentence in (self.sentence, _which(folder, others, list(held))):
                if sentence:
                    warn(sentence)
            return record
        raise _none_free(held)


def passed_over(folders: Sequence[SessionFolder], warn: Warn) -> Sequence[SessionFolder]:
    """``folders`` without those that cannot be read here, which are named in one sentence."""
    refused = unreadable(folders)
    if refused:
        names = [f"{folder.id} ({why})" for folder, why in refused.items()]
        more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
        listed = ", ".join(names[-_SHOWN:])
        warn(f"Skipped, because they cannot be read here: {listed}{more}.")
    return [folder for folder in folders if folder not in refused]


def chosen(
    records: Path, asked: str, procedure_of: Callable[[str], str], warn: Warn
) -> ResumeChoice:
    """The unfinished sessions in ``records`` that fit what was ``asked`` for.

    Args:
        records: folder of records.
        asked: a session's name or its beginning, a procedure, or a repair order; may be empty.
        procedure_of: the name of the procedure called so; empty when there is none.
        warn: told which sessions are passed over.

    Raises:
        RecordError: there is none, or none that fits.
    """
    mine = passed_over(sessions(records), warn)
    found = sorted(
        _unfinished(mine, warn), key=lambda one: (one.sequence, one.folder.id), reverse=True
    )
    if named := [one for one in found if asked and one.folder.id.startswith(asked)]:
        return _only(records, asked, named)
    procedure = procedure_of(asked) if asked else ""
    if procedure:
        return _preferring(records, procedure, found)
    if ordered := [one for one in found if asked and order_key(one.order) == order_key(asked)]:
        return _only(records, asked, ordered)
    if asked:
        raise RecordError(
            f"no unfinished session and no procedure is called {asked!r}",
            place=str(records),
            remedy=_remedy(found),
        )
    return _preferring(records, "", found)


def _unfinished(folders: Sequence[SessionFolder], warn: Warn) -> Iterator[Unfinished]:
    for folder in folders:
        try:
            if not folder.unfinished:
                continue
        except RecordError as error:
            warn(str(error))
            continue
        read = ReadSession([SessionLine(head_of(folder))])
        order = fact(read.facts, "repair order")
        sequence, parked = sequence_of(folder), is_marked(folder.path)
        yield Unfinished(folder, read.head.procedure, order, sequence, parked)


def _only(records: Path, asked: str, fitting: Sequence[Unfinished]) -> ResumeChoice:
    if len(fitting) > 1:
        listed = ", ".join(one.folder.id for one in fitting[:_SHOWN])
        raise RecordError(
            f"{len(fitting)} unfinished sessions are called {asked!r}",
            place=str(records),
            remedy=f"give one whole name; the latest are {listed}",
        )
    return ResumeChoice([fitting[0].folder], named=True)


def _preferring(records: Path, procedure: str, found: Sequence[Unfinished]) -> ResumeChoice:
    """Those of ``procedure`` first, then those not parked; the latest first among them all."""
    if not found:
        raise RecordError(
            "there is no unfinished session",
            place=str(records),
            remedy="begin one: voiceassist run PROCEDURE",
        )
    other = [bool(procedure) and one.procedure != procedure for one in found]
    ranked = zip(other, [one.parked for one in found], range(len(found)), strict=True)
    ordered = [found[index] for *_, index in sorted(ranked)]
    sentence = ""
    if procedure and ordered[0].procedure != procedure:
        sentence = (
            f"No session of {procedure} is unfinished; going on with one of another procedure."
        )
    return ResumeChoice([one.folder for one in ordered], sentence=sentence)


def _remedy(found: Sequence[Unfinished]) -> str:
    if not found:
        return "begin one: voiceassist run PROCEDURE"
    return "unfinished are " + ", ".join(one.folder.id for one in found[:_SHOWN])


def _which(folder: SessionFolder, others: Sequence[str], held: Sequence[str]) -> str:
    """Which of several unfinished sessions is gone on with; empty when there is only one."""
    if not others and not held:
        return ""
    sentence = f"Going on with {folder.id}."
    if others:
        sentence += f" Also unfinished: {', '.join(others)}."
    if held:
        sentence += f" Passed over, in use or not whole: {', '.join(held)}."
    return f"{sentence} To choose another: voiceassist run --resume SESSION."


def _none_free(held: Mapping[str, RecordError]) -> RecordError:
    """The one error there is, or one for all."""
    if len(held) == 1:
        return next(iter(held.values()))
    return RecordError(
        f"all unfinished sessions are in use or not whole: {', '.join(held)}",
        remedy="finish one where it is open, or begin another: voiceassist run PROCEDURE",
    )
