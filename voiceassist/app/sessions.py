"""Opens sessions, goes on with unfinished ones, and leaves the record complete."""

from collections.abc import Mapping
from contextlib import ExitStack, closing
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from voiceassist.app import build
from voiceassist.app.advising.adviser import JobAdviser, can_advise
from voiceassist.app.asked_procedure import has_changed, procedure_named
from voiceassist.app.build import Written
from voiceassist.app.equipment import Equipment, Station
from voiceassist.app.intake.asking import intake
from voiceassist.app.intake.carry import known_before, to_kept
from voiceassist.app.intake.order import shared_first
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
from voiceassist.app.session_head import as_begun, first_line
from voiceassist.app.session_request import (
    NoProcedureError,
    SessionEnd,
    SessionRequest,
    check_options,
)
from voiceassist.app.step_rows import rows_of
from voiceassist.app.warn import Warn
from voiceassist.errors import MeasureError, SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.meter import Meter
from voiceassist.procedure.model import Procedure
from voiceassist.record import lines, times
from voiceassist.record.folder import ANSWERS, PROCEDURE, SessionFolder
from voiceassist.record.job import JobPart, left_open, part_of
from voiceassist.record.journal import verify
from voiceassist.record.outcomes import PARKED
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import head_of, next_sequence
from voiceassist.session.engine import Engine
from voiceassist.session.events import Carried
from voiceassist.session.lessons import DIGITS
from voiceassist.session.session import Detail, SessionSetup
from voiceassist.session.values import check_facts

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.rehearsal import Rehearsal


