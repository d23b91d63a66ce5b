"""What is known of a kept model: where it came from, and the checksum of each of its files."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from voiceassist.errors import ModelError

NAME = "manifest.json"


@dataclass(frozen=True, slots=True)
class Stored:
    """One file as it was kept.

    Parts:
        bytes: its length.
        sha256: its SHA-256, in hexadecimal digits.
    """

    bytes: int
    sha256: str

    def __post_init__(self) -> None:
        if self.bytes < 0 or len(self.sha256) != 64 or set(self.sha256) - set("0123456789abcdef"):
            raise ValueError("not a length and a SHA-256")


@dataclass(frozen=True, slots=True)
class Manifest:
    """A kept model.

    Parts:
        kind: the listener it is for.
        language: as told; empty when nobody told.
        source: the folder, file or address it came from.
        files: by path below the model's folder, with "/" between parts.
        verified: the files were compared with a checksum after they were kept, or came from an
            archive with the checksum the user gave.
    """

    kind: str
    language: str
    source: str
    files: Mapping[str, Stored]
    verified: bool = False

    @property
    def bytes(self) -> int:
        """Length of all files together."""
        return sum(file.bytes for file in self.files.values())


def write_manifest(folder: Path, manifest: Manifest) -> None:
    """Put ``manifest`` into ``folder``, whole or not at all."""
    files = {path: {"bytes": f.bytes, "sha256": f.sha256} for path, f in manifest.files.items()}
    about = {
        "kind": manifest.kind,
        "language": manifest.language,
        "source": manifest.source,
        "verified": manifest.verified,
        "files": dict(sorted(files.items())),
    }
    new = folder / f".{NAME}.new"
    new.write_text(json.dumps(about, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    new.replace(folder / NAME)


def read_manifest(folder: Path) -> Manifest:
    """The manifest in ``folder``.

    Raises:
        ModelError: there is none, or it is damaged.
    """
    file = folder / NAME
    try:
        about: Any = json.loads(file.read_text(encoding="utf-8"))
        files = {str(p): Stored(int(f["bytes"]), f["sha256"]) for p, f in about["files"].items()}
        kind, language, source = (str(about[key]) for key in ("kind", "language", "source"))
        return Manifest(kind, language, source, files, about["verified"] is True)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise ModelError(
            "it is missing or damaged", place=str(file), remedy="delete the folder and add it again"
        ) from None
