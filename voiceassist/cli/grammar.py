"""``voiceassist grammar``: what can be said, shown, sampled and exported."""

import json as json_module
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Language

grammar = typer.Typer(
    help="Show, sample and export what can be said.", no_args_is_help=True, rich_markup_mode=None
)

Expect = Annotated[
    str, typer.Option(help="Take it as where this quantity is asked for, such as voltage.")
]
Procedure = Annotated[str, typer.Option(help="Only what a step of this procedure accepts.")]
Step = Annotated[str, typer.Option(help="The step of --procedure.")]
Heard = Annotated[
    bool,
    typer.Option("--heard", help="Only what recognisers search, not all that may be typed."),
]


@grammar.command()
def show(
    expect: Expect = "",
    procedure: Procedure = "",
    step: Step = "",
    language: Language = "",
    json: Json = False,
) -> None:
    """What can be said at a step, an example of each."""
    from voiceassist.app.desk.grammar import GrammarChoice, can_say

    phrases = can_say(GrammarChoice(expect, procedure, step, language))
    if json:
        typer.echo(json_module.dumps({"can_say": list(phrases)}, ensure_ascii=False))
    else:
        typer.echo("You can say:\n" + "\n".join(f"  {phrase}" for phrase in phrases))


@grammar.command()
def sample(
    count: Annotated[int, typer.Option("--count", "-n", min=1, help="How many phrases.")] = 10,
    seed: Annotated[int, typer.Option(help="The same seed gives the same phrases.")] = 1,
    expect: Expect = "",
    procedure: Procedure = "",
    step: Step = "",
    language: Language = "",
    heard: Heard = False,
    json: Json = False,
) -> None:
    """Random phrases; with --json, what each of them means too."""
    from voiceassist.app.desk.grammar import GrammarChoice, samples

    choice = GrammarChoice(expect, procedure, step, language)
    for found in samples(choice, count, seed, heard=heard):
        if json:
            typer.echo(json_module.dumps(found, ensure_ascii=False))
        else:
            typer.echo(found["text"])


@grammar.command()
def export(
    form: Annotated[str, typer.Option("--as", "--format", help="jsgf, or words.")] = "jsgf",
    expect: Expect = "",
    procedure: Procedure = "",
    step: Step = "",
    language: Language = "",
    heard: Heard = False,
    json: Json = False,
) -> None:
    """The grammar as one JSGF 1.0 text, or as its words."""
    from voiceassist.app.desk.grammar import GrammarChoice, exported

    choice = GrammarChoice(expect, procedure, step, language)
    text = exported(choice, form, everything=not heard)
    if json:
        typer.echo(json_module.dumps({"format": form, "text": text}, ensure_ascii=False))
    else:
        typer.echo(text)


@grammar.command(short_help="How to say it: a table in Markdown.")
def forms(language: Language = "", json: Json = False) -> None:
    """How to say readings, lamp states, answers and commands: a table in Markdown."""
    from voiceassist.app.desk.grammar import how_to_say_it

    text = how_to_say_it(language).rstrip()
    typer.echo(json_module.dumps({"table": text}, ensure_ascii=False) if json else text)
