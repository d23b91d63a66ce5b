"""What is asked of a session, and how it ended."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.view import View
from voiceassist.errors import SessionError

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.asked import Asked


@dataclass(frozen=True, slots=True)
class SessionRequest:
    """What is asked for.

    Parts:
        procedure: a path or the name of a shipped one; empty to be asked what is wrong. To resume
            also the name of a session or its repair order, or empty.
        typed: where typed lines come from; None to hear sound.
        audio: sound files to hear; with neither, the microphone.
        resume: go on with an unfinished session: see ``unfinished.chosen``.
        facts: what is known of the job.
        voice_out: WAV for the spoken answers; empty for none.
        silent: no sound at all.
        demo: the recorded job that shows what the program does; its spoken answers are put into
            the session's folder, and it counts for no job of the shop.
        aloud: play both voices on the loudspeaker, in real time, when files are heard.
        view: shows the microphone's level and what the ears do.
        changes: settings of the command line.
        rehearsal: practise on a simulated vehicle; None for a job.
        progress: told while something large is made ready, how much is done and of how much.
    """

    procedure: str = ""
    typed: TextIO | None = None
    audio: Sequence[str] = ()
    resume: bool = False
    facts: Mapping[str, str] = field(default_factory=dict)
    voice_out: str = ""
    silent: bool = False
    demo: bool = False
    aloud: bool = False
    view: View = field(default_factory=View)
    changes: Mapping[str, object] = field(default_factory=dict)
    rehearsal: "Asked | None" = None
    progress: Progress = no_progress

    @property
    def live(self) -> bool:
        """It is heard through a microphone."""
        return self.typed is None and not self.audio


class NoProcedureError(SessionError):
    """Nobody said which procedure to run, nor what is wrong."""


@dataclass(frozen=True, slots=True)
class SessionEnd:
    """How a session ended.

    Parts:
        outcome: of the engine; empty when the input ended first.
        folder: where its record is.
        wrong: it was parked as the wrong job.
    """

    outcome: str
    folder: Path
    wrong: bool = False


def check_options(request: SessionRequest) -> None:
    """Check that the options are compatible.

    Raises:
        SessionError: something does not.
    """
    if request.voice_out and not Path(request.voice_out).parent.is_dir():
        raise SessionError(
            "there is no such folder", place=request.voice_out, remedy="make it first"
        )
    if request.voice_out and Path(request.voice_out).is_dir():
        raise SessionError(
            "this is a folder",
            place=request.voice_out,
            remedy="name a sound file to be written in it",
        )
    if request.silent and request.voice_out:
        raise SessionError(
            "--silent and --voice-out were both given: there would be nothing to write",
            remedy="leave one of them out",
        )
    if request.resume and request.facts:
        raise SessionError(
            "--set does not go with --resume", remedy="say the fact, or leave --set out"
        )
    if request.resume and request.changes.get("meter"):
        raise SessionError(
            "--meter does not go with --resume: a job keeps the meter it was begun with",
            remedy="leave --meter out, or begin another job",
        )
