"""Reads parts of a circuit without a whole file around them, and keeps what is blamed."""

from collections.abc import Sequence

from voiceassist.circuit.reading import CircuitReader, KnownNames, Path

Told = list[tuple[Path, str]]
CONDITIONS = {"key": ("off", "run"), "plug": ("in", "out")}


class Blamed:
    """Keeps what is wrong; ``seen`` are the keys that stand in the file, usable or not."""

    def __init__(self, *seen: str) -> None:
        self.told: Told = []
        self._seen = set(seen)

    def error(self, path: Path, message: str) -> None:
        self.told.append((path, message))

    def written(self, path: Path, *keys: str) -> bool:
        return bool(self._seen.intersection(keys))


def hint(name: str, known: Sequence[str]) -> str:
    return f"; not {name}, known: {' '.join(known)}"


def reader(blame: Blamed) -> CircuitReader:
    steps = {"look": ("yes", "no"), "measure": ()}
    return CircuitReader(KnownNames(CONDITIONS, steps, ("weak", "fine"), hint), blame)
