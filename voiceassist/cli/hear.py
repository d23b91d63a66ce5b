"""``voiceassist hear``: what is said in a sound file."""

import json as json_module
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Language, Listener, Model, given
from voiceassist.cli.show import warn


def hear(
    files: Annotated[list[str], typer.Argument(help="Sound files.")],
    expect: Annotated[
        str, typer.Option(help="Take it as where this quantity is asked for, such as voltage.")
    ] = "",
    procedure: Annotated[
        str, typer.Option(help="Only what a step of this procedure accepts.")
    ] = "",
    step: Annotated[str, typer.Option(help="The step of --procedure.")] = "",
    listener: Listener = "",
    model: Model = "",
    language: Language = "",
    json: Json = False,
) -> None:
    """Show what was heard and understood, one line per utterance.

    Exit 1 when one was not understood, 2 when a file could not be heard at all.
    """
    from voiceassist.app.desk.hear_files import hear_files

    changes = given(listener=listener, model=model, language=language)
    code = 0
    heard = hear_files(
        files, expect=expect, procedure=procedure, step=step, changes=changes, tell=warn
    )
    for found in heard:
        code = max(code, _code(found))
        if json:
            typer.echo(json_module.dumps(found, ensure_ascii=False))
        elif "error" in found:
            warn(found["error"])
        else:
            typer.echo(_line(found))
    raise typer.Exit(code)


def _code(found: dict[str, Any]) -> int:
    if "error" in found:
        return 2
    return 1 if found["meaning"] is None else 0


def _line(found: dict[str, Any]) -> str:
    where = f" at {found['start_s']:.1f} s" if "start_s" in found else ""
    meaning = " or ".join(map(_likely, _shown(found))) or found["reason"]
    return f"{found['file']}{where}: {found['decision']}: {meaning}"


def _shown(found: dict[str, Any]) -> list[dict[str, Any]]:
    """The likeliest candidate; both of two that would be asked about."""
    candidates: list[dict[str, Any]] = found["candidates"]
    return candidates[: 2 if found["decision"] == "ask" else 1]


def _likely(candidate: dict[str, Any]) -> str:
    probability = candidate["probability"]
    sure = "" if probability is None else f" ({int(probability * 100)}%)"
    return f"{candidate['words']}{sure}"
