"""One session, from its beginning or from where it was left, to its end and its record."""

from contextlib import ExitStack, closing
from datetime import datetime
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from voiceassist.app import build
from voiceassist.app.advising.adviser import JobAdviser, can_advise
from voiceassist.app.asked_procedure import has_changed, procedure_named
from voiceassist.app.build import Written
from voiceassist.app.equipment import Equipment, Station
from voiceassist.app.intake.carry import to_kept
from voiceassist.app.keeping.opening import is_familiar, was_told
from voiceassist.app.keeping.parked import mark, unmark
from voiceassist.app.keeping.session_record import SessionRecord
from voiceassist.app.keeping.sound_pruning import prune_sound
from voiceassist.app.keeping.unfinished import chosen
from voiceassist.app.kept_files import files_of, kept_meter, kept_procedure
from voiceassist.app.live.advises import Advises
from voiceassist.app.live.instructor import InstructorNotes
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts, Show
from voiceassist.app.live.replay import replayed
from voiceassist.app.pages.made_files import complete
from voiceassist.app.session_head import as_begun, as_part, first_line
from voiceassist.app.session_request import SessionEnd, SessionRequest
from voiceassist.app.step_rows import rows_of
from voiceassist.app.warn import Warn
from voiceassist.measure.meter import Meter
from voiceassist.procedure.model import Procedure
from voiceassist.record import lines, times
from voiceassist.record.folder import ANSWERS, PROCEDURE
from voiceassist.record.job import JobPart, part_of
from voiceassist.record.outcomes import PARKED
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import next_sequence
from voiceassist.session.actions.parking import WRONG
from voiceassist.session.engine import Engine
from voiceassist.session.events import Carried
from voiceassist.session.lessons import DIGITS
from voiceassist.session.session import Detail, SessionSetup

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.rehearsal import Rehearsal


