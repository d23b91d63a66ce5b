"""Opens sessions, goes on with unfinished ones, and leaves the record complete."""

import time
from collections.abc import Mapping
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from voiceassist import __version__
from voiceassist.app import build, sources
from voiceassist.app.advising.adviser import JobAdviser, can_advise
from voiceassist.app.catalogue import find, is_path, shipped
from voiceassist.app.ears.base import Ears
from voiceassist.app.intake.asking import intake
from voiceassist.app.intake.carry import known_before, to_kept
from voiceassist.app.intake.order import shared_first
from voiceassist.app.keeping.opening import is_familiar, was_told
from voiceassist.app.keeping.parked import mark, unmark
from voiceassist.app.keeping.session_record import SessionRecord
from voiceassist.app.keeping.sound_pruning import prune_sound
from voiceassist.app.keeping.unfinished import chosen
from voiceassist.app.live.advises import Advises
from voiceassist.app.live.instructor import InstructorNotes
from voiceassist.app.live.loop import Loop, Parts, Show
from voiceassist.app.live.replay import replayed
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.mouth import ClipPlayer, Mouth
from voiceassist.app.pages.made_files import complete
from voiceassist.app.session_request import (
    NoProcedureError,
    SessionEnd,
    SessionRequest,
    check_options,
)
from voiceassist.app.step_rows import rows_of
from voiceassist.app.timeline import RealTimeline, SoundTimeline, Timeline
from voiceassist.app.warn import Warn
from voiceassist.errors import MeasureError, ResourceError, SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.meter import Meter
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.recognise.choose import LISTENERS
from voiceassist.record import lines, times
from voiceassist.record.chain import digest
from voiceassist.record.folder import ANSWERS, SessionFolder
from voiceassist.record.job import Part, left_open, part_of
from voiceassist.record.journal import verify
from voiceassist.record.outcomes import PARKED
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import head_of, next_sequence
from voiceassist.session.engine import Engine
from voiceassist.session.events import Carried
from voiceassist.session.lessons import DIGITS
from voiceassist.session.session import Detail, SessionSetup
from voiceassist.session.values import check_facts
from voiceassist.speak.base import Voice

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.rehearsal import Rehearsal

#: Settings that a session keeps when it goes on another day.
_OF_THE_VOICE = ("voice", "rate_wpm", "volume")


@dataclass(frozen=True, slots=True)
class Room:
    """What several sessions one after the other share."""

    timeline: Timeline
    mouth: Mouth
    ears: Ears


