"""Which sessions are asked for: options that several verbs of ``records`` share."""

from typing import Annotated

import typer

Order = Annotated[str, typer.Option(help="Repair order.")]
Vehicle = Annotated[str, typer.Option(help="Words from the vehicle's name, or its VIN.")]
Technician = Annotated[str, typer.Option(help="The technician's name, or words from it.")]
Procedure = Annotated[str, typer.Option(help="Name of the procedure.")]
Outcome = Annotated[
    str,
    typer.Option(help="How it ended: repaired, not-proved, found, unproved, stopped; or open."),
]
Since = Annotated[
    str, typer.Option("--since", "--from", help="Begun on this day or later, 2026-01-31.")
]
Until = Annotated[str, typer.Option("--until", "--to", help="Begun on this day or earlier.")]
