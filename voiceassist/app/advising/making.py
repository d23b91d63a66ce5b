"""Makes the table of one procedure in a process of its own, at the lowest priority.

Run as ``python -m voiceassist.app.advising.making FOLDER LANGUAGE`` with a session's folder.
"""

import os
import sys
from pathlib import Path

from voiceassist.app import build
from voiceassist.app.kept_files import kept_meter, kept_procedure
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.record.folder import SessionFolder
from voiceassist.session.session import SessionSetup

_LOWEST = 19


def make(folder: Path, language: str) -> None:
    """Make the table of the procedure in ``folder``, unless it is kept already."""
    files = SessionFolder(folder)
    written, (meter, _) = kept_procedure(files), kept_meter(files)
    book = build.Components(build.settings({"language": language})).book
    adviser_of(SessionSetup(written.procedure, book, meter=meter), written)


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(_LOWEST)
    make(Path(sys.argv[1]), sys.argv[2])
