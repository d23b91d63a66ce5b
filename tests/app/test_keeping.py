"""The record of a session whose disk refuses: told aloud, told again when it is over, whole."""

import errno
import os
import re
import tempfile
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import languages
import pytest

from voiceassist import resources
from voiceassist.app.ears.base import ClipEars, Elapsed, Utterance
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.keeping.session_record import SessionRecord
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.pages import made_files
from voiceassist.errors import RecordError
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.read import read_procedure
from voiceassist.record.entry import Entry
from voiceassist.record.folder import SessionFolder, create
from voiceassist.record.journal import Journal
from voiceassist.record.lines import End, SessionLine
from voiceassist.record.read_journal import read
from voiceassist.session.engine import Engine
from voiceassist.session.session import SessionSetup
from voiceassist.sound.clip import Clip
from voiceassist.testing import CapturingVoice, FaultyDisk, FixedTimeline, ScriptedListener

FILES = resources.grammar_files("en")
LANGUAGE = languages.shipped()
BOOK = Phrasebook.load(FILES["sentences.toml"], LANGUAGE.say)
FAN = (Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml").read_text("utf-8")
BEGAN = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)


class Stage:
    """A session on a disk that can be told to refuse, heard and spoken by stand-ins."""

    def __init__(self, tmp_path: Path, *, keep_sound: bool = False, attended: bool = False) -> None:
        self.disk = FaultyDisk()
        self.timeline = FixedTimeline()
        self.voice = CapturingVoice()
        self.warnings: list[str] = []
        self.folder = create(tmp_path, "lamp", BEGAN)
        self.keeping = SessionRecord(
            self.folder,
            self.timeline,
            self.warnings.append,
            keep_sound=keep_sound,
            files=self.disk,
        )
        self.keeping.keep([SessionLine.made(text="", facts={})])
        mouth = Mouth(self.voice, LANGUAGE.spoken, None, self.timeline, self.warnings.append)
        self.ears = Ears(self.timeline)
        self.loop = Loop(
            Parts(
                engine=Engine(SessionSetup(read_procedure(FAN, "fan"), BOOK)),
                language=LANGUAGE,
                ears=self.ears,
                mouth=mouth,
                keeper=self.keeping,
                timeline=self.timeline,
                show=lambda _: None,
                attended=attended,
            )
        )
        self.loop.begin({})

    def say(self, *words: str) -> list[str]:
        """Say so, and return what is answered."""
        before = len(self.loop.spoken)
        self.ears.say(words)
        self.loop.run()
        return [sentence.text for sentence in self.loop.spoken[before:]]


class Ears:
    """Hears clips as a listener would; waits when there is nothing to hear but time to pass."""

    def __init__(self, timeline: FixedTimeline) -> None:
        self._timeline = timeline
        self._heard = self._made([])
        self.waits = 0

    def say(self, words: Iterable[str]) -> None:
        self._heard = self._made(list(words))

    def _made(self, words: list[str]) -> ClipEars:
        clips = [Clip.silence(1.0) for _ in words]
        hearing = Hearing(ScriptedListener(words))
        return ClipEars(clips, hearing, self._timeline, gap_s=0.4)

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        self._heard.expect(grammars)

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        found = self._heard.listen(grammar)
        if found is None and until_s is not None and self.waits:
            self.waits -= 1
            self._timeline.advance(max(0.0, until_s - self._timeline.now_s()))
            return Elapsed()
        return found

    def close(self) -> None:
        """Nothing is held."""


def test_a_disk_that_refuses_is_told_aloud_once_and_once_more_when_it_is_back(
    tmp_path: Path,
) -> None:
    stage = Stage(tmp_path)
    stage.disk.error = errno.ENOSPC
    first = stage.say("affirm")
    assert first[0].startswith("I cannot write the record: the disk is full.")
    assert len(first) > 1, "the session goes on"
    assert not any("record" in sentence for sentence in stage.say("done"))
    stage.disk.error = 0
    back = stage.say("twelve point six volts")
    assert back[0] == "The record is written again, and nothing is missing."
    assert not any("record" in sentence for sentence in stage.say("affirm"))
    entries = read(stage.folder.journal)
    assert entries == stage.keeping._journal.entries
    states = [entry.fields["state"] for entry in entries if entry.event == "record"]
    assert states == ["waiting", "written"]
    heard = [entry.fields["words"] for entry in entries if entry.event == "heard"]
    assert heard == ["affirm", "done", "twelve point six volts", "affirm"]


def test_a_network_drive_that_comes_back_is_tried_again_while_nobody_speaks(
    tmp_path: Path,
) -> None:
    stage = Stage(tmp_path, attended=True)
    stage.disk.error = errno.EHOSTDOWN
    said = stage.say("affirm")
    assert said[0].startswith("I cannot write the record: the network drive is gone.")
    stage.disk.error = 0
    stage.ears.waits = 1
    assert stage.say() == ["The record is written again, and nothing is missing."]
    assert stage.keeping.durable


