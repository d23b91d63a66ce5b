"""``voiceassist new``: a starter file to write a procedure in."""

import json as json_module
from typing import Annotated

import typer

from voiceassist.cli.options import Json


def new(
    name: Annotated[str, typer.Argument(help="Its name: small letters, digits and hyphens.")],
    title: Annotated[str, typer.Option(help="Its title, spoken at the start.")] = "",
    folder: Annotated[str, typer.Option(help="Where to write it. Default: here.")] = "",
    meter: Annotated[bool, typer.Option("--meter", help="Write a meter file instead.")] = False,
    json: Json = False,
) -> None:
    """Write a commented starter file NAME.yaml that loads as it stands."""
    from voiceassist.app.desk.starter_files import start

    file = str(start(name, title=title, folder=folder, meter=meter))
    if json:
        typer.echo(json_module.dumps({"file": file}, ensure_ascii=False))
    else:
        typer.echo(f"{file} is written. Check it with: voiceassist check {file}")
