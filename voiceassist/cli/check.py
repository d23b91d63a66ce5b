"""``voiceassist check``: is a procedure or meter file without fault?"""

import json as json_module
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json

if TYPE_CHECKING:
    from voiceassist.app.checking import FileReport


def check(
    procedures: Annotated[
        list[str],
        typer.Argument(help="Procedure or meter files, folders of them, or shipped names."),
    ],
    json: Json = False,
    draws: Annotated[
        int, typer.Option(min=1, max=100_000, help="Draws of each fault, with other tolerances.")
    ] = 200,
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same proof.")] = 1,
    no_proof: Annotated[
        bool, typer.Option("--no-proof", help="Check the files only; prove nothing.")
    ] = False,
) -> None:
    """Report every fault in procedure and meter files, and prove the procedures.

    A procedure that carries a circuit is proved: each of its faults is put into the circuit and
    walked, and must be found. Exit 1 when there is an error, or a proof fails.
    """
    from voiceassist.app.checking import check_files
    from voiceassist.app.proving import Prover
    from voiceassist.cli.progress import Bar

    bad = False
    with Bar("proving") as bar, Prover(draws, seed, progress=bar.at) as prover:
        for report in check_files(procedures, None if no_proof else prover):
            bar.clear()
            bad = bad or report.has_errors
            _show(report, json=json)
    raise typer.Exit(1 if bad else 0)


def _show(report: "FileReport", *, json: bool) -> None:
    if json:
        typer.echo(json_module.dumps(report.to_json(), ensure_ascii=False))
        return
    for line in report.lines():
        typer.echo(line)
