"""``voiceassist models``: the models that listeners hear with."""

import json as json_module
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json

models = typer.Typer(
    help="List, add and verify models for listeners.", no_args_is_help=True, rich_markup_mode=None
)
_MB = 1_000_000


@models.command("list")
def list_(json: Json = False) -> None:
    """Every model kept. Exit 1 when one is damaged."""
    from voiceassist.app.settings.speech_models import list_models

    found = list(list_models())
    if not found and not json:
        typer.echo("No model is kept. Add one: voiceassist models add FOLDER")
    for model in found:
        _show(model, model.get("error") or _line(model), json=json)
    raise typer.Exit(1 if any("error" in model for model in found) else 0)


@models.command()
def add(
    source: Annotated[str, typer.Argument(help="A folder, a zip or tar archive, or an address.")],
    name: Annotated[str, typer.Option(help="Keep it under this name.")] = "",
    sha256: Annotated[str, typer.Option(help="SHA-256 that the archive must have.")] = "",
    language: Annotated[str, typer.Option(help="Language that it hears, such as ko.")] = "",
    insecure_http: Annotated[
        bool, typer.Option("--insecure-http", help="Let an http address pass.")
    ] = False,
    json: Json = False,
) -> None:
    """Keep a model, so that listeners find it. The only command that ever fetches anything."""
    from voiceassist.app.settings.speech_models import Wish, add_model

    model = add_model(Wish(source, name, language, sha256, insecure_http))
    _show(model, f"Kept {_line(model)}", json=json)


@models.command()
def verify(
    names: Annotated[
        list[str] | None, typer.Argument(help="Names of kept models; all when none is given.")
    ] = None,
    json: Json = False,
) -> None:
    """Compare every file with its checksum. Exit 1 when one is not as it was kept."""
    from voiceassist.app.settings.speech_models import verify_models

    reports = list(verify_models(names or []))
    if not reports and not json:
        typer.echo("No model is kept. Add one: voiceassist models add FOLDER")
    bad = False
    for report in reports:
        bad = bad or not report["ok"]
        problems = "".join(f"\n  {p['path']}: {p['found']}" for p in report["problems"])
        _show(
            report,
            f"{report['name']}: {'whole' if report['ok'] else 'damaged'}{problems}",
            json=json,
        )
    raise typer.Exit(1 if bad else 0)


def _show(about: dict[str, Any], text: str, *, json: bool) -> None:
    typer.echo(json_module.dumps(about, ensure_ascii=False) if json else text)


def _line(model: dict[str, Any]) -> str:
    language = f", {model['language']}" if model["language"] else ""
    state = "verified" if model["verified"] else "not verified"
    return f"{model['name']}: {model['listener']}{language}, {model['bytes'] // _MB} MB, {state}"
