"""Makes archives for tests."""

import io
import tarfile
import zipfile
from collections.abc import Callable
from pathlib import Path

#: Name in the archive, to what the file holds.
Content = dict[str, bytes]
Make = Callable[[Path, Content], None]


def zipped(file: Path, content: Content) -> None:
    """A zip file."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in content.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)


def tarred(form: str) -> Make:
    """Makes tar files packed as "gz", "bz2" or "xz"; plain ones for an empty word."""

    def make(file: Path, content: Content) -> None:
        with tarfile.open(file, f"w:{form}") as archive:  # type: ignore[call-overload]
            for name, data in content.items():
                entry = tarfile.TarInfo(name)
                entry.size = len(data)
                archive.addfile(entry, io.BytesIO(data))

    return make
