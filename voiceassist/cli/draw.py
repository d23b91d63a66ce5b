"""``voiceassist draw``: the flow chart of a procedure, or the circuit it is for."""

from typing import Annotated

import typer


def draw(
    procedure: Annotated[str, typer.Argument(help="Procedure file, or the name of a shipped one.")],
    circuit: Annotated[
        bool, typer.Option("--circuit/--flow", help="The circuit, or the flow of the steps.")
    ] = False,
    form: Annotated[str, typer.Option("--as", help="svg, or for a flow mermaid too.")] = "svg",
    out: Annotated[str, typer.Option(help="File to write. Default: standard output.")] = "",
) -> None:
    """Draw a procedure: its steps and where they lead, or the circuit it is for."""
    from voiceassist.app.drawing import drawing, write

    text = drawing(procedure, form, circuit=circuit)
    if out:
        write(text, out)
    else:
        typer.echo(text, nl=False)
