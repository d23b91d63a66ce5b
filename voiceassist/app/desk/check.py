"""Checks procedure and meter files and reports every fault."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from voiceassist import resources
from voiceassist.app.build import Components, Library, settings
from voiceassist.app.desk.proof_cache import ProofCache, ProofText, key_of
from voiceassist.app.desk.prove import ProofSource, Prover, setup_of
from voiceassist.errors import ResourceError
from voiceassist.procedure.faults import Fault, Severity
from voiceassist.procedure.meter_file import inspect_meter, is_meter_file
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect
from voiceassist.procedure.text.for_each import written_out
from voiceassist.procedure.text.tree import Path as Place
from voiceassist.procedure.text.tree import dotted, read_tree
from voiceassist.prove.failure import Failure
from voiceassist.prove.proof_text import failures, lines, to_json
from voiceassist.prove.words import Ear, alike

_BLOCKS = ("steps", "repairs")


@dataclass(frozen=True, slots=True)
class FileReport:
    """The faults of one file.

    Parts:
        file: its path.
        name: the procedure's or meter's name; that of the file when it cannot be told.
        parts: what there is in it, such as "12 steps"; empty when it cannot be used.
        faults: in order of lines.
        proof: of a procedure with a circuit; None when there is none, or it was not proved.
        unproved: why a procedure was not proved; empty when it was.
    """

    file: str
    name: str
    parts: str
    faults: tuple[Fault, ...]
    proof: ProofText | None = None
    unproved: str = ""

    @property
    def has_errors(self) -> bool:
        """True when the file cannot be used."""
        return any(fault.level is Severity.ERROR for fault in self.faults)

    def to_json(self) -> dict[str, object]:
        """One JSON object."""
        problems = [
            {"level": f.level.value, "path": f.path, "line": f.line, "message": f.message}
            for f in self.faults
        ]
        proof = self.proof.to_json if self.proof is not None else None
        return {"procedure": self.name, "file": self.file, "problems": problems, "proof": proof}

    def lines(self) -> Iterator[str]:
        """For people: a line a fault, or one that says there is none."""
        for fault in self.faults:
            yield f"{self.file}: {fault.level}: {fault}"
        rows = [f"no fault in {self.parts}"] if not self.faults else []
        rows += [self.unproved] if self.unproved else []
        if rows:
            yield f"{self.file}: {'; '.join(rows)}"
        if self.proof is not None:
            yield from self.proof.lines


def check_files(
    names: Sequence[str], prover: Prover | None = None, cache: ProofCache | None = None
) -> Iterator[FileReport]:
    """Check each file; a folder stands for the YAML files in it.

    One that cannot be read among several is reported, and the others are checked.

    Args:
        names: of files, folders or shipped procedures.
        prover: proves each procedure that has a circuit and no error; None to leave that.
        cache: what is known already; None to prove all.

    Raises:
        ResourceError: the only name leads to nothing, or its file cannot be read.
    """
    checker = Checker(prover=prover, cache=cache)
    for name in names:
        try:
            yield from map(checker.check, files_of(name))
        except ResourceError as error:
            if len(names) == 1:
                raise
            yield _unreadable(name, error)


def files_of(name: str) -> list[Path]:
    """The file that ``name`` leads to, or those in the folder.

    Raises:
        ResourceError: it leads to nothing, or the file cannot be read.
    """
    path = resources.procedure_path(name)
    files = sorted(path.glob("*.yaml")) if path.is_dir() else [path]
    if not files:
        raise ResourceError("there is no .yaml file in this folder", place=str(path))
    if not path.is_dir():
        resources.read_text(path)
    return files


def _unreadable(name: str, error: ResourceError) -> FileReport:
    message = f"{error.found}; {error.remedy}" if error.remedy else error.found
    fault = Fault(Severity.ERROR, "", 0, message)
    return FileReport(error.place or name, Path(name).stem, "", (fault,))


@dataclass(frozen=True)
class Checker:
    """Checks files by the language that the settings choose.

    Parts:
        shop: gives the language; it is loaded when the first question needs it.
        prover: proves procedures; None to leave that.
        cache: proofs that were made before; None to make all.
    """

    shop: Components = field(default_factory=lambda: Components(settings({})))
    prover: Prover | None = None
    cache: ProofCache | None = None

    def check(self, path: Path) -> FileReport:
        """Check one file; one that cannot be read is reported too."""
        try:
            text = resources.read_text(path)
            return _meter(path, text) if is_meter_file(text) else self._procedure(path, text)
        except ResourceError as error:
            return _unreadable(str(path), error)

    def _procedure(self, path: Path, text: str) -> FileReport:
        library = Library(path.parent)
        procedure, faults = inspect(text, library, self.shop.is_reserved)
        if procedure is None:
            return FileReport(str(path), path.stem, "", faults)
        missing = tuple(_missing_pictures(procedure, text, path.parent))
        proof = self._proof(procedure, path, text, library.used)
        failed = _failed(proof, text) if proof is not None else ()
        near = self._near_words(procedure, text)
        ordered = tuple(sorted((*faults, *missing, *near, *failed), key=lambda f: f.line))
        steps = _counted(len(procedure.steps) + len(procedure.repairs), "step")
        why = "no circuit, so not proved" if procedure.circuit is None else ""
        return FileReport(str(path), procedure.name, steps, ordered, proof, why)

    def _near_words(self, procedure: Procedure, text: str) -> Iterator[Fault]:
        """A warning for each step where words that sound alike lead to different places."""
        if self._ear is None:
            return
        found = tuple(alike(procedure, self._ear))
        lines_of = written_out(read_tree(text)).lines if found else {}
        for each in found:
            inside = ("steps", each.step)
            place = next((p for p in ((*inside, "accept"), inside) if p in lines_of), ())
            yield Fault(Severity.WARNING, dotted(place), lines_of.get(place, 0), each.message)

    @cached_property
    def _ear(self) -> Ear | None:
        """What phrases sound like; None in a language whose sounds are not known."""
        if self.shop.settings.language != "en":
            return None
        from voiceassist.recognise.dictionary import Dictionary

        return Ear(self.shop.language.say, Dictionary(self.shop.pronunciations))

    def _proof(
        self, procedure: Procedure, path: Path, text: str, used: Mapping[str, str]
    ) -> ProofText | None:
        if self.prover is None or procedure.circuit is None:
            return None
        source = ProofSource.of(text, str(path), self.shop.settings, used)
        key = key_of(source, self.prover.draws, self.prover.seed) if self.cache else ""
        known = self.cache.get(key) if self.cache else None
        if known is not None:
            return known
        proof = self.prover.prove(setup_of(procedure, self.shop), source)
        proof_text = ProofText(
            tuple(lines(proof)), tuple(failures(procedure, proof)), to_json(proof)
        )
        if self.cache:
            self.cache.put(key, proof_text)
        return proof_text


def _failed(proof: ProofText, text: str) -> Iterator[Fault]:
    """An error for each thing that fails the proof, at the step or fault it is about."""
    lines_of = written_out(read_tree(text)).lines if proof.failures else {}
    for failure in proof.failures:
        place = next((p for p in _places(failure) if p in lines_of), ())
        level = Severity.WARNING if failure.only_warns else Severity.ERROR
        yield Fault(level, dotted(place), lines_of.get(place, 0), failure.message)


def _places(failure: Failure) -> Iterator[Place]:
    """Where a failure may stand in the file; a step may come from another one."""
    yield "steps", failure.step
    yield "repairs", failure.step
    yield "steps", failure.step.split("-")[0]
    yield "faults", failure.fault
    yield ("faults",)


def _meter(path: Path, text: str) -> FileReport:
    meter, faults = inspect_meter(text)
    if meter is None:
        return FileReport(str(path), path.stem, "", faults)
    return FileReport(str(path), meter.name, _counted(len(meter.ranges), "range"), faults)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _missing_pictures(procedure: Procedure, text: str, folder: Path) -> Iterator[Fault]:
    """A warning for each picture of the file's own steps that is not beside it."""
    named: dict[Place, str] = {}
    for block, steps in zip(_BLOCKS, (procedure.steps, procedure.repairs), strict=True):
        named |= {(block, n, "picture"): s.picture for n, s in steps.items() if s.picture}
    missing = {place: name for place, name in named.items() if not (folder / name).is_file()}
    lines = written_out(read_tree(text)).lines if missing else {}
    for place, name in missing.items():
        if place in lines:
            message = f"there is no picture {name!r} beside this file; put it there"
            yield Fault(Severity.WARNING, dotted(place), lines[place], message)