class Opened:
    """A session with everything it needs, about to begin or to go on."""

    def __init__(self, request: SessionRequest, show: Show, warn: Warn) -> None:
        self._request = request
        self._show = show
        self._warn = warn
        self._shop = build.Components(build.settings(request.changes))
        self._open = ExitStack()  # what is held open, closed in reverse order
        self._notes = InstructorNotes()

    def run(self) -> SessionEnd:
        """Begin or go on, to the end of the session or of its input.

        Raises:
            VoiceAssistError: something needed is missing or bad; what was kept stays kept.
        """
        with self._open:
            return self._run()

    def _run(self) -> SessionEnd:
        check_options(self._request)
        return self._resume() if self._request.resume else self._begin()

    def _begin(self) -> SessionEnd:
        self._shop.language.compose(Expectation())  # a bad one is told of before all else
        if not self._request.procedure:
            return self._from_the_complaint()
        written = build.procedure(self._request.procedure, self._shop.is_reserved)
        meter = build.meter(self._shop.settings.meter)
        practised, written = self._practised(written, meter[0])
        self._check_facts(written.procedure)
        return self._one(written, meter, self._station(), practised)

    def _from_the_complaint(self) -> SessionEnd:
        """Ask what is wrong, and run what is about it; of two complaints one after the other."""
        meter = build.meter(self._shop.settings.meter)
        station = self._station()
        asking = intake(self._shop, station.ears, station.mouth, self._show)
        intent = asking.ask()
        if intent is None:
            raise NoProcedureError("no procedure is named", remedy="say or type what is wrong")
        told = {"complaint": intent.complaint, **self._request.facts}
        self._request = replace(self._request, facts=told)
        found = [build.procedure(name, self._shop.is_reserved) for name in intent.names]
        parts = shared_first([each.procedure for each in found])
        first = next(each for each in found if each.procedure is parts[0])
        asking.begin([each.title for each in parts])
        self._check_facts(first.procedure)
        if len(parts) == 1:
            return self._one(first, meter, station, None)
        job = JobPart(tuple(each.name for each in parts))
        return self._next_parts(self._one(first, meter, station, None, job), job, station)

    def _next_parts(self, done: SessionEnd, part: JobPart, station: Station) -> SessionEnd:
        """The parts of a job after the one that is ``done``; one left open is gone on with first.

        Each record tells which part it is and what came before.
        """
        while part.following and done.outcome not in {"", PARKED}:
            asking = intake(self._shop, station.ears, station.mouth, self._show)
            title = build.procedure(part.following).procedure.title
            if not asking.goes_on(title):
                break
            done, part = self._next_part(done.folder, part, station)
        if part.following:
            self._warn(
                f"The job has another part, {part.following}."
                f" Go on with: voiceassist run --resume {done.folder.name}"
            )
        return done

    def _next_part(
        self, before: Path, part: JobPart, station: Station
    ) -> tuple[SessionEnd, JobPart]:
        """The part that comes after the one in ``before``, with what that has told."""
        folder, written = SessionFolder(before), build.procedure(part.following)
        done, meter = kept_procedure(folder), kept_meter(folder)
        setup = self._setup(done.procedure, meter[0])
        known = known_before(folder, done, setup, written, station.timeline.wall())
        if known.altered:
            self._warn(f"{folder.id} is not as it was written: nothing is taken over from it.")
        self._request = replace(self._request, facts=known.facts or self._request.facts)
        part = part.next(folder.id)
        return self._one(written, meter, station, None, part, known.carried), part

    def _begin_left_open(self, left: SessionFolder) -> SessionEnd:
        """The part of a job that was not begun when the one before it was done."""
        part = part_of(head_of(left))
        assert part is not None
        self._as_begun(ReadSession(entry.typed for entry in verify(left.journal).entries))
        station = self._station()
        done, part = self._next_part(left.path, part, station)
        return self._next_parts(done, part, station)

    def _station(self) -> Station:
        equipment = self._equipment()
        return equipment.station(equipment.timeline())

    def _equipment(self) -> Equipment:
        return Equipment(self._request, self._shop, self._warn, self._notes.waits, self._open)

    def _one(
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
        records = self._records()
        numbered = {"sequence": next_sequence(records)}
        source, today = str(procedure.source), station.timeline.wall().date()
        familiar = is_familiar(records, self._request.facts, source, today)
        taught = was_told(records, self._request.facts, self._shop.book(DIGITS))
        with SessionRecord.create(
            records, procedure.name, station.timeline, self._warn, keep_sound=self._keeps_sound
        ) as keeping:
            beside = {**files_of(written, meter_text), **(practised.files if practised else {})}
            for name, text in {PROCEDURE: written.text, **beside}.items():
                keeping.write(name, text)
            header = lines.SessionLine.made(
                **{
                    **first_line(self._request, self._shop.settings, written, meter.name, beside),
                    **(practised.header(procedure.title) if practised else {}),
                    **(self._as_part(procedure, part) if part is not None else {}),
                },
                **numbered,
                **({"demo": True} if self._request.demo else {}),
                **({"carried": to_kept(carried)} if carried else {}),
                session=keeping.folder.name,
                familiar=familiar,
                taught=taught,
            )
            for line in keeping.keep([header]):
                self._show(line)
            setup = self._setup(procedure, meter)
            adviser = practised or self._adviser(setup, written, keeping)
            loop = self._loop(setup, station, keeping, practised, adviser)
            for line in practised.opening() if practised else ():
                loop.announce(line)
            loop.begin(self._request.facts, familiar=familiar, taught=taught, carried=carried)
            return self._finish(loop, keeping)

    def _as_part(self, procedure: Procedure, part: JobPart) -> Mapping[str, object]:
        """What the first line of the journal tells of a part of a job, its title among it."""
        about = {"number": part.number, "count": len(part.names)}
        marked = self._shop.book.plain("intake.part", title=procedure.title, **about)
        return {"title": marked, "text": marked, "part": part.to_json()}

    def _resume(self) -> SessionEnd:
        left = left_open(self._records(), self._request.procedure)
        if left is not None:
            return self._begin_left_open(left)
        choice = chosen(self._records(), self._request.procedure, procedure_named, self._warn)
        with SessionRecord.reopen(choice, self._warn, keep_sound=self._keeps_sound) as keeping:
            self._as_begun(ReadSession(keeping.lines))
            written, (meter, _) = kept_procedure(keeping), kept_meter(keeping)
            asked = "" if choice.named else self._request.procedure
            if asked and has_changed(asked, written):
                self._warn(
                    "The procedure has changed since; the session goes on with its own copy."
                )
            setup = self._setup(written.procedure, meter)
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
            done = self._finish(loop, keeping)
            part = part_of(keeping.lines[0])
        if part is None or not part.following:
            return done
        return self._next_parts(done, part, station)

    def _records(self) -> Path:
        """The folder of records, the last session in it complete, sound that is too old gone."""
        settings = self._shop.settings
        records = build.records_folder(settings)
        complete(records, self._warn)
        if settings.sound_days is not None:
            prune_sound(records, settings.sound_days, times.here(), self._warn)
        return records

    @property
    def _keeps_sound(self) -> bool:
        return self._shop.settings.keep_sound != "off"

    def _tell_that_sound_is_kept(self, loop: Loop, station: Station) -> None:
        """Nobody's voice is kept without being told; there is no sound in text."""
        if self._keeps_sound and (self._request.typed is None or station.speaks):
            days = self._shop.settings.sound_days
            key = "record.sound" if days is None else "record.sound-days"
            text = self._shop.book(key, days=days)
            kept = self._shop.settings.keep_sound
            loop.announce(lines.SoundKept.made(step="", text=text, keep_sound=kept))

    def _as_begun(self, read: ReadSession) -> None:
        """Take from the record how the session is led, unless it is asked for anew."""
        kept, gone = as_begun(read)
        self._shop = build.Components(build.settings({**kept, **self._request.changes}))
        if gone and not self._request.changes.get("listener"):
            self._warn(
                f"The session was begun with the listener {gone}, which no longer exists; "
                f"it goes on with {self._shop.settings.listener}."
            )

    def _finish(self, loop: Loop, keeping: SessionRecord) -> SessionEnd:
        try:
            outcome = loop.run()
            if outcome == PARKED:
                mark(keeping.folder)
        finally:
            keeping.finish(loop.spoken, self._answers(keeping))
        return SessionEnd(outcome, keeping.folder)

    def _answers(self, keeping: SessionRecord) -> list[Path]:
        """The WAV files the spoken answers go to."""
        wanted = [Path(self._request.voice_out)] if self._request.voice_out else []
        return wanted + ([keeping.folder / ANSWERS] if self._request.demo else [])

    def _practised(self, written: Written, meter: Meter) -> "tuple[Rehearsal | None, Written]":
        """The rehearsal that is asked for, if one is, and what the session goes by."""
        asked = self._request.rehearsal
        if asked is None:
            return None, written
        from voiceassist.app.rehearsal.joining import as_asked

        setup = self._setup(written.procedure, meter)
        return as_asked(asked, setup, written, self._shop, self._request.progress)

    def _practised_before(
        self, keeping: SessionRecord, written: Written, meter: Meter
    ) -> "Rehearsal | None":
        """The rehearsal that a session was, with all done again that was done in it."""
        kept = lines.SessionLine(keeping.lines[0]).rehearsal
        if not kept:
            return None
        from voiceassist.app.rehearsal.joining import as_before, practised_then

        written = practised_then(kept, written, keeping)
        setup = self._setup(written.procedure, meter)
        return as_before(kept, setup, written, self._shop, self._request.progress, keeping.lines)

    def _adviser(
        self, setup: SessionSetup, written: Written, keeping: SessionRecord
    ) -> JobAdviser | None:
        """Who is asked for advice; None for a procedure from which nothing can be worked out."""
        if not can_advise(setup.procedure):
            return None
        language = self._shop.settings.language
        adviser = JobAdviser(setup, written, keeping.folder, language)
        return self._open.enter_context(closing(adviser))

    def _loop(
        self,
        setup: SessionSetup,
        station: Station,
        keeping: SessionRecord,
        practised: "Rehearsal | None",
        adviser: Advises | None,
    ) -> Loop:
        """The loop of a session; it has told whether sound is kept."""
        if self._request.live:  # while the opening is spoken, so that no answer waits for it
            Thread(target=self._shop.language.talk.read, daemon=True).start()
        parts = Parts(
            engine=Engine(setup),
            language=self._shop.language,
            ears=station.ears,
            mouth=station.mouth,
            keeper=keeping,
            timeline=station.timeline,
            show=self._show,
            record=str(keeping.folder),
            guesser=self._shop.guesser,
            attended=self._request.live,
            beside=practised,
            adviser=adviser,
            notes=self._notes,
        )
        self._notes.use(keeping.folder, keeping.lines)
        loop = Loop(parts)
        self._tell_that_sound_is_kept(loop, station)
        return loop

    def _setup(self, procedure: Procedure, meter: Meter) -> SessionSetup:
        settings = self._shop.settings
        self._request.view.follow(rows_of(procedure))
        return SessionSetup(
            procedure,
            self._shop.book,
            Detail(settings.detail),
            meter,
            settings.risk_percent / 100,
            round(settings.prompt_after_s),
        )

    def _check_facts(self, procedure: Procedure) -> None:
        try:
            check_facts(procedure, self._request.facts)
        except MeasureError as error:
            raise SessionError(error.found, place="--set", remedy=error.remedy) from None


def run_session(request: SessionRequest, show: Show, warn: Warn) -> SessionEnd:
    """Run one session; with no procedure named it is asked what is wrong. See ``Opened.run``."""
    if not request.procedure and request.rehearsal is not None:
        raise NoProcedureError("no procedure is named", remedy="name the one to practise")
    return Opened(request, show, warn).run()
