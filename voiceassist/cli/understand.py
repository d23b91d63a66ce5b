"""``voiceassist understand``: what a phrase means."""

import json as json_module
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Language


def understand(
    words: Annotated[str, typer.Argument(help="The phrase, in quotes.")],
    expect: Annotated[
        str, typer.Option(help="Take it as where this quantity is asked for, such as voltage.")
    ] = "",
    procedure: Annotated[
        str, typer.Option(help="Only what a step of this procedure accepts.")
    ] = "",
    step: Annotated[str, typer.Option(help="The step of --procedure.")] = "",
    language: Language = "",
    json: Json = False,
) -> None:
    """Show every meaning of a phrase. Exit 1 when it has none."""
    from voiceassist.app.desk.understand import in_words, understand_words

    if words.startswith("--"):  # let through for the sake of a minus before a number
        raise typer.BadParameter(f"there is no option {words}")

    found = understand_words(
        words, expect=expect, procedure=procedure, step=step, language=language
    )
    if json:
        typer.echo(json_module.dumps(found, ensure_ascii=False))
    else:
        for line in in_words(found):
            typer.echo(line)
        if found["reason"]:
            typer.echo(found["reason"])
    raise typer.Exit(0 if found["meanings"] else 1)
