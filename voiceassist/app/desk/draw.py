"""Draws a procedure for ``voiceassist draw``."""

from difflib import get_close_matches
from pathlib import Path

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.draw.chart import Likely
from voiceassist.draw.circuit import circuit_sheets, draw_circuit
from voiceassist.draw.flow import draw_flow
from voiceassist.draw.mermaid import flow_mermaid
from voiceassist.draw.step_picture import step_picture
from voiceassist.draw.steps_page import steps_page
from voiceassist.errors import ResourceError, SettingsError
from voiceassist.procedure.model import Procedure
from voiceassist.reason.likely import likely as likely_of

#: What a drawing can be written as.
FORMS = ("svg", "mermaid")


def drawing(name: str, form: str = "svg", *, circuit: bool = False, likely: bool = False) -> str:
    """The flow chart of the procedure ``name``, or its circuit.

    Args:
        name: a path, or that of a shipped procedure.
        form: one of ``FORMS``.
        circuit: draw the circuit instead.
        likely: write on the flow how often each way is taken.

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
    if circuit and likely:
        raise SettingsError(
            "the numbers belong to the flow", place="--likely", remedy="leave --circuit out"
        )
    procedure = build.procedure(name).procedure
    if circuit:
        return draw_circuit(_with_circuit(procedure, name))
    shares = _likely(_with_circuit(procedure, name)) if likely else None
    draw = draw_flow if form == "svg" else flow_mermaid
    return draw(procedure, likely=shares)


def _likely(procedure: Procedure) -> Likely:
    """How often each way is taken, by walks with every cause as likely as the file says."""
    from voiceassist.reason.ways import ways

    setup = setup_of(procedure, build.Components(build.settings({})))
    found = ways(setup, likely_of(procedure))
    return Likely(found.exits, found.ends)


def step_drawing(name: str, step: str) -> str:
    """The picture of a step, or of a step of a repair, as an SVG for a file of its own.

    Raises:
        SettingsError: the procedure has no such step.
        ResourceError: there is no such procedure.
        ProcedureFaultsError: the procedure has faults.
    """
    procedure = build.procedure(name).procedure
    names = [*procedure.steps, *procedure.repairs]
    if step not in names:
        near = get_close_matches(step, names, 3) or names
        raise SettingsError(
            f"{procedure.name!r} has no step {step!r}",
            place="--step",
            remedy=f"use {' or '.join(near)}",
        )
    return step_picture(procedure, step, wide=True, alone=True)


def steps_drawing(name: str) -> str:
    """The pictures of all steps as a page.

    Raises:
        ResourceError: there is no such procedure.
        ProcedureFaultsError: the procedure has faults.
    """
    return steps_page(build.procedure(name).procedure)


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
