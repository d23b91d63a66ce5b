"""``voiceassist soundcheck``: do microphone, loudspeaker, room and voice do for a job?"""

import json as json_module
from collections.abc import Callable, Mapping
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Language, Listener, Loudspeaker, Microphone, Model, given
from voiceassist.cli.show import warn
from voiceassist.cli.stopping import Stopped

Line = Mapping[str, Any]

_DB_A_BLOCK = 4
_QUIETEST_DB = -80


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
    show = _as_json if json else _for_people
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


def _as_json(line: Line) -> None:
    typer.echo(json_module.dumps(line, ensure_ascii=False))


def _for_people(line: Line) -> None:
    typer.echo(_TEXTS[str(line["event"])](line))


def _device(line: Line) -> str:
    ways = [f"{line['inputs']} in"] if line["inputs"] else []
    ways += [f"{line['outputs']} out"] if line["outputs"] else []
    used = [
        name
        for name, key in (("microphone", "default_input"), ("loudspeaker", "default_output"))
        if line[key]
    ]
    default = f"  (default {' and '.join(used)})" if used else ""
    return f"{line['name']}: {', '.join(ways)}, {line['rate_hz']} Hz{default}"


def _level(line: Line) -> str:
    dbfs = line["rms_dbfs"]
    blocks = 0 if dbfs is None else max(0, round((dbfs - _QUIETEST_DB) / _DB_A_BLOCK))
    return f"   {'#' * blocks} {_db(dbfs)}"


def _tone(line: Line) -> str:
    if not line["heard"]:
        return "The microphone does not hear the loudspeaker."
    return f"The microphone hears the loudspeaker: {_db(line['level_dbfs'])}, {line['delay_ms']} ms"


def _phrase(line: Line) -> str:
    if line["level_dbfs"] is None:
        heard = line["words"] or "nothing"
        return f"> {heard}  (too soft to measure)" if line["words"] else f"> {heard}"
    likely = line["probability"]
    sure = "" if likely is None else f", {int(likely * 100)}% sure"
    good = "understood" if line["understood"] else "not understood"
    return (
        f"> {line['words'] or '(no words)'}  ({good}{sure})\n"
        f"   voice {_db(line['level_dbfs'])}, peak {_db(line['peak_dbfs'])},"
        f" {line['snr_db']} dB above the noise"
    )


def _summary(line: Line) -> str:
    advice = "".join(f"\n  {each['text']}" for each in line["advice"])
    return f"Verdict: {line['verdict']}{advice or ', nothing to change'}"


def _db(dbfs: float | None) -> str:
    return "silence" if dbfs is None else f"{dbfs} dB"


_TEXTS: Mapping[str, Callable[[Line], str]] = {
    "device": _device,
    "microphone": lambda line: f"Listening to {line['name']}, {line['rate_hz']} Hz",
    "say": lambda line: str(line["text"]),
    "level": _level,
    "noise": lambda line: f"Noise of the room: {_db(line['noise_dbfs'])}",
    "tone": _tone,
    "phrase": _phrase,
    "summary": _summary,
}