class Opened:
    """A session with everything it needs, about to begin or to go on."""

    def __init__(self, request: SessionRequest, show: Show, warn: Warn) -> None:
        self._request = request
        self._show = show
        self._warn = warn
        self._shop = build.Components(build.settings(request.changes))
        self._open = ExitStack()  # what is held open, closed in reverse order
        self._voice: Voice | None = None
        self._player: ClipPlayer | None = None
        self._notes = InstructorNotes()

    def run(self) -> SessionEnd:
        """Begin or go on, to the end of the session or of its input.

        Raises:
            VoiceAssistError: something needed is missing or bad; what was kept stays kept.
        """
        with self._open:
            return self._run()

    def _find_voice(self) -> None:
        """Open voice and loudspeaker; not before all else is well, for they may warn."""
        if not self._request.silent:
            self._voice = sources.voice(self._shop, self._warn, ahead=self._live)
        if self._voice and (not self._request.audio or self._request.aloud):
            self._player = sources.player(self._shop, self._warn)
        for device in (self._voice, self._player):
            if device is not None:
                self._open.enter_context(closing(device))

    @property
    def _live(self) -> bool:
        return self._request.typed is None and not self._request.audio

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
        self._find_voice()
        return self._one(written, meter, self._room(), practised)

    def _from_the_complaint(self) -> SessionEnd:
        """Ask what is wrong, and run what is about it; of two complaints one after the other."""
        meter = build.meter(self._shop.settings.meter)
        self._find_voice()
        room = self._room()
        asking = intake(self._shop, room.ears, room.mouth, self._show)
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
            return self._one(first, meter, room, None)
        job = Part(tuple(each.name for each in parts))
        return self._next_parts(self._one(first, meter, room, None, job), job, room)

    def _next_parts(self, done: SessionEnd, part: Part, room: "Room") -> SessionEnd:
        """The parts of a job after the one that is ``done``; one left open is gone on with first.

        Each record tells which part it is and what came before.
        """
        while part.following and done.outcome not in {"", PARKED}:
            asking = intake(self._shop, room.ears, room.mouth, self._show)
            title = build.procedure(part.following).procedure.title
            if not asking.goes_on(title):
                break
            done, part = self._next_part(done.folder, part, room)
        if part.following:
            self._warn(
                f"The job has another part, {part.following}."
                f" Go on with: voiceassist run --resume {done.folder.name}"
            )
        return done

    def _next_part(self, before: Path, part: Part, room: "Room") -> tuple[SessionEnd, Part]:
        """The part that comes after the one in ``before``, with what that has told."""
        folder, written = SessionFolder(before), build.procedure(part.following)
        done, text = _kept_in(folder, "procedure.yaml"), folder.read("meter.yaml")
        meter = read_meter(text, "meter.yaml")
        setup = self._setup(done.procedure, meter)
        known = known_before(folder, done, setup, written, room.timeline.wall())
        if known.altered:
            self._warn(f"{folder.id} is not as it was written: nothing is taken over from it.")
        self._request = replace(self._request, facts=known.facts or self._request.facts)
        part = part.next(folder.id)
        return self._one(written, (meter, text), room, None, part, known.carried), part

    def _begin_left_open(self, left: SessionFolder) -> SessionEnd:
        """The part of a job that was not begun when the one before it was done."""
        part = part_of(head_of(left))
        assert part is not None
        self._as_begun(ReadSession(entry.typed for entry in verify(left.journal).entries))
        self._find_voice()
        room = self._room()
        done, part = self._next_part(left.path, part, room)
        return self._next_parts(done, part, room)

    def _room(self) -> "Room":
        timeline = self._timeline(0.0)
        return Room(timeline, *self._mouth_and_ears(timeline))

    def _one(
        self,
        written: build.Written,
        meter_and_text: tuple[Meter, str],
        room: "Room",
        practised: "Rehearsal | None",
        part: Part | None = None,
        carried: tuple[Carried, ...] = (),
    ) -> SessionEnd:
        """One session from its beginning to its end."""
        procedure, (meter, meter_text) = written.procedure, meter_and_text
        timeline, mouth, ears = room.timeline, room.mouth, room.ears
        records = self._records()
        numbered = {"sequence": next_sequence(records)}
        source, today = str(procedure.source), timeline.wall().date()
        familiar = is_familiar(records, self._request.facts, source, today)
        taught = was_told(records, self._request.facts, self._shop.book(DIGITS))
        with SessionRecord.create(
            records, procedure.name, timeline, self._warn, keep_sound=self._keeps_sound
        ) as keeping:
            beside = {_used(name): text for name, text in written.used.items()}
            beside["meter.yaml"] = meter_text
            beside |= practised.files if practised else {}
            for name, text in {"procedure.yaml": written.text, **beside}.items():
                keeping.write(name, text)
            header = lines.Session.made(
                **{
                    **self._header(procedure, written.text, meter, beside),
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
            loop = self._loop(setup, mouth, ears, timeline, keeping, practised, adviser)
            self._tell_that_sound_is_kept(loop)
            for line in practised.opening() if practised else ():
                loop.announce(line)
            loop.begin(self._request.facts, familiar=familiar, taught=taught, carried=carried)
            return self._finish(loop, keeping)

    def _as_part(self, procedure: Procedure, part: Part) -> Mapping[str, object]:
        """What the first line of the journal tells of a part of a job, its title among it."""
        about = {"number": part.number, "count": len(part.names)}
        marked = self._shop.book.plain("intake.part", title=procedure.title, **about)
        return {"title": marked, "text": marked, "part": part.to_json()}

    def _resume(self) -> SessionEnd:
        left = left_open(self._records(), self._request.procedure)
        if left is not None:
            return self._begin_left_open(left)
        choice = chosen(self._records(), self._request.procedure, _named, self._warn)
        with SessionRecord.reopen(choice, self._warn, keep_sound=self._keeps_sound) as keeping:
            self._as_begun(ReadSession(keeping.lines))
            written = _kept_in(keeping, "procedure.yaml")
            text, procedure = written.text, written.procedure
            asked = "" if choice.named else self._request.procedure
            if asked and _changed_since(build.procedure(_meant(asked)), procedure, text):
                self._warn(
                    "The procedure has changed since; the session goes on with its own copy."
                )
            meter = self._meter_kept(keeping)
            setup = self._setup(procedure, meter)
            practised = self._practised_before(keeping, written, meter)
            adviser = practised or self._adviser(setup, written, keeping)
            unmark(keeping.folder)
            back = replayed(Engine(setup), keeping.lines)
            self._find_voice()
            timeline = self._timeline(back.offset_s)
            keeping.use(timeline)
            mouth, ears = self._mouth_and_ears(timeline)
            loop = self._loop(setup, mouth, ears, timeline, keeping, practised, adviser)
            self._tell_that_sound_is_kept(loop)
            loop.resume(back, _seconds_since(back.last, timeline))
            done = self._finish(loop, keeping)
            part = part_of(keeping.lines[0])
        if part is None or not part.following:
            return done
        return self._next_parts(done, part, Room(timeline, mouth, ears))

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

    def _tell_that_sound_is_kept(self, loop: Loop) -> None:
        """Nobody's voice is kept without being told; there is no sound in text."""
        heard = self._request.typed is None
        if self._keeps_sound and (heard or self._voice is not None):
            days = self._shop.settings.sound_days
            key = "record.sound" if days is None else "record.sound-days"
            text = self._shop.book(key, days=days)
            loop.announce(
                lines.SoundKept.made(text=text, keep_sound=self._shop.settings.keep_sound)
            )

    def _as_begun(self, read: ReadSession) -> None:
        """Take from the record how the session is led, unless it is asked for anew."""
        names = ("language", "detail", "risk_percent", "listener", "model", *_OF_THE_VOICE)
        kept = {name: str(read.head[name]) for name in names if read.head.get(name)}
        gone = _without_gone_listener(kept)
        returned = [line.detail for line in read.every(lines.Returned)]
        kept |= {"detail": detail for detail in returned[-1:] if detail}  # noqa: B035
        changes = {**kept, **self._request.changes}
        self._shop = build.Components(build.settings(changes))
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

    # --- parts ---

    def _mouth_and_ears(self, timeline: Timeline) -> tuple[Mouth, Ears]:
        """They share the floor, so that we do not answer ourselves."""
        settings = self._shop.settings
        floor = Floor(Duplex(settings.duplex), float(settings.tail_s), time.monotonic)
        mouth = Mouth(
            self._voice,
            self._shop.to_words,
            self._player,
            timeline,
            self._warn,
            floor=floor,
            tones=self._live and settings.tones == "on",
            keep=bool(self._request.voice_out or self._request.demo),
        )
        ears = self._ears(timeline, floor, mouth)
        return mouth, self._open.enter_context(closing(ears))

    # --- rehearsals ---

    def _practised(
        self, written: build.Written, meter: Meter
    ) -> tuple["Rehearsal | None", build.Written]:
        """The rehearsal that is asked for, if one is, and what the session goes by."""
        asked = self._request.rehearsal
        if asked is None:
            return None, written
        from voiceassist.app.rehearsal.asked import Asked
        from voiceassist.app.rehearsal.rehearsal import as_led, begin

        settled = asked.settled(written.procedure) if isinstance(asked, Asked) else asked
        setup = self._setup(written.procedure, meter)
        practised = begin(settled, setup, written, self._shop, self._request.progress)
        return practised, as_led(settled, written)

    def _practised_before(
        self, keeping: SessionRecord, written: build.Written, meter: Meter
    ) -> "Rehearsal | None":
        """The rehearsal that a session was, with all done again that was done in it."""
        kept = lines.Session(keeping.lines[0]).rehearsal
        if not kept:
            return None
        from voiceassist.app.rehearsal.asked import Mode, Settled
        from voiceassist.app.rehearsal.rehearsal import PRACTISED, begin

        settled = Settled.from_json(kept)
        if settled.mode is Mode.FREE:
            written = _kept_in(keeping, PRACTISED)
        setup = self._setup(written.procedure, meter)
        practised = begin(settled, setup, written, self._shop, self._request.progress)
        practised.replay(lines.typed(keeping.lines))
        return practised

    def _adviser(
        self, setup: SessionSetup, written: build.Written, keeping: SessionRecord
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
        mouth: Mouth,
        ears: Ears,
        timeline: Timeline,
        keeping: SessionRecord,
        practised: "Rehearsal | None",
        adviser: Advises | None,
    ) -> Loop:
        if self._live:  # while the opening is spoken, so that no answer waits for it
            Thread(target=self._shop.language.talk.read, daemon=True).start()
        parts = Parts(
            engine=Engine(setup),
            language=self._shop.language,
            ears=ears,
            mouth=mouth,
            keeper=keeping,
            timeline=timeline,
            show=self._show,
            record=str(keeping.folder),
            guesser=self._shop.guesser,
            attended=self._live,
            beside=practised,
            adviser=adviser,
            notes=self._notes,
        )
        self._notes.use(keeping.folder, keeping.lines)
        return Loop(parts)

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

    def _meter_kept(self, keeping: SessionRecord) -> Meter:
        return read_meter(keeping.read("meter.yaml"), "meter.yaml")

    def _timeline(self, start_s: float) -> Timeline:
        if not self._request.audio or self._player is not None:
            return RealTimeline(start_s)
        return SoundTimeline(start_s, paced=self._request.aloud)

    def _ears(self, timeline: Timeline, floor: Floor, mouth: Mouth) -> Ears:
        if self._request.typed is not None:
            return sources.typed_ears(
                self._request.typed, timeline, self._request.view, self._notes.waits
            )
        if self._request.audio:
            files = [Path(file) for file in self._request.audio]
            return sources.file_ears(self._shop, files, timeline, self._player, self._warn)
        view, waits = self._request.view, self._notes.waits
        room = sources.LiveContext(timeline, floor, mouth, view, self._warn, waits)
        return sources.live_ears(self._shop, room)

    def _header(
        self, procedure: Procedure, text: str, meter: Meter, beside: Mapping[str, str]
    ) -> Mapping[str, object]:
        return {
            "step": "",
            "text": procedure.title,
            "procedure": procedure.name,
            "title": procedure.title,
            "source": str(procedure.source),
            "meter": meter.name,
            "risk_percent": f"{self._shop.settings.risk_percent:f}",
            "procedure_sha256": digest(text.encode()),
            "files_sha256": {name: digest(other.encode()) for name, other in beside.items()},
            "facts": dict(self._request.facts),
            "version": __version__,
            "language": self._shop.settings.language,
            "detail": self._shop.settings.detail,
            "keep_sound": self._shop.settings.keep_sound,
            "listener": "" if self._request.typed else self._shop.settings.listener,
            "model": "" if self._request.typed else self._shop.settings.model,
            **{name: getattr(self._shop.settings, name) for name in _OF_THE_VOICE},
        }


def _named(asked: str) -> str:
    """The name of the procedure that is called ``asked``; empty when there is none.

    Raises:
        ProcedureFaultsError: there is one, with faults.
    """
    try:
        return build.procedure(_meant(asked)).procedure.name
    except ResourceError:
        return ""


def _meant(asked: str) -> str:
    """The path or name of the procedure that a word means; the word itself when it means none."""
    fitting = () if is_path(asked) else find(asked, shipped()).fitting
    return fitting[0].name if len(fitting) == 1 else asked


def _changed_since(asked: build.Written, own: Procedure, text: str) -> bool:
    """The procedure that was asked for is the session's own, and its text another."""
    return asked.procedure.name == own.name and asked.text != text


def _without_gone_listener(kept: dict[str, str]) -> str:
    """Take from ``kept`` a listener that there is no more, and its model; the name of it."""
    listener = kept.get("listener", "")
    if not listener or listener in LISTENERS:
        return ""
    kept.pop("model", None)
    return kept.pop("listener")


def _kept_in(folder: SessionRecord | SessionFolder, name: str) -> build.Written:
    """The procedure in a file of the session's folder, with those that it puts in."""
    used: dict[str, str] = {}
    text = folder.read(name)

    def library(other: str) -> str:
        used[other] = folder.read(_used(other))
        return used[other]

    return build.Written(read_procedure(text, name, library), text, used)


def _used(name: str) -> str:
    """How a procedure that another one puts in is called in the session's folder."""
    return f"used-{name}.yaml"


def _seconds_since(last: str, timeline: Timeline) -> float:
    """Seconds from the time of the last line to now; never less than none."""
    return max(0.0, (timeline.wall() - datetime.fromisoformat(last)).total_seconds())


def run_session(request: SessionRequest, show: Show, warn: Warn) -> SessionEnd:
    """Run one session; with no procedure named it is asked what is wrong. See ``Opened.run``."""
    if not request.procedure and request.rehearsal is not None:
        raise NoProcedureError("no procedure is named", remedy="name the one to practise")
    return Opened(request, show, warn).run()
