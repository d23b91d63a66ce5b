"""Checks procedure files and reports every fault."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from voiceassist import resources
from voiceassist.errors import ResourceError
from voiceassist.procedure.faults import Fault, Level
from voiceassist.procedure.read import inspect


@dataclass(frozen=True, slots=True)
class FileReport:
    """The faults of one file.

    Parts:
        file: its path.
        name: the procedure's name; empty when it cannot be told.
        steps: how many steps it has.
        faults: in order of lines.
    """

    file: str
    name: str
    steps: int
    faults: tuple[Fault, ...]

    @property
    def has_errors(self) -> bool:
        """True when the file cannot be used."""
        return any(fault.level is Level.ERROR for fault in self.faults)

    def to_json(self) -> dict[str, object]:
        """One JSON object."""
        problems = [
            {"level": f.level.value, "path": f.path, "line": f.line, "message": f.message}
            for f in self.faults
        ]
        return {"procedure": self.name, "file": self.file, "problems": problems}

    def lines(self) -> Iterator[str]:
        """For people: a line a fault, or one that says there is none."""
        for fault in self.faults:
            yield f"{self.file}: {fault.level}: {fault}"
        if not self.faults:
            yield f"{self.file}: no fault in {self.steps} steps"


def check_procedures(names: Sequence[str]) -> Iterator[FileReport]:
    """Check each file; a folder stands for the YAML files in it.

    Raises:
        ResourceError: a name leads to nothing, or a file cannot be read.
    """
    for name in names:
        path = resources.procedure_path(name)
        files = sorted(path.glob("*.yaml")) if path.is_dir() else [path]
        if not files:
            raise ResourceError("there is no .yaml file in this folder", place=str(path))
        yield from map(check_file, files)


def check_file(path: Path) -> FileReport:
    """Check one file."""
    procedure, faults = inspect(resources.read_text(path))
    name = procedure.name if procedure else path.stem
    steps = len(procedure.steps) + len(procedure.repairs) if procedure else 0
    return FileReport(str(path), name, steps, faults)
