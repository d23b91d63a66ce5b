"""Draws a procedure for ``voiceassist draw``."""

from voiceassist.app import build
from voiceassist.draw.circuit import draw_circuit
from voiceassist.draw.flow import draw_flow
from voiceassist.draw.mermaid import flow_mermaid
from voiceassist.errors import ResourceError, SettingsError

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
    if procedure.circuit is None:
        raise ResourceError(
            f"the procedure {procedure.name!r} has no circuit",
            place=name,
            remedy="draw its flow, or describe its circuit under 'circuit:'",
        )
    return draw_circuit(procedure)
