"""Makes the table of one procedure in a process of its own, at the lowest priority.

Run as ``python -m voiceassist.app.advising.making FOLDER LANGUAGE`` with a session's folder.
"""

import os
import sys
from pathlib import Path

from voiceassist.app import build
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.read import read_procedure
from voiceassist.session.session import SessionSetup

_LOWEST = 19


def make(folder: Path, language: str) -> None:
    """Make the table of the procedure in ``folder``, unless it is kept already."""
    used: dict[str, str] = {}

    def library(name: str) -> str:
        used[name] = (folder / f"used-{name}.yaml").read_text(encoding="utf-8")
        return used[name]

    text = (folder / "procedure.yaml").read_text(encoding="utf-8")
    procedure = read_procedure(text, "procedure.yaml", library)
    meter = read_meter((folder / "meter.yaml").read_text(encoding="utf-8"), "meter.yaml")
    book = build.Components(build.settings({"language": language})).book
    adviser_of(SessionSetup(procedure, book, meter=meter), build.Written(procedure, text, used))


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(_LOWEST)
    make(Path(sys.argv[1]), sys.argv[2])
