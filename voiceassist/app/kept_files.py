"""The files a session goes by, as they lie in its folder: procedures and meter."""

from collections.abc import Mapping
from typing import Protocol

from voiceassist.app.build import Written
from voiceassist.measure.meter import Meter
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.read import read_procedure
from voiceassist.record.folder import METER, PROCEDURE, used_file


class Folder(Protocol):
    """Where the files lie."""

    def read(self, name: str) -> str:
        """The text of a file."""
        ...


def files_of(written: Written, meter: str) -> Mapping[str, str]:
    """Name to text of what lies beside the session's own procedure, ``meter`` among it."""
    return {used_file(name): text for name, text in written.used.items()} | {METER: meter}


def kept_procedure(folder: Folder, name: str = PROCEDURE) -> Written:
    """The procedure in a file of the session's folder, with those that it puts in.

    Raises:
        RecordError: a file cannot be read.
        ProcedureFaultsError: it has faults.
    """
    used: dict[str, str] = {}
    text = folder.read(name)

    def library(other: str) -> str:
        used[other] = folder.read(used_file(other))
        return used[other]

    return Written(read_procedure(text, name, library), text, used)


def kept_meter(folder: Folder) -> tuple[Meter, str]:
    """The meter that the session was begun with, and its file's text."""
    text = folder.read(METER)
    return read_meter(text, METER), text
