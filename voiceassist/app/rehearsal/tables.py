"""The tables that advice and marks go by: made once for each file, and kept."""

from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import platformdirs

from voiceassist.app.build import Written
from voiceassist.app.program import program
from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.settings.chosen import NAME
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.likely import likely
from voiceassist.reason.places import places_of
from voiceassist.reason.samples import Place, Samples
from voiceassist.reason.sampling import SEED, VEHICLES, sampled
from voiceassist.session.session import SessionSetup

_ROOMS = ("circuit", "measure", "procedure", "prove", "reason", "session")
#: So many tables are kept; the oldest go first.
_MOST = 100


def adviser_of(
    setup: SessionSetup,
    written: Written,
    progress: Progress = no_progress,
    folder: Path | None = None,
) -> Adviser:
    """The adviser of a procedure with a circuit.

    Its table is made when there is none yet for just this file, meter and program: some seconds.

    Args:
        setup: of the procedure.
        written: the files it was read from.
        progress: told how many causes are done, and of how many.
        folder: where tables are kept; None for the platform's folder for such things.
    """
    found = kept(setup, written, folder)
    if found is None:
        made = sampled(
            setup.procedure, places_of(setup), likely(setup.procedure), progress=progress
        )
        _write(_file(setup, written, folder), made)
        found = Adviser(setup, made)
    return found


def kept(setup: SessionSetup, written: Written, folder: Path | None = None) -> Adviser | None:
    """The adviser of a procedure whose table is kept; None where none is, or it is not readable."""
    found = _read(_file(setup, written, folder))
    return Adviser(setup, found) if found is not None else None


def _file(setup: SessionSetup, written: Written, folder: Path | None) -> Path:
    home = folder or platformdirs.user_cache_path(NAME) / "tables"
    return home / f"{_key(setup, written)}.npz"


def _key(setup: SessionSetup, written: Written) -> str:
    parts = [program(_ROOMS), str(VEHICLES), str(SEED), repr(setup.meter), written.text]
    parts += [part for name in sorted(written.used) for part in (name, written.used[name])]
    return sha256("\0".join(parts).encode()).hexdigest()


def _read(file: Path) -> Samples | None:
    """What is kept; None when nothing is, or it cannot be read."""
    with suppress(OSError, ValueError, KeyError, BadZipFile), np.load(file) as kept:
        places = zip(kept["steps"].tolist(), kept["states"].tolist(), strict=True)
        return Samples(
            causes=tuple(kept["causes"].tolist()),
            likely=tuple(kept["likely"].tolist()),
            places=tuple(Place(step, _states(text)) for step, text in places),
            words=tuple(kept["words"].tolist()),
            numbers=kept["numbers"],
            seen=kept["seen"],
        )
    return None


def _write(file: Path, table: Samples) -> None:
    """Keep ``table``; what cannot be written is made anew the next time."""
    with suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh = file.with_suffix(".new.npz")
        np.savez_compressed(
            fresh,
            causes=np.array(table.causes),
            likely=np.array(table.likely),
            steps=np.array([place.step for place in table.places]),
            states=np.array([_text(place) for place in table.places]),
            words=np.array(table.words),
            numbers=table.numbers,
            seen=table.seen,
        )
        fresh.chmod(0o600)
        fresh.replace(file)
        kept = sorted(file.parent.glob("*.npz"), key=lambda each: each.stat().st_mtime)
        for old in kept[:-_MOST]:
            old.unlink(missing_ok=True)


def _text(place: Place) -> str:
    return "\n".join(f"{name}\t{state}" for name, state in place.states)


def _states(text: str) -> tuple[tuple[str, str], ...]:
    pairs = (line.partition("\t") for line in text.split("\n") if line)
    return tuple((name, state) for name, _, state in pairs)
