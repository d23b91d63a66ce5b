"""``voiceassist run``: a session."""

import sys
from typing import Annotated

import typer

from voiceassist.cli.options import (
    Detail,
    Json,
    Language,
    Listener,
    Meter,
    Model,
    Records,
    Silent,
    VoiceOut,
    facts,
)
from voiceassist.cli.show import shows, warn
from voiceassist.errors import SettingsError

#: Outcomes that mean the work is not finished or not good.
UNFINISHED = frozenset({"", "stopped", "not-proved", "unproved"})


def run(
    procedure: Annotated[
        str, typer.Argument(help="A procedure file, or the name of a shipped procedure.")
    ] = "",
    typed: Annotated[
        bool, typer.Option("--typed", help="Read utterances from standard input, one a line.")
    ] = False,
    audio: Annotated[
        list[str] | None, typer.Option(help="Hear this sound file; may be given several times.")
    ] = None,
    more_audio: Annotated[
        list[str] | None, typer.Argument(help="More sound files after --audio.")
    ] = None,
    resume: Annotated[
        bool, typer.Option("--resume", help="Go on with the latest unfinished session.")
    ] = False,
    set_: Annotated[
        list[str] | None,
        typer.Option("--set", help="A fact of the job, name=value; may be given several times."),
    ] = None,
    voice_out: VoiceOut = "",
    silent: Silent = False,
    listener: Listener = "",
    model: Model = "",
    detail: Detail = "",
    language: Language = "",
    meter: Meter = "",
    records: Records = "",
    json: Json = False,
) -> None:
    """Run a session: by microphone, from sound files, or typed."""
    from voiceassist.app.sessions import SessionWish, run_session

    if resume and audio and procedure:  # it stands where more files do
        procedure, more_audio = "", [procedure, *(more_audio or [])]
    sounds = (*(audio or []), *(more_audio or []))
    if sounds and typed:
        raise SettingsError(
            "--typed and --audio were both given", place="run", remedy="choose one of them"
        )
    wish = SessionWish(
        procedure=procedure,
        typed=sys.stdin if typed else None,
        audio=sounds,
        resume=resume,
        facts=facts(set_ or []),
        voice_out=voice_out,
        silent=silent,
        changes=_given(
            listener=listener,
            model=model,
            detail=detail,
            language=language,
            meter=meter,
            records=records,
        ),
    )
    done = run_session(wish, shows(json_lines=json), warn)
    if not done.outcome:
        where = f' --records "{records}"' if records else ""
        warn(f"The input ended before the job did. Go on with: voiceassist run --resume{where}")
    warn(f"Record: {done.folder}")
    raise typer.Exit(1 if done.outcome in UNFINISHED else 0)


def _given(**changes: str) -> dict[str, object]:
    return {name: value for name, value in changes.items() if value}
