"""Keeps what proofs came to, so that a file that has not changed is not proved again.

A proof hangs on the file, the ones that it uses, the meter, a few settings, and the program itself;
what is kept is found by the hash of all of them. Only the words of a proof are kept, as JSON.
"""

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import platformdirs

from voiceassist.app.desk.prove import ProofSource
from voiceassist.app.program import program
from voiceassist.app.settings.chosen import NAME
from voiceassist.procedure.meter_file import read_meter
from voiceassist.prove.failure import Failure

#: Rooms of the package that a proof hangs on.
_ROOMS = ("circuit", "language", "measure", "procedure", "prove", "session")
#: So many proofs are kept; the oldest go first.
_MOST = 500


@dataclass(frozen=True, slots=True)
class ProofText:
    """A proof in words.

    Parts:
        lines: for people.
        failures: what it fails by, or warns of.
        to_json: for programs.
    """

    lines: tuple[str, ...]
    failures: tuple[Failure, ...]
    to_json: dict[str, object]


class ProofCache:
    """Proofs kept in a folder, each in a file of its own.

    What cannot be written is not kept, and what cannot be read is proved anew.

    Args:
        folder: None for the platform's folder for such things.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or platformdirs.user_cache_path(NAME) / "proofs"

    def get(self, key: str) -> ProofText | None:
        """What is kept under ``key``; None when nothing is, or it cannot be read."""
        with suppress(OSError, ValueError, TypeError, KeyError):
            return _read(json.loads(self._file(key).read_text(encoding="utf-8")))
        return None

    def put(self, key: str, proof: ProofText) -> None:
        """Keep ``proof`` under ``key``."""
        kept = {
            "lines": list(proof.lines),
            "failures": [asdict(failure) for failure in proof.failures],
            "json": proof.to_json,
        }
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            fresh = self._file(key).with_suffix(".new")
            fresh.write_text(json.dumps(kept, ensure_ascii=False), encoding="utf-8")
            fresh.chmod(0o600)
            fresh.replace(self._file(key))
            self._forget_oldest()

    def _file(self, key: str) -> Path:
        return self._folder / f"{key}.json"

    def _forget_oldest(self) -> None:
        files = sorted(self._folder.glob("*.json"), key=lambda file: file.stat().st_mtime)
        for file in files[:-_MOST]:
            file.unlink(missing_ok=True)


def _read(kept: dict[str, Any]) -> ProofText:
    failures = tuple(Failure(**failure) for failure in kept["failures"])
    return ProofText(tuple(kept["lines"]), failures, kept["json"])


def key_of(source: ProofSource, draws: int, seed: int) -> str:
    """The hash of all that the proof of ``source`` hangs on.

    Raises:
        ProcedureFaultsError: the meter's file has faults.
    """
    chosen = source.settings
    parts = [program(_ROOMS), str(draws), str(seed), chosen.language, str(chosen.risk_percent)]
    parts.append(repr(read_meter(source.meter, chosen.meter)) if source.meter else "")
    parts += [source.text, *(part for one in source.used for part in one)]
    return sha256("\0".join(parts).encode()).hexdigest()