class OneSession:
    """Begins one session, or goes on with one, to its end; the next part of a job may follow.

    Args:
        request: what is asked for; the facts of the next part take the place of those here.
        show: gets every line that is kept.
        warn: told in one sentence what is not as wanted.
        held: closes at the end what is held open.
    """

    def __init__(self, request: SessionRequest, show: Show, warn: Warn, held: ExitStack) -> None:
        self.request = request
        self.shop = build.Components(build.settings(request.changes))
        self._show, self._warn, self._held = show, warn, held
        self._notes = InstructorNotes()

    def station(self) -> Station:
        """What it speaks and hears with."""
        equipment = self._equipment()
        return equipment.station(equipment.timeline())

    def _equipment(self) -> Equipment:
        return Equipment(self.request, self.shop, self._warn, self._notes.waits, self._held)

    def begin(
        self,
        written: Written,
        meter_and_text: tuple[Meter, str],
        station: Station,
        practised: "Rehearsal | None",
        part: JobPart | None = None,
        carried: tuple[Carried, ...] = (),
    ) -> SessionEnd:
        """One session from its beginning to its end."""
        procedure, (meter, meter_text) = written.procedure, meter_and_text
        records = self.records()
        sequence = next_sequence(records)
        source, today = str(procedure.source), station.timeline.wall().date()
        familiar = is_familiar(records, self.request.facts, source, today)
        taught = was_told(records, self.request.facts, self.shop.book(DIGITS))
        with SessionRecord.create(
            records, procedure.name, station.timeline, self._warn, keep_sound=self._keeps_sound
        ) as keeping:
            beside = {**files_of(written, meter_text), **(practised.files if practised else {})}
            for name, text in {PROCEDURE: written.text, **beside}.items():
                keeping.write(name, text)
            header = lines.SessionLine.made(
                **{
                    **first_line(self.request, self.shop.settings, written, meter.name, beside),
                    **(practised.header(procedure.title) if practised else {}),
                    **(as_part(self.shop.book, procedure, part) if part is not None else {}),
                },
                **({"demo": True} if self.request.demo else {}),
                **({"carried": to_kept(carried)} if carried else {}),
                sequence=sequence,
                session=keeping.folder.name,
                familiar=familiar,
                taught=taught,
            )
            for line in keeping.keep([header]):
                self._show(line)
            setup = self.setup(procedure, meter)
            adviser = practised or self._adviser(setup, written, keeping)
            loop = self._loop(setup, station, keeping, practised, adviser)
            for line in practised.opening() if practised else ():
                loop.announce(line)
            loop.begin(self.request.facts, familiar=familiar, taught=taught, carried=carried)
            return self._finish(loop, keeping)

    def go_on(self) -> tuple[SessionEnd, JobPart | None, Station]:
        """Go on with the one that was left open, and tell which part of a job it is."""
        choice = chosen(self.records(), self.request.procedure, procedure_named, self._warn)
        with SessionRecord.reopen(choice, self._warn, keep_sound=self._keeps_sound) as keeping:
            self.take_as_begun(ReadSession(keeping.lines))
            written, (meter, _) = kept_procedure(keeping), kept_meter(keeping)
            asked = "" if choice.named else self.request.procedure
            if asked and has_changed(asked, written):
                self._warn(
                    "The procedure has changed since; the session goes on with its own copy."
                )
            setup = self.setup(written.procedure, meter)
            practised = self._practised_before(keeping, written, meter)
            adviser = practised or self._adviser(setup, written, keeping)
            unmark(keeping.folder)
            back = replayed(Engine(setup), keeping.lines)
            equipment = self._equipment()
            timeline = equipment.timeline(back.offset_s)
            keeping.use(timeline)
            station = equipment.station(timeline)
            loop = self._loop(setup, station, keeping, practised, adviser)
            away_s = (timeline.wall() - datetime.fromisoformat(back.last)).total_seconds()
            loop.resume(back, max(0.0, away_s))
            return self._finish(loop, keeping), part_of(keeping.lines[0]), station

    def records(self) -> Path:
        """The folder of records, the last session in it complete, sound that is too old gone."""
        records, days = build.records_folder(self.shop.settings), self.shop.settings.sound_days
        complete(records, self._warn)
        if days is not None:
            prune_sound(records, days, times.here(), self._warn)
        return records

    @property
    def _keeps_sound(self) -> bool:
        return self.shop.settings.keep_sound != "off"

    def _tell_that_sound_is_kept(self, loop: Loop, station: Station) -> None:
        """Nobody's voice is kept without being told; there is no sound in text."""
        if self._keeps_sound and (self.request.typed is None or station.speaks):
            days, kept = self.shop.settings.sound_days, self.shop.settings.keep_sound
            key = "record.sound" if days is None else "record.sound-days"
            text = self.shop.book(key, days=days)
            loop.announce(lines.SoundKept.made(step="", text=text, keep_sound=kept))

    def take_as_begun(self, read: ReadSession) -> None:
        """Take from the record how the session is led, unless it is asked for anew."""
        kept, gone = as_begun(read)
        self.shop = build.Components(build.settings({**kept, **self.request.changes}))
        if gone and not self.request.changes.get("listener"):
            self._warn(
                f"The session was begun with the listener {gone}, which no longer exists; "
                f"it goes on with {self.shop.settings.listener}."
            )

    def _finish(self, loop: Loop, keeping: SessionRecord) -> SessionEnd:
        try:
            outcome = loop.run()
            if outcome == PARKED:
                mark(keeping.folder)
        finally:
            keeping.finish(loop.spoken, self._answers(keeping))
        wrong = outcome == PARKED and loop.session.parked == WRONG
        return SessionEnd(outcome, keeping.folder, wrong)

    def _answers(self, keeping: SessionRecord) -> list[Path]:
        """The WAV files the spoken answers go to."""
        wanted = [Path(self.request.voice_out)] if self.request.voice_out else []
        return wanted + ([keeping.folder / ANSWERS] if self.request.demo else [])

    def _practised_before(
        self, keeping: SessionRecord, written: Written, meter: Meter
    ) -> "Rehearsal | None":
        """The rehearsal that a session was, with all done again that was done in it."""
        kept = lines.SessionLine(keeping.lines[0]).rehearsal
        if not kept:
            return None
        from voiceassist.app.rehearsal.joining import as_before, practised_then

        written = practised_then(kept, written, keeping)
        setup = self.setup(written.procedure, meter)
        return as_before(kept, setup, written, self.shop, self.request.progress, keeping.lines)

    def _adviser(
        self, setup: SessionSetup, written: Written, keeping: SessionRecord
    ) -> JobAdviser | None:
        """Who is asked for advice; None for a procedure from which nothing can be worked out."""
        if not can_advise(setup.procedure):
            return None
        adviser = JobAdviser(setup, written, keeping.folder, self.shop.settings.language)
        return self._held.enter_context(closing(adviser))

    def _loop(
        self,
        setup: SessionSetup,
        station: Station,
        keeping: SessionRecord,
        practised: "Rehearsal | None",
        adviser: Advises | None,
    ) -> Loop:
        """The loop of a session; it has told whether sound is kept."""
        if self.request.live:  # while the opening is spoken, so that no answer waits for it
            Thread(target=self.shop.language.talk.read, daemon=True).start()
        typed = self.request.typed
        parts = Parts(
            engine=Engine(setup),
            language=self.shop.language,
            ears=station.ears,
            mouth=station.mouth,
            keeper=keeping,
            timeline=station.timeline,
            show=self._show,
            record=str(keeping.folder),
            guesser=self.shop.guesser,
            called=self.shop.settings.talk in {"name", "key"},
            attended=self.request.live,
            paced=self.request.live or (typed is not None and typed.isatty()),
            beside=practised,
            adviser=adviser,
            notes=self._notes,
        )
        self._notes.use(keeping.folder, keeping.lines)
        loop = Loop(parts)
        self._tell_that_sound_is_kept(loop, station)
        return loop

    def setup(self, procedure: Procedure, meter: Meter) -> SessionSetup:
        """What stays the same in it; who looks on is told the steps."""
        settings = self.shop.settings
        self.request.view.follow(rows_of(procedure))
        return SessionSetup(
            procedure,
            self.shop.book,
            Detail(settings.detail),
            meter,
            settings.risk_percent / 100,
            round(settings.prompt_after_s),
        )
