"""Opens sessions, goes on with unfinished ones, and leaves the record complete."""

import gc
import hashlib
from collections.abc import Mapping, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TextIO

from voiceassist import __version__
from voiceassist.app import build, sources
from voiceassist.app.ears import Ears
from voiceassist.app.keeping import Keeping
from voiceassist.app.loop import Loop, Parts, Show
from voiceassist.app.mouth import Mouth, Player
from voiceassist.app.replay import replayed
from voiceassist.app.sources import Warn
from voiceassist.app.timeline import RealTimeline, SoundTimeline, Timeline
from voiceassist.errors import MeasureError, SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.meter import Meter
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.record.folder import ANSWERS
from voiceassist.session.engine import Engine
from voiceassist.session.session import Desk, Detail
from voiceassist.session.values import check_facts
from voiceassist.speak.base import Voice


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
        self._open = ExitStack()  # what is held open, closed in reverse order
        self._voice: Voice | None = None
        self._player: Player | None = None

    def run(self) -> Done:
        """Begin or go on, to the end of the session or of its input.

        Raises:
            VoiceAssistError: something needed is missing or bad; what was kept stays kept.
        """
        with self._open:
            return self._run()

    def _find_voice(self) -> None:
        """Open voice and loudspeaker; not before all else is well, for they may warn."""
        if not self._wish.silent:
            self._voice = sources.voice(self._shop, self._warn)
        if self._voice and (not self._wish.audio or self._wish.aloud):
            self._player = sources.player(self._shop, self._warn)
        for device in (self._voice, self._player):
            if device is not None:
                self._open.enter_context(closing(device))

    def _run(self) -> Done:
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
        written = build.procedure(self._wish.procedure, self._shop.is_reserved)
        procedure = written.procedure
        self._check_facts(procedure)
        meter, meter_text = build.meter(self._shop.settings.meter)
        self._find_voice()
        timeline = self._timeline(0.0)
        ears = self._open.enter_context(closing(self._ears(timeline)))
        records = build.records_folder(self._shop.settings)
        with Keeping.create(records, procedure.name, timeline, self._warn) as keeping:
            keeping.write("procedure.yaml", written.text)
            for name, text in written.used.items():
                keeping.write(_used(name), text)
            keeping.write("meter.yaml", meter_text)
            for line in keeping.keep([self._header(procedure, written.text, meter)]):
                self._show(line)
            loop = self._loop(self._desk(procedure, meter), ears, timeline, keeping)
            loop.begin(self._wish.facts)
            return self._finish(loop, keeping)

    def _resume(self) -> Done:
        records = build.records_folder(self._shop.settings)
        with Keeping.reopen(records, self._warn) as keeping:
            self._as_begun(keeping.lines[0])
            text = keeping.read("procedure.yaml")
            procedure = read_procedure(text, "procedure.yaml", lambda n: keeping.read(_used(n)))
            if self._wish.procedure and build.procedure(self._wish.procedure).text != text:
                self._warn(
                    "The procedure has changed since; the session goes on with its own copy."
                )
            desk = self._desk(procedure, self._meter_kept(keeping))
            back = replayed(Engine(desk), keeping.lines)
            self._find_voice()
            timeline = self._timeline(back.offset_s)
            keeping.use(timeline)
            ears = self._open.enter_context(closing(self._ears(timeline)))
            loop = self._loop(desk, ears, timeline, keeping)
            loop.resume(back, _seconds_since(back.last, timeline))
            return self._finish(loop, keeping)

    def _as_begun(self, header: Mapping[str, object]) -> None:
        """Take language and detail from the session's own header unless they are asked for anew."""
        names = ("language", "detail", "risk_percent", "listener", "model")
        kept = {name: str(header[name]) for name in names if header.get(name)}
        changes = {**kept, **self._wish.changes}
        self._shop = build.Shop(build.settings(changes))

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

    def _loop(self, desk: Desk, ears: Ears, timeline: Timeline, keeping: Keeping) -> Loop:
        parts = Parts(
            engine=Engine(desk),
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

    def _desk(self, procedure: Procedure, meter: Meter) -> Desk:
        settings = self._shop.settings
        return Desk(
            procedure,
            self._shop.book,
            Detail(settings.detail),
            meter,
            Decimal(settings.risk_percent) / 100,
        )

    def _check_facts(self, procedure: Procedure) -> None:
        try:
            check_facts(procedure, self._wish.facts)
        except MeasureError as error:
            raise SessionError(error.found, place="--set", remedy=error.remedy) from None

    def _meter_kept(self, keeping: Keeping) -> Meter:
        return read_meter(keeping.read("meter.yaml"), "meter.yaml")

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

    def _header(self, procedure: Procedure, text: str, meter: Meter) -> Mapping[str, object]:
        return {
            "event": "session",
            "step": "",
            "text": procedure.title,
            "procedure": procedure.name,
            "title": procedure.title,
            "source": str(procedure.source),
            "meter": meter.name,
            "risk_percent": self._shop.settings.risk_percent,
            "procedure_sha256": hashlib.sha256(text.encode()).hexdigest(),
            "facts": dict(self._wish.facts),
            "version": __version__,
            "language": self._shop.settings.language,
            "detail": self._shop.settings.detail,
            "listener": "" if self._wish.typed else self._shop.settings.listener,
            "model": "" if self._wish.typed else self._shop.settings.model,
        }


def _used(name: str) -> str:
    """How a procedure that another one puts in is called in the session's folder."""
    return f"used-{name}.yaml"


def _seconds_since(last: str, timeline: Timeline) -> float:
    """Seconds from the time of the last line to now; never less than none."""
    return max(0.0, (timeline.wall() - datetime.fromisoformat(last)).total_seconds())


def run_session(wish: SessionWish, show: Show, warn: Warn) -> Done:
    """Run one session; see ``Opened.run``."""
    if not wish.procedure and not wish.resume:
        raise SessionError("no procedure is named", remedy="name one, or use --resume to go on")
    return Opened(wish, show, warn).run()
