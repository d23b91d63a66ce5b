"""``voiceassist hear``: what is said in a sound file."""

import json as json_module
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Language, Listener


def hear(
    files: Annotated[list[str], typer.Argument(help="Sound files, one utterance each.")],
    expect: Annotated[
        str, typer.Option(help="Only readings of this quantity, such as voltage.")
    ] = "",
    procedure: Annotated[str, typer.Option(help="Only what a step of this procedure takes.")] = "",
    step: Annotated[str, typer.Option(help="The step of --procedure.")] = "",
    listener: Listener = "",
    language: Language = "",
    json: Json = False,
) -> None:
    """Show what was heard and understood. Exit 1 when a file gave nothing."""
    from voiceassist.app.understanding import hear_files

    missed = False
    for found in hear_files(
        files, expect=expect, procedure=procedure, step=step, language=language, listener=listener
    ):
        missed = missed or found["meaning"] is None
        if json:
            typer.echo(json_module.dumps(found, ensure_ascii=False))
        else:
            words = found["candidates"][0]["words"] if found["candidates"] else ""
            typer.echo(f"{found['file']}: {found['decision']}: {words or found['reason']}")
    raise typer.Exit(1 if missed else 0)
