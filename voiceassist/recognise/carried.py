"""Files of models that an installed package carries; the package itself is not run."""

import hashlib
import importlib.util
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecogniseError


@dataclass(frozen=True, slots=True)
class Carrier:
    """A package that carries files.

    Parts:
        package: what Python imports.
        release: name and version of the one that is known.
        folder: of the files, inside it.
        sha256: of each file, by its name.
        purpose: what lacks when it is not installed.
        install: how to install it.
    """

    package: str
    release: str
    folder: Path
    sha256: Mapping[str, str]
    purpose: str
    install: str

    def files(self) -> Path:
        """The folder, with every file whole.

        Raises:
            RecogniseError: the package is missing, of another version, or damaged.
        """
        spec = importlib.util.find_spec(self.package)
        if spec is None or not spec.submodule_search_locations:
            raise RecogniseError(
                f"{self.purpose} is not installed",
                place=f"package {self.release.partition(' ')[0]}",
                remedy=self.install,
            )
        folder = Path(spec.submodule_search_locations[0]) / self.folder
        for name, due in self.sha256.items():
            file = folder / name
            if not file.is_file() or hashlib.sha256(read_bytes(file)).hexdigest() != due:
                wrong = f"damaged or of another version than {self.release}"
                raise RecogniseError(
                    f"the file is {wrong if file.is_file() else 'missing'}",
                    place=str(file),
                    remedy=f"install it again, {self.install}",
                )
        return folder


def read_bytes(path: Path) -> bytes:
    """All of a file.

    Raises:
        RecogniseError: it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise RecogniseError(
            f"the file cannot be read ({error.strerror})",
            place=str(path),
            remedy="check that you may read it",
        ) from None
