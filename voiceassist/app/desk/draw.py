"""Draws a procedure for ``voiceassist draw``."""

from pathlib import Path

from voiceassist.app import build
from voiceassist.draw.circuit import circuit_sheets, draw_circuit
from voiceassist.draw.flow import draw_flow
from voiceassist.draw.mermaid import flow_mermaid
from voiceassist.errors import ResourceError, SettingsError
from voiceassist.procedure.model import Procedure

#: What a drawing can be written as.
FORMS = ("svg", "mermaid")


def drawing(name: str, form: str = "svg", *, circuit: bool = False) -> str:
    """The flow chart of the procedure ``name``, or its circuit.

    Args:
        name: a path, or that of a shipped procedure.
        form: one of ``FORMS``.
        circuit: draw the circuit instead.

    Raises:
        SettingsError: another form, or one that no circuit can be drawn in.
        ResourceError: there is no such file, or no circuit in it.
        ProcedureFaultsError: the procedure has faults.
    """
    if form not in FORMS:
        raise SettingsError(f"found {form!r}", place="--as", remedy=f"use {' or '.join(FORMS)}")
    if circuit and form != "svg":
        raise SettingsError(
            f"a circuit cannot be drawn as {form!r}", place="--as", remedy="use svg"
        )
    procedure = build.procedure(name).procedure
    if not circuit:
        return draw_flow(procedure) if form == "svg" else flow_mermaid(procedure)
    return draw_circuit(_with_circuit(procedure, name))


def sheets_of(name: str, out: str) -> tuple[tuple[Path, str], ...]:
    """The circuit of the procedure ``name`` on sheets of A4, each with the file it goes into.

    Raises:
        SettingsError: no file is named.
        ResourceError: there is no such procedure, or no circuit in it.
        ProcedureFaultsError: the procedure has faults.
    """
    if not out:
        remedy = "name a file, such as --out circuit.svg"
        raise SettingsError("sheets are written to files", place="--sheets", remedy=remedy)
    drawn = circuit_sheets(_with_circuit(build.procedure(name).procedure, name))
    path = Path(out)
    return tuple(
        (path.with_name(f"{path.stem}-{i}{path.suffix}"), text) for i, text in enumerate(drawn, 1)
    )


def _with_circuit(procedure: Procedure, name: str) -> Procedure:
    if procedure.circuit is None:
        raise ResourceError(
            f"the procedure {procedure.name!r} has no circuit",
            place=name,
            remedy="draw its flow, or describe its circuit under 'circuit:'",
        )
    return procedure
