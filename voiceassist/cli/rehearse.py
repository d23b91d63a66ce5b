"""``voiceassist rehearse``: a job on a simulated vehicle with a hidden fault."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.choosing import named, none_named
from voiceassist.cli.options import Json, Silent, Typed, VoiceOut, with_settings
from voiceassist.cli.run import keyboard, staged
from voiceassist.cli.show import warn

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.asked import Asked, Settled


@with_settings
def rehearse(
    procedure: Annotated[
        str, typer.Argument(help="A procedure file, or a word that names a shipped procedure.")
    ] = "",
    free: Annotated[
        bool,
        typer.Option("--free", help="Nobody leads: say what you do, and name the cause."),
    ] = False,
    fault: Annotated[
        str, typer.Option(help="This fault of the file; without it one is drawn.")
    ] = "",
    seed: Annotated[
        int | None, typer.Option(min=0, help="The same seed gives the same vehicle.")
    ] = None,
    mark: Annotated[str, typer.Option(help="How hard slips count: mild or strict.")] = "mild",
    seal: Annotated[
        str,
        typer.Option(
            help="Write this rehearsal to FILE, where its fault cannot be read, and stop.",
            metavar="FILE",
        ),
    ] = "",
    sealed: Annotated[
        str, typer.Option(help="Practise what an instructor sealed in FILE.", metavar="FILE")
    ] = "",
    typed: Typed = False,
    set_: Annotated[
        list[str] | None,
        typer.Option("--set", help="A fact, such as technician=Kim; may be given several times."),
    ] = None,
    voice_out: VoiceOut = "",
    silent: Silent = False,
    *,
    changes: Mapping[str, object],
    json: Json = False,
) -> None:
    """Practise on a simulated vehicle with a hidden fault.

    No vehicle is touched. Change it by saying so ("unplug the module"), and measure it the same
    way ("voltage from feed pin to body earth"). With a procedure that leads, say "read the meter"
    at each step and tell the reading as on a job. At the end the fault is told, and a mark with
    what each test was worth. The record is marked as a rehearsal everywhere.
    """
    from voiceassist.app.facts_given import facts_given
    from voiceassist.app.rehearsal.asked import asked_for, opened
    from voiceassist.app.session_request import SessionRequest
    from voiceassist.cli.progress import ProgressBar

    asked: Asked | Settled
    if sealed:
        procedure, asked = opened(Path(sealed))
    elif procedure:
        procedure, asked = named(procedure), asked_for(fault, seed, mark, free=free)
    else:
        none_named()
    if seal:
        _seal(procedure, asked, Path(seal))
        return
    with ProgressBar("making the vehicles ready") as bar:
        request = SessionRequest(
            procedure=procedure,
            typed=keyboard() if typed else None,
            facts=facts_given(set_ or []),
            voice_out=voice_out,
            silent=silent,
            changes=changes,
            rehearsal=asked,
            progress=bar.at,
        )
        staged(request, str(changes.get("records", "")), json=json)


def _seal(procedure: str, asked: "Asked | Settled", path: Path) -> None:
    from voiceassist.app import build
    from voiceassist.app.rehearsal.asked import Settled, write_sealed

    settled = asked if isinstance(asked, Settled) else asked.settled(
        build.procedure(procedure).procedure
    )  # fmt: skip
    write_sealed(path, procedure, settled)
    warn(f"Sealed in {path}. To practise it: voiceassist rehearse --sealed {path}")
