"""``voiceassist check``: is a procedure or meter file without fault?"""

import json as json_module
from typing import Annotated

import typer

from voiceassist.cli.options import Json


def check(
    procedures: Annotated[
        list[str],
        typer.Argument(help="Procedure or meter files, folders of them, or shipped names."),
    ],
    json: Json = False,
) -> None:
    """Report every fault in procedure and meter files. Exit 1 when there is an error among them."""
    from voiceassist.app.checking import check_files

    bad = False
    for report in check_files(procedures):
        bad = bad or report.has_errors
        if json:
            typer.echo(json_module.dumps(report.to_json(), ensure_ascii=False))
        else:
            for line in report.lines():
                typer.echo(line)
    raise typer.Exit(1 if bad else 0)
