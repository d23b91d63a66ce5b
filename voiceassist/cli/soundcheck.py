"""``voiceassist soundcheck``: do microphone, loudspeaker, room and voice do for a job?"""

import json as json_module
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json, Language, Listener, Loudspeaker, Microphone, Model, given
from voiceassist.cli.show import warn
from voiceassist.cli.stopping import Stopped

if TYPE_CHECKING:
    from voiceassist.app.soundcheck.lines import SoundLine


def soundcheck(
    list_: Annotated[bool, typer.Option("--list", help="Only list the devices.")] = False,
    in_: Annotated[
        str, typer.Option("--in", help="Measure this sound file in place of the microphone.")
    ] = "",
    microphone: Microphone = "",
    loudspeaker: Loudspeaker = "",
    listener: Listener = "",
    model: Model = "",
    language: Language = "",
    json: Json = False,
) -> None:
    """Measure the room, your voice and the loudspeaker, and say what to change.

    Exit 0 when all is well, 1 when something should be changed, 2 when there is no device.
    """
    from voiceassist.app.soundcheck.check import check_devices, check_file, list_devices

    changes = given(
        microphone=microphone,
        loudspeaker=loudspeaker,
        listener=listener,
        model=model,
        language=language,
    )

    def show(line: "SoundLine") -> None:
        typer.echo(json_module.dumps(line.to_json(), ensure_ascii=False) if json else str(line))

    if list_:
        list_devices(show)
        return
    try:
        verdict = (
            check_file(in_, changes, show, warn) if in_ else check_devices(changes, show, warn)
        )
    except Stopped as stopped:
        warn("\nThe check was stopped.")
        stopped.told = True
        raise
    raise typer.Exit(0 if verdict == "ok" else 1)
