"""``voiceassist run``: a session."""

import re
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, TextIO

import typer

from voiceassist.cli.choosing import named, none_named
from voiceassist.cli.options import Json, Silent, Typed, VoiceOut, with_settings
from voiceassist.cli.show import warn
from voiceassist.cli.stopping import Stopped, say_stopped
from voiceassist.errors import DeviceError, SettingsError

if TYPE_CHECKING:
    from voiceassist.app.session_request import SessionEnd, SessionRequest

_SESSION = re.compile(r"\d{8}-\d{6}", re.ASCII)
#: Outcomes that mean the work is not finished or not good.
UNFINISHED = frozenset({"", "parked", "stopped", "repair-done", "not-proved", "unproved"})


@with_settings
def run(
    procedure: Annotated[
        str,
        typer.Argument(
            help="A procedure file, or a word that names a shipped procedure; without one you are"
            " asked what is wrong. With --resume also a session: its name or the beginning of it,"
            " or its repair order."
        ),
    ] = "",
    typed: Typed = False,
    audio: Annotated[
        list[str] | None, typer.Option(help="Hear this sound file; may be given several times.")
    ] = None,
    more_audio: Annotated[
        list[str] | None, typer.Argument(help="More sound files after --audio.")
    ] = None,
    resume: Annotated[
        bool,
        typer.Option(
            "--resume",
            help="Continue the latest unfinished session that is not open elsewhere: one of"
            " PROCEDURE if there is one, or SESSION: --resume SESSION.",
        ),
    ] = False,
    set_: Annotated[
        list[str] | None,
        typer.Option("--set", help="A fact of the job, name=value; may be given several times."),
    ] = None,
    voice_out: VoiceOut = "",
    silent: Silent = False,
    *,
    changes: Mapping[str, object],
    json: Json = False,
) -> None:
    """Run a session: by microphone, from sound files, or typed.

    Ctrl-C or a terminating signal closes the record in good order; the exit code is then 130 or
    143, and --resume goes on from there.
    """
    from voiceassist.app.facts_given import facts_given
    from voiceassist.app.session_request import NoProcedureError, SessionRequest

    procedure, sounds = _sounds(procedure, audio or [], more_audio or [], resume=resume)
    if sounds and typed:
        raise SettingsError(
            "--typed and --audio were both given", place="run", remedy="choose one of them"
        )
    request = SessionRequest(
        procedure=named(procedure) if procedure and not resume else procedure,
        typed=keyboard() if typed else None,
        audio=sounds,
        resume=resume,
        facts=facts_given(set_ or []),
        voice_out=voice_out,
        silent=silent,
        changes={"talk": "name", **changes} if "name" in changes else changes,
    )
    try:
        staged(request, str(changes.get("records", "")), json=json)
    except NoProcedureError:
        none_named()


def staged(request: "SessionRequest", records: str, *, json: bool) -> None:
    """Run the session on the screen that the settings choose, and end with its exit code."""
    _tell_end(_done(request, records, json=json), records)


def keyboard() -> TextIO:
    """Standard input, which whoever started the program may have closed."""
    if sys.stdin is None:
        raise SettingsError(
            "standard input is closed",
            place="--typed",
            remedy="give it a file, a pipe or a terminal",
        )
    return sys.stdin


def _sounds(
    procedure: str, audio: Sequence[str], more: Sequence[str], *, resume: bool
) -> tuple[str, tuple[str, ...]]:
    """Procedure and sound files; with --resume the first file stands where a procedure does.

    Only a session's name cannot be a file there: it begins with its day and time.
    """
    from voiceassist.app.catalogue import is_path

    if resume and audio and procedure and not _SESSION.match(procedure):
        return "", (*audio, procedure, *more)
    if more and not audio and not any(is_path(each) for each in (procedure, *more)):
        return " ".join((procedure, *more)), ()  # "fuel pump" without quotation marks
    return procedure, (*audio, *more)


def _done(request: "SessionRequest", records: str, *, json: bool) -> "SessionEnd":
    """Run the session; at a terminal without a microphone, typed."""
    from voiceassist.app.sources import NoMicrophoneError

    reports: list[str] = []
    try:
        try:
            return _on_stage(request, reports, json=json)
        except NoMicrophoneError as error:
            if sys.stdin is None or not sys.stdin.isatty():
                if not (request.procedure or request.resume):
                    none_named()
                raise _with_typed(error) from None
            warn(f"{error}. Until then, type what you would say, and press Enter.")
            return _on_stage(replace(request, typed=sys.stdin), reports, json=json)
    except Stopped as stopped:
        say_stopped(_where(records))
        stopped.told = True
        raise


def _with_typed(error: DeviceError) -> DeviceError:
    """The same error, whose remedy names the way to work without a microphone."""
    remedy = error.remedy if "--typed" in error.remedy else f"{error.remedy}, or use --typed"
    return DeviceError(error.found, place=error.place, remedy=remedy)


def _on_stage(request: "SessionRequest", reports: list[str], *, json: bool) -> "SessionEnd":
    """Run the session; what an attempt before this one ``told`` is not told again."""
    from voiceassist.app.build import settings
    from voiceassist.app.sessions import run_session
    from voiceassist.cli.screen.choose import stage

    typed = request.typed is not None
    with stage(settings(request.changes).screen, json=json, typed=typed) as on:
        return run_session(replace(request, view=on.view), on.show, _once(on.warn, reports))


def _once(warn: Callable[[str], None], reports: list[str]) -> Callable[[str], None]:
    before = set(reports)

    def tell(sentence: str) -> None:
        if sentence in before:
            before.remove(sentence)  # when it happens again in the session, it is news
            return
        reports.append(sentence)
        warn(sentence)

    return tell


def _tell_end(done: "SessionEnd", records: str) -> None:
    if not done.outcome:
        warn(
            "The input ended before the job did. Go on with: voiceassist run --resume"
            + _where(records)
        )
    if done.outcome == "parked":
        warn(f"Go on with it: voiceassist run --resume {done.folder.name}" + _where(records))
    warn(f"Record: {done.folder}")
    raise typer.Exit(1 if done.outcome in UNFINISHED else 0)


def _where(records: str) -> str:
    return f' --records "{records}"' if records else ""
