"""Opens sessions and goes on with unfinished ones, through all parts of a job."""

from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from voiceassist.app import build
from voiceassist.app.build import Written
from voiceassist.app.equipment import Station
from voiceassist.app.intake.asking import intake
from voiceassist.app.intake.carry import known_before
from voiceassist.app.intake.order import shared_first
from voiceassist.app.kept_files import kept_meter, kept_procedure
from voiceassist.app.live.parts import Show
from voiceassist.app.one_session import OneSession
from voiceassist.app.session_request import (
    NoProcedureError,
    SessionEnd,
    SessionRequest,
    check_options,
)
from voiceassist.app.warn import Warn
from voiceassist.errors import MeasureError, SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.meter import Meter
from voiceassist.procedure.model import Procedure
from voiceassist.record.folder import SessionFolder
from voiceassist.record.job import JobPart, left_open, part_of
from voiceassist.record.outcomes import PARKED
from voiceassist.record.read_journal import verify
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import head_of
from voiceassist.session.values import check_facts

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.rehearsal import Rehearsal


class Job:
    """A job, which is one session or several: one for each part of it.

    Args: those of ``run_session``.
    """

    def __init__(self, request: SessionRequest, show: Show, warn: Warn) -> None:
        self._show, self._warn = show, warn
        self._held = ExitStack()
        self._session = OneSession(request, show, warn, self._held)

    def run(self) -> SessionEnd:
        """Begin or go on, to the end of the session or of its input.

        Raises:
            VoiceAssistError: something needed is missing or bad; what was kept stays kept.
        """
        with self._held:
            check_options(self._session.request)
            done = self._resume() if self._session.request.resume else self._begin()
            while done.wrong and self._session.request.rehearsal is None:
                done = self._chosen_again(done)
            return done

    def _chosen_again(self, wrong: SessionEnd) -> SessionEnd:
        """The job that is meant, after one that was the wrong one; nothing said ends there."""
        kept = {k: v for k, v in self._session.request.facts.items() if k != "complaint"}
        self._session.request = replace(self._session.request, facts=kept, resume=False)
        try:
            return self._from_the_complaint()
        except NoProcedureError:
            return replace(wrong, wrong=False)

    def _begin(self) -> SessionEnd:
        self._session.shop.language.compose(Expectation())  # a bad one is told of before all else
        if not self._session.request.procedure:
            return self._from_the_complaint()
        written = build.procedure(self._session.request.procedure, self._session.shop.is_reserved)
        meter = build.meter(self._session.shop.settings.meter)
        practised, written = self._practised(written, meter[0])
        self._check_facts(written.procedure)
        return self._session.begin(written, meter, self._session.station(), practised)

    def _from_the_complaint(self) -> SessionEnd:
        """Ask what is wrong, and run what is about it; of two complaints one after the other."""
        meter = build.meter(self._session.shop.settings.meter)
        station = self._session.station()
        asking = intake(self._session.shop, station.ears, station.mouth, self._show)
        intent = asking.ask()
        if intent is None:
            raise NoProcedureError("no procedure is named", remedy="say or type what is wrong")
        told = {"complaint": intent.complaint, **self._session.request.facts}
        self._session.request = replace(self._session.request, facts=told)
        found = [build.procedure(name, self._session.shop.is_reserved) for name in intent.names]
        parts = shared_first([each.procedure for each in found])
        first = next(each for each in found if each.procedure is parts[0])
        asking.begin([each.title for each in parts])
        self._check_facts(first.procedure)
        if len(parts) == 1:
            return self._session.begin(first, meter, station, None)
        job = JobPart(tuple(each.name for each in parts))
        return self._next_parts(self._session.begin(first, meter, station, None, job), job, station)

    def _next_parts(self, done: SessionEnd, part: JobPart, station: Station) -> SessionEnd:
        """The parts of a job after the one that is ``done``; one left open is gone on with first.

        Each record tells which part it is and what came before.
        """
        while part.following and done.outcome not in {"", PARKED}:
            asking = intake(self._session.shop, station.ears, station.mouth, self._show)
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
        setup = self._session.setup(done.procedure, meter[0])
        known = known_before(folder, done, setup, written, station.timeline.wall())
        if known.altered:
            self._warn(f"{folder.id} is not as it was written: nothing is taken over from it.")
        self._session.request = replace(
            self._session.request, facts=known.facts or self._session.request.facts
        )
        part = part.next(folder.id)
        return self._session.begin(written, meter, station, None, part, known.carried), part

    def _resume(self) -> SessionEnd:
        left = left_open(self._session.records(), self._session.request.procedure)
        if left is not None:
            return self._begin_left_open(left)
        done, part, station = self._session.go_on()
        return done if part is None else self._next_parts(done, part, station)

    def _begin_left_open(self, left: SessionFolder) -> SessionEnd:
        """The part of a job that was not begun when the one before it was done."""
        part = part_of(head_of(left))
        assert part is not None
        self._session.take_as_begun(
            ReadSession(entry.typed for entry in verify(left.journal).entries)
        )
        station = self._session.station()
        done, part = self._next_part(left.path, part, station)
        return self._next_parts(done, part, station)

    def _practised(self, written: Written, meter: Meter) -> "tuple[Rehearsal | None, Written]":
        """The rehearsal that is asked for, if one is, and what the session goes by."""
        asked = self._session.request.rehearsal
        if asked is None:
            return None, written
        from voiceassist.app.rehearsal.joining import as_asked

        setup = self._session.setup(written.procedure, meter)
        return as_asked(asked, setup, written, self._session.shop, self._session.request.progress)

    def _check_facts(self, procedure: Procedure) -> None:
        try:
            check_facts(procedure, self._session.request.facts)
        except MeasureError as error:
            raise SessionError(error.found, place="--set", remedy=error.remedy) from None


def run_session(request: SessionRequest, show: Show, warn: Warn) -> SessionEnd:
    """Run one session; with no procedure named it is asked what is wrong. See ``Job.run``."""
    if not request.procedure and request.rehearsal is not None:
        raise NoProcedureError("no procedure is named", remedy="name the one to practise")
    return Job(request, show, warn).run()
