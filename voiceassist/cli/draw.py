"""``voiceassist draw``: the flow chart of a procedure, or the circuit it is for."""

from typing import Annotated

import typer


def draw(
    procedure: Annotated[str, typer.Argument(help="Procedure file, or the name of a shipped one.")],
    circuit: Annotated[
        bool, typer.Option("--circuit/--flow", help="The circuit, or the flow of the steps.")
    ] = False,
    form: Annotated[str, typer.Option("--as", help="svg, or for a flow mermaid too.")] = "svg",
    sheets: Annotated[
        bool, typer.Option("--sheets", help="The circuit on sheets of A4: NAME-1.svg and so on.")
    ] = False,
    likely: Annotated[
        bool,
        typer.Option("--likely", help="Print on each branch how many jobs take it, in percent."),
    ] = False,
    step: Annotated[
        str, typer.Option(help="The picture of this step: the meter in the circuit, plug and pin.")
    ] = "",
    steps: Annotated[
        bool, typer.Option("--steps", help="The pictures of all steps as one HTML page.")
    ] = False,
    out: Annotated[str, typer.Option(help="New file to write. Default: standard output.")] = "",
) -> None:
    """Draw a procedure: its steps and where they lead, its circuit, or what a step looks like."""
    import sys
    from pathlib import Path

    from voiceassist.app.desk.draw import drawing, sheets_of, step_drawing, steps_drawing
    from voiceassist.app.new_file import write_new
    from voiceassist.errors import SettingsError

    if not out and form != "mermaid" and sys.stdout.isatty():
        remedy = "name a file, such as --out drawing.svg"
        raise SettingsError("a drawing is not for a terminal", place="--out", remedy=remedy)
    if sheets:
        for path, text in sheets_of(procedure, out):
            write_new(path, text.encode("utf-8"))
            typer.echo(path)
        return
    if step:
        text = step_drawing(procedure, step)
    elif steps:
        text = steps_drawing(procedure)
    else:
        text = drawing(procedure, form, circuit=circuit, likely=likely)
    if out:
        write_new(Path(out), text.encode("utf-8"))
    else:
        typer.echo(text, nl=False)