def test_answers_do_not_overlap_what_is_told_of_the_record(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    stage.disk.error = errno.ENOSPC
    before = len(stage.loop.spoken)
    stage.say("affirm")
    spoken = stage.loop.spoken[before:]
    assert len(spoken) > 1
    assert all(one.end_s <= other.start_s for one, other in pairwise(spoken))


def test_lines_that_the_disk_never_takes_are_written_elsewhere_and_that_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refuge = tmp_path / "refuge"
    refuge.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(refuge))
    stage = Stage(tmp_path / "records")
    stage.disk.error = errno.EIO
    stage.say("affirm", "done")
    with pytest.raises(RecordError, match="lines were not kept there") as told:
        stage.keeping.__exit__(None, None, None)
    found = re.search(r"put (\S+) in its place", str(told.value))
    assert found is not None
    assert Path(found[1]).is_relative_to(refuge)
    heard = [entry.fields["words"] for entry in read(Path(found[1])) if entry.event == "heard"]
    assert heard == ["affirm", "done"]


# --- sound in a session ---


def test_every_word_on_both_sides_is_kept_as_sound_that_its_line_names(tmp_path: Path) -> None:
    stage = Stage(tmp_path, keep_sound=True)
    stage.say("affirm", "done", "twelve point six volts")
    stage.keeping.finish(stage.loop.spoken, [])
    entries = read(stage.folder.journal)
    for event in ("heard", "ask", "verdict", "caution"):
        lines = [entry.fields for entry in entries if entry.event == event and entry.fields["text"]]
        assert lines, event
        assert all((stage.folder.path / str(line["sound"])).is_file() for line in lines), event
    (first, *_) = [entry.fields for entry in entries if entry.event == "heard"]
    assert first["sound_start_s"] == first["start_s"]


def test_without_being_asked_for_no_sound_is_kept(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    stage.say("affirm", "done")
    stage.keeping.finish(stage.loop.spoken, [])
    assert [name for name in os.listdir(stage.folder.path) if name.endswith(".flac")] == []


def test_sound_that_could_not_be_kept_is_on_the_record_as_lost(tmp_path: Path) -> None:
    stage = Stage(tmp_path, keep_sound=True)
    stage.keeping._sound._store._write = refusing
    stage.say("affirm")
    stage.keeping.finish(stage.loop.spoken, [])
    entries = read(stage.folder.journal)
    named = {entry.fields["sound"] for entry in entries if "sound" in entry.fields}
    written = {name for name in os.listdir(stage.folder.path) if name.endswith(".flac")}
    (lost,) = [entry.fields["names"] for entry in entries if entry.event == "sound-lost"]
    assert isinstance(lost, list)
    assert set(lost) == named - written
    assert lost


def refusing(path: Path, data: bytes) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


# --- what is made at the end ---

END = End.made(step="", text="The job is closed.", outcome="stopped")
HEAD = SessionLine.made(title="A lamp", text="A lamp", facts={}, procedure="lamp")
MADE = {"report.html", "report.txt", "transcript.txt", "transcript.vtt"}


def ended(records: Path, minute: int = 0) -> SessionFolder:
    """A session that has ended, and was killed before anything was made of it."""
    folder = create(records, "lamp", BEGAN + timedelta(minutes=minute))
    with Journal.create(folder.journal, lambda: BEGAN) as journal:
        journal.append([HEAD, END])
    return folder


def test_a_finished_session_leaves_a_page_and_an_unfinished_one_none(tmp_path: Path) -> None:
    for lines, made in (([HEAD], MADE - {"report.html"}), ([HEAD, END], MADE)):
        folder = create(tmp_path, "lamp", BEGAN)
        with SessionRecord(folder, FixedTimeline(), pytest.fail) as keeping:
            keeping.keep(lines)
            keeping.finish([], [])
        assert set(os.listdir(folder.path)) - {"journal.jsonl"} == made


def test_the_last_hash_is_printed_in_what_is_made(tmp_path: Path) -> None:
    folder = ended(tmp_path)
    made_files.make_files(folder, read(folder.journal), pytest.fail)
    last_hash = read(folder.journal)[-1].hash
    for name in MADE:
        assert last_hash in folder.read(name), name


def test_a_page_that_fails_keeps_nothing_else_from_being_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(folder: SessionFolder, entries: list[Entry]) -> bytes:
        raise ZeroDivisionError("a fault of our own")

    folder, told = ended(tmp_path), list[str]()
    monkeypatch.setattr(made_files, "page", failing)
    made_files.make_files(folder, read(folder.journal), told.append)
    assert set(os.listdir(folder.path)) == MADE - {"report.html"} | {"journal.jsonl"}
    assert len(told) == 1
    assert "report.html: it could not be made" in told[0]


def test_a_session_killed_between_its_end_and_its_report_is_completed_later(
    tmp_path: Path,
) -> None:
    folder = ended(tmp_path)
    before = folder.journal.read_bytes()
    made_files.complete(tmp_path, pytest.fail)
    assert set(os.listdir(folder.path)) == MADE | {"journal.jsonl"}
    assert folder.journal.read_bytes() == before


def test_sessions_that_others_followed_are_completed_too_a_few_at_a_time(tmp_path: Path) -> None:
    made = [ended(tmp_path, minute).path for minute in range(12)]
    made_files.complete(tmp_path, pytest.fail)
    done = [path.name for path in made if (path / "report.html").exists()]
    assert done == [path.name for path in made][-10:]
    made_files.complete(tmp_path, pytest.fail)
    assert all(set(os.listdir(path)) >= MADE for path in made)
