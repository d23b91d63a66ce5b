"""``voiceassist check``: is a procedure or meter file without fault?"""

import json as json_module
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json, On

if TYPE_CHECKING:
    from voiceassist.app.desk.check import FileReport


def check(
    procedures: Annotated[
        list[str],
        typer.Argument(help="Procedure or meter files, folders of them, or shipped names."),
    ],
    json: Json = False,
    draws: Annotated[
        int, typer.Option(min=1, max=100_000, help="Draws per fault, each with other tolerances.")
    ] = 200,
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same proof.")] = 1,
    no_proof: Annotated[
        bool, typer.Option("--no-proof", help="Check the files only; prove nothing.")
    ] = False,
    fresh: Annotated[
        bool,
        typer.Option("--fresh", help="Prove again even what has not changed since it was proved."),
    ] = False,
    on: On = "",
    read: Annotated[
        bool,
        typer.Option("--read", help="Print every sentence they can speak, and check nothing else."),
    ] = False,
    order: Annotated[
        bool,
        typer.Option(
            "--order", help="Print the minutes to a finding and the steps better taken earlier."
        ),
    ] = False,
) -> None:
    """Report every fault in procedure and meter files, and prove the procedures.

    A procedure that carries a circuit is proved: each of its faults is put into the circuit and
    walked, and must be found; so are milder faults, two at once, and the repairs. What was proved
    before and has not changed is not proved again. Exit 1 when there is an error, or a proof fails.

    With --read, every sentence is printed as it is spoken, with its words and seconds and what is
    wrong with its English; exit 1 when something is.

    With --order, the procedure is walked on vehicles of every cause, as it stands and with steps
    taken earlier. A swap is told only if it loses no caution, no reading that a limit needs and
    no proof, and the procedure is proved with it. Exit 1 when a file has an error.
    """
    if read:
        raise typer.Exit(_read(procedures, json=json))
    if order:
        raise typer.Exit(_order(procedures, on, fresh=fresh, json=json))
    from voiceassist.app.desk.check import check_files
    from voiceassist.app.desk.proof_cache import ProofCache
    from voiceassist.app.desk.prove import Prover
    from voiceassist.app.workers.choose import workers
    from voiceassist.cli.progress import ProgressBar

    bad = False
    with ProgressBar("proving") as bar, workers(on) as many:
        prover = Prover(draws, seed, many, bar.at)
        cache = None if fresh else ProofCache()
        for report in check_files(procedures, None if no_proof else prover, cache):
            bar.clear()
            bad = bad or report.has_errors
            _show(report, json=json)
    raise typer.Exit(1 if bad else 0)


def _read(procedures: list[str], *, json: bool) -> int:
    """Print what can be spoken; 1 when a sentence has a slip."""
    from voiceassist.app.desk.read_aloud import read_aloud

    bad = 0
    for name, aloud in read_aloud(procedures):
        bad = bad or int(bool(aloud.slips))
        if json:
            line = {"procedure": name, **aloud.to_json()}
            typer.echo(json_module.dumps(line, ensure_ascii=False))
        else:
            for text in aloud.lines():
                typer.echo(text)
    return bad


def _order(procedures: list[str], on: str, *, fresh: bool, json: bool) -> int:
    """Print how long each takes and what would be quicker; 1 when one has an error."""
    from voiceassist.app.desk.order import orders
    from voiceassist.app.desk.proof_cache import ProofCache
    from voiceassist.app.workers.choose import workers
    from voiceassist.cli.progress import ProgressBar

    bad = 0
    with ProgressBar("walking") as bar, workers(on) as many:
        for report in orders(procedures, many, None if fresh else ProofCache(), bar.at):
            bar.clear()
            bad = bad or int(not report.usable)
            if json:
                typer.echo(json_module.dumps(report.to_json, ensure_ascii=False))
            else:
                typer.echo("\n".join(report.lines))
    return bad


def _show(report: "FileReport", *, json: bool) -> None:
    if json:
        typer.echo(json_module.dumps(report.to_json(), ensure_ascii=False))
        return
    for line in report.lines():
        typer.echo(line)
