"""Opens sessions, goes on with unfinished ones, and leaves the record complete."""

import gc
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TextIO

from voiceassist import __version__
from voiceassist.app import build, sources
from voiceassist.app.ears import Ears
from voiceassist.app.keeping import Keeping
from voiceassist.app.loop import Loop, Parts, Show
from voiceassist.app.mouth import Mouth
from voiceassist.app.replay import replayed
from voiceassist.app.sources import Warn
from voiceassist.app.timeline import RealTimeline, SoundTimeline, Timeline
from voiceassist.errors import SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.record.folder import ANSWERS
from voiceassist.session.engine import Engine
from voiceassist.session.outputs import Resumed
from voiceassist.session.session import Desk, Detail


@dataclass(frozen=True, slots=True)
class SessionWish:
    """What is asked for.

    Parts:
        procedure: a path or the name of a shipped one; empty to resume.
        typed: where typed lines come from; None to hear sound.
        audio: sound files to hear; with neither, the microphone.
        resume: go on with the latest unfinished session.
        facts: what is known of the job.
        voice_out: WAV for the spoken answers; empty for none.
        silent: no sound at all.
        keep_answers: put the spoken answers into the session's folder too.
        aloud: play both voices on the loudspeaker, in real time, when files are heard.
        changes: settings of the command line.
    """

    procedure: str = ""
    typed: TextIO | None = None
    audio: Sequence[str] = ()
    resume: bool = False
    facts: Mapping[str, str] = field(default_factory=dict)
    voice_out: str = ""
    silent: bool = False
    keep_answers: bool = False
    aloud: bool = False
    changes: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Done:
    """How a session ended.

    Parts:
        outcome: of the engine; empty when the input ended first.
        folder: where its record is.
    """

    outcome: str
    folder: Path


class Opened:
    """A session with everything it needs, about to begin or to go on."""

    def __init__(self, wish: SessionWish, show: Show, warn: Warn) -> None:
        self._wish = wish
        self._show = show
        self._warn = warn
        self._shop = build.Shop(build.settings(wish.changes))
        self._voice = None if wish.silent else sources.voice(self._shop, warn)
        aloud = not wish.audio or wish.aloud
        self._player = sources.player(self._shop, warn) if self._voice and aloud else None

    def run(self) -> Done:
        """Begin or go on, to the end of the session or of its input.

        Raises:
            VoiceAssistError: something needed is missing or bad; what was kept stays kept.
        """
        if self._wish.voice_out and not Path(self._wish.voice_out).parent.is_dir():
            raise SessionError(
                "there is no such folder", place=self._wish.voice_out, remedy="make it first"
            )
        if self._wish.resume and self._wish.facts:
            raise SessionError(
                "--set does not go with --resume", remedy="say the fact, or leave --set out"
            )
        self._shop.language.compose(Expectation())
        gc.freeze()  # grammars live as long as the session: never walk them in mid-phrase again
        return self._resume() if self._wish.resume else self._begin()

    def _begin(self) -> Done:
        procedure, text = build.procedure(self._wish.procedure)
        timeline = self._timeline(0.0)
        ears = self._ears(timeline)
        records = build.records_folder(self._shop.settings)
        with Keeping.create(records, procedure.name, timeline, self._warn) as keeping:
            keeping.write("procedure.yaml", text)
            for line in keeping.keep([self._header(procedure, text)]):
                self._show(line)
            loop = self._loop(procedure, ears, timeline, keeping)
            loop.begin(self._wish.facts)
            return self._finish(loop, keeping)

    def _resume(self) -> Done:
        records = build.records_folder(self._shop.settings)
        with Keeping.reopen(records, self._warn) as keeping:
            text = keeping.read("procedure.yaml")
            procedure = read_procedure(text, "procedure.yaml")
            if self._wish.procedure and build.procedure(self._wish.procedure)[1] != text:
                self._warn(
                    "The procedure has changed since; the session goes on with its own copy."
                )
            back = replayed(Engine(self._desk(procedure)), keeping.lines)
            timeline = self._timeline(back.offset_s)
            keeping.use(timeline)
            loop = self._loop(procedure, self._ears(timeline), timeline, keeping)
            resumed = Resumed(text=self._shop.book("start.resumed"))
            again = back.unkept or back.session.prompt
            loop.resume(back.session, [resumed, *again], back.listen)
            return self._finish(loop, keeping)

    def _finish(self, loop: Loop, keeping: Keeping) -> Done:
        try:
            outcome = loop.run()
        finally:
            keeping.finish(loop.spoken, self._answers(keeping))
        return Done(outcome, keeping.folder)

    def _answers(self, keeping: Keeping) -> list[Path]:
        """The WAV files the spoken answers go to."""
        wanted = [Path(self._wish.voice_out)] if self._wish.voice_out else []
        return wanted + ([keeping.folder / ANSWERS] if self._wish.keep_answers else [])

    # --- parts ---

    def _loop(self, procedure: Procedure, ears: Ears, timeline: Timeline, keeping: Keeping) -> Loop:
        parts = Parts(
            engine=Engine(self._desk(procedure)),
            language=self._shop.language,
            ears=ears,
            mouth=Mouth(
                self._voice, self._shop.language.spoken, self._player, timeline, self._warn
            ),
            keeper=keeping,
            timeline=timeline,
            show=self._show,
            record=str(keeping.folder),
        )
        return Loop(parts)

    def _desk(self, procedure: Procedure) -> Desk:
        return Desk(procedure, self._shop.book, Detail(self._shop.settings.detail))

    def _timeline(self, start_s: float) -> Timeline:
        if not self._wish.audio or self._player is not None:
            return RealTimeline(start_s)
        return SoundTimeline(start_s, paced=self._wish.aloud)

    def _ears(self, timeline: Timeline) -> Ears:
        if self._wish.typed is not None:
            return sources.typed_ears(self._wish.typed, timeline)
        if self._wish.audio:
            files = [Path(file) for file in self._wish.audio]
            return sources.file_ears(self._shop, files, timeline, self._player)
        return sources.live_ears(self._shop, timeline)

    def _header(self, procedure: Procedure, text: str) -> Mapping[str, object]:
        return {
            "event": "session",
            "step": "",
            "text": procedure.title,
            "procedure": procedure.name,
            "title": procedure.title,
            "source": procedure.source,
            "procedure_sha256": hashlib.sha256(text.encode()).hexdigest(),
            "facts": dict(self._wish.facts),
            "version": __version__,
            "language": self._shop.settings.language,
            "detail": self._shop.settings.detail,
            "listener": "" if self._wish.typed else self._shop.settings.listener,
        }


def run_session(wish: SessionWish, show: Show, warn: Warn) -> Done:
    """Run one session; see ``Opened.run``."""
    if not wish.procedure and not wish.resume:
        raise SessionError("no procedure is named", remedy="name one, or use --resume to go on")
    return Opened(wish, show, warn).run()
