"""Options that several commands share; those of settings are made from what these tell of them."""

import inspect
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Annotated

import typer
from typer.models import OptionInfo

from voiceassist.app.settings.settings import ABOUT


def _of(name: str) -> OptionInfo:
    about = ABOUT[name]
    found = typer.Option(about.option, help=about.help, metavar=about.metavar, show_default=False)
    assert isinstance(found, OptionInfo)
    return found


Json = Annotated[bool, typer.Option("--json", help="One JSON object per line on standard output.")]
Silent = Annotated[bool, typer.Option("--silent", help="No sound at all; text only.")]
Typed = Annotated[
    bool, typer.Option("--typed", help="Read utterances from standard input, one per line.")
]
On = Annotated[
    str,
    typer.Option(
        "--on",
        help="Share the work out among the workers of a Dask scheduler, such as"
        " tcp://192.168.1.20:8786. Without it all cores of this computer do it.",
        metavar="ADDRESS",
        show_default=False,
    ),
]
VoiceOut = Annotated[str, typer.Option(help="Write the spoken answers to this WAV file.")]
Records = Annotated[str, _of("records")]
Language = Annotated[str, _of("language")]
Listener = Annotated[str, _of("listener")]
Model = Annotated[str, _of("model")]
Microphone = Annotated[str, _of("microphone")]
Loudspeaker = Annotated[str, _of("loudspeaker")]


def given(**changes: str) -> dict[str, object]:
    """Those of ``changes`` that were given on the command line."""
    return {name: value for name, value in changes.items() if value}


def with_settings(command: Callable[..., None]) -> Callable[..., None]:
    """``command``, which is ``run``, with its options of settings; it gets them as ``changes``."""
    names = [name for name, about in ABOUT.items() if about.option and about.command == "run"]

    @wraps(command)
    def called(**values: object) -> None:
        chosen: Mapping[str, str] = {name: str(values.pop(name)) for name in names}
        command(**values, changes=given(**chosen))

    options = [
        inspect.Parameter(
            name, inspect.Parameter.KEYWORD_ONLY, default="", annotation=Annotated[str, _of(name)]
        )
        for name in names
    ]
    own = list(inspect.signature(command).parameters.values())
    at = next(i for i, each in enumerate(own) if each.name == "changes")
    keyword = [each.replace(kind=inspect.Parameter.KEYWORD_ONLY) for each in own]
    made = inspect.Signature([*keyword[:at], *options, *keyword[at + 1 :]])
    called.__signature__ = made  # type: ignore[attr-defined]
    return called
