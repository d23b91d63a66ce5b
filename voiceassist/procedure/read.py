"""A procedure file's text to a ``Procedure``, or to every fault in it."""

from collections.abc import Callable
from types import MappingProxyType

from voiceassist.circuit.shape import (
    TABLE,
    CircuitShape,
    FaultShape,
    InstrumentsShape,
    PartShape,
    PlugShape,
)
from voiceassist.procedure.assemble import build
from voiceassist.procedure.faults import Fault, ProcedureFaultsError, Severity
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.parts.used_files import Ready
from voiceassist.procedure.shape.procedure import (
    CautionShape,
    FactShape,
    FindingShape,
    ProcedureShape,
    StateShape,
)
from voiceassist.procedure.shape.step import (
    ANSWER,
    POINT,
    STATE,
    SWEEP,
    AnswerShape,
    PointShape,
    StepShape,
    SweepShape,
    TableShape,
)
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.fit_shape import Shapes, shaped
from voiceassist.procedure.text.for_each import written_out
from voiceassist.procedure.text.tree import read_tree

#: Name of a procedure file to its text; None when there is none of that name.
Library = Callable[[str], str | None]
#: True for a phrase that already means something in the language.
Reserved = Callable[[str], bool]

_DEEPEST = 8
_SHAPES: Shapes = MappingProxyType(
    {
        "cautions": CautionShape,
        "facts": FactShape,
        "steps": StepShape,
        "repairs": StepShape,
        "findings": FindingShape,
        "faults": FaultShape,
        "circuit": CircuitShape,
        "circuit.parts": PartShape,
        "circuit.plugs": PlugShape,
        "circuit.instruments": InstrumentsShape,
        ANSWER: AnswerShape,
        SWEEP: SweepShape,
        TABLE: TableShape,
        STATE: StateShape,
        POINT: PointShape,
    }
)


def no_library(name: str) -> None:
    """A library that holds nothing."""


def nothing_reserved(phrase: str) -> bool:
    """For a reader that knows no language: every phrase is free."""
    return False


def read_procedure(
    text: str, file: str, library: Library = no_library, reserved: Reserved = nothing_reserved
) -> Procedure:
    """Read a procedure from YAML ``text``; whether its circuit can be solved is not tried.

    Args:
        text: the whole file.
        file: how to call it in messages.
        library: finds the procedures that it puts in.
        reserved: tells which phrases cannot be answers.

    Raises:
        ProcedureFaultsError: with every fault of level ERROR (and any warnings) in it.
    """
    procedure, faults = _Reader(library, reserved, trial=False).procedure(text)
    if procedure is None:
        raise ProcedureFaultsError(file, faults)
    return procedure


def inspect(
    text: str, library: Library = no_library, reserved: Reserved = nothing_reserved
) -> tuple[Procedure | None, tuple[Fault, ...]]:
    """Read ``text``, and try whether its circuit can be solved.

    Args:
        text: the whole file.
        library: finds the procedures that it puts in; what it raises is not caught.
        reserved: tells which phrases cannot be answers.

    Returns:
        The procedure, or None when an error stops it; and every fault, in order of lines.
    """
    return _Reader(library, reserved, trial=True).procedure(text)


class _Reader:
    """Reads a file and those it uses, each of them once."""

    def __init__(self, library: Library, reserved: Reserved, *, trial: bool) -> None:
        self._library = library
        self._reserved = reserved
        self._trial = trial
        self._known: dict[str, Ready | str] = {}

    def procedure(self, text: str) -> tuple[Procedure | None, tuple[Fault, ...]]:
        """The procedure in ``text``, None when an error stops it; and every fault."""
        ready, faults = self.inspect(text, ())
        return (ready.procedure if ready else None), faults

    def inspect(self, text: str, above: tuple[str, ...]) -> tuple[Ready | None, tuple[Fault, ...]]:
        """What ``text`` says, None when an error stops it; ``above`` are the files that use it."""
        tree = written_out(read_tree(text))
        faults = list(tree.faults)
        ready = None
        if isinstance(tree.value, dict) and tree.value:
            shape = shaped(tree, faults, ProcedureShape, _SHAPES)
            if shape is not None:
                blame = FaultCollector(tree, faults)
                inside = above or (shape.procedure,)
                ready = build(shape, blame, lambda name: self._find(name, inside), self._reserved)
                circuit = ready.procedure.circuit
                if self._trial and circuit is not None:
                    # Here and nowhere else are circuits solved; a session need not load that.
                    from voiceassist.circuit.trial import try_circuit

                    try_circuit(circuit, ready.procedure.conditions, blame)
        elif not faults:
            message = "this holds no procedure; begin with 'procedure: a-name'"
            faults.append(Fault(Severity.ERROR, "", 1, message))
        ordered = tuple(sorted(faults, key=lambda fault: fault.line))
        stopped = any(fault.level is Severity.ERROR for fault in ordered)
        return (None if stopped else ready), ordered

    def _find(self, name: str, above: tuple[str, ...]) -> Ready | str:
        """The procedure ``name`` that the last of ``above`` uses, or why it cannot be used."""
        if name in above:
            chain = " → ".join([*above[above.index(name) :], name])
            return f"a procedure cannot use itself: {chain}; take one of them out"
        if len(above) >= _DEEPEST:
            return f"procedures are put in more than {_DEEPEST} deep; put some steps in here"
        if name not in self._known:
            self._known[name] = self._read(name, above)
        return self._known[name]

    def _read(self, name: str, above: tuple[str, ...]) -> Ready | str:
        text = self._library(name)
        if text is None:
            where = "beside this one or among the shipped ones"
            return f"there is no procedure file {name}.yaml {where}; check its name"
        ready, faults = self.inspect(text, (*above, name))
        if ready is not None:
            return ready
        errors = [fault for fault in faults if fault.level is Severity.ERROR]
        return f"{name}.yaml has faults; the first is: {errors[0]}"
