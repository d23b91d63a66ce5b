"""Every kind of tampering is told by session and line, and what cannot be seen is not claimed."""

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shelf import BEGAN, add, finish, head, heard, job, kept, reading, removal_of
from sqlalchemy import Executable, delete, literal_column, update

from voiceassist import __version__
from voiceassist.archive.engine import address, make_engine, writing
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.archive.tables import readings, sessions
from voiceassist.archive.verify import Verified, verified
from voiceassist.record import removal, times
from voiceassist.record.chain import examine
from voiceassist.record.entry import FIRST_PREV, Entry, digest
from voiceassist.record.folder import SessionFolder
from voiceassist.record.removal import Removal

NOTE = {"event": "note", "words": "green", "verified": False}


@pytest.fixture
def records(tmp_path: Path) -> Path:
    return tmp_path / "records"


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with Archive.open(str(tmp_path / "archive.db")) as found:
        yield found


@pytest.fixture
def made(records: Path, archive: Archive) -> SessionFolder:
    """A finished session that the archive knows."""
    session = kept(records, job())
    sync(archive, records)
    return session


def look(session: SessionFolder, archive: Archive) -> Verified:
    sync(archive, session.path.parent)
    return verified(session, archive, __version__)


def told(found: Verified) -> list[tuple[str, str, int]]:
    return [(p.kind, p.file, p.line) for p in found.problems]


def test_a_session_as_it_was_written_has_no_problem(made: SessionFolder, archive: Archive) -> None:
    found = look(made, archive)
    assert found.problems == ()
    assert found.notes == ()
    assert found.lines == 6
    assert set(found.held_by) == {"archive", "transcript.vtt", "transcript.txt", "report.txt"}


def rehashed(line: bytes, **changes: object) -> bytes:
    """The line changed, with a hash that fits again."""
    fields = {**json.loads(line), **changes}
    del fields["hash"]
    seq, at, prev = fields.pop("seq"), fields.pop("at"), fields.pop("prev")
    return Entry.made(fields, seq=seq, at=at, prev=prev).line.rstrip(b"\n")


def anew(lines: list[bytes], **changes: object) -> list[bytes]:
    """The whole chain computed again, the third line changed."""
    made, prev = [], FIRST_PREV
    for number, line in enumerate(lines, 1):
        fields = json.loads(line) | (changes if number == 3 else {})
        fields = {k: v for k, v in fields.items() if k not in {"hash", "prev", "seq"}}
        entry = Entry.made(fields, seq=number, at=fields.pop("at"), prev=prev)
        made.append(entry.line.rstrip(b"\n"))
        prev = entry.hash
    return made


Tamper = Callable[[list[bytes]], list[bytes]]
JOURNAL = "journal.jsonl"
TAMPERED: dict[str, tuple[Tamper, tuple[str, str, int]]] = {
    "a changed value": (
        lambda x: [*x[:2], x[2].replace(b"12.60", b"12.90"), *x[3:]],
        ("edited", JOURNAL, 3),
    ),
    "a changed value, its hash too": (
        lambda x: [*x[:2], rehashed(x[2], value="12.90"), *x[3:]],
        ("edited", JOURNAL, 4),
    ),
    "a removed line": (lambda x: [*x[:2], *x[3:]], ("removed", JOURNAL, 3)),
    "the first line removed": (lambda x: x[1:], ("removed", JOURNAL, 1)),
    "two lines swapped": (lambda x: [x[0], x[2], x[1], *x[3:]], ("reordered", JOURNAL, 2)),
    "a line repeated": (lambda x: [*x[:3], x[2], *x[3:]], ("reordered", JOURNAL, 4)),
    "a foreign line put in": (lambda x: [*x[:3], b"{}", *x[3:]], ("edited", JOURNAL, 4)),
    "an empty line put in": (lambda x: [*x[:3], b"", *x[3:]], ("edited", JOURNAL, 4)),
    "the end cut": (lambda x: x[:4], ("cut", JOURNAL, 5)),
    "all lines cut": (lambda x: [], ("cut", JOURNAL, 1)),
    "the chain computed anew": (lambda x: anew(x, value="12.90"), ("edited", JOURNAL, 6)),
}


def tamper(session: SessionFolder, change: Tamper) -> None:
    lines = session.journal.read_bytes().splitlines()
    session.journal.write_bytes(b"".join(line + b"\n" for line in change(lines)))


@pytest.mark.parametrize("kind", TAMPERED)
def test_tampering_with_the_journal_is_told_by_its_line(
    made: SessionFolder, archive: Archive, kind: str
) -> None:
    change, expected = TAMPERED[kind]
    tamper(made, change)
    assert expected in told(look(made, archive))
    assert expected in told(look(made, archive))  # taking it in does not make it the truth


@pytest.mark.parametrize("witness", ["archive", "report.txt", "transcript.txt", "transcript.vtt"])
def test_one_witness_is_enough_to_see_a_cut_end(
    records: Path, archive: Archive, witness: str
) -> None:
    session = kept(records, job())
    for name in {"report.txt", "transcript.txt", "transcript.vtt"} - {witness}:
        (session.path / name).unlink()
    if witness == "archive":
        sync(archive, records)
    tamper(session, lambda lines: lines[:5])
    assert ("cut", JOURNAL, 6) in told(look(session, archive))


def test_an_end_that_was_cut_before_anything_saw_it_is_not_seen(
    records: Path, archive: Archive
) -> None:
    session = kept(records, job(), finished=False)
    tamper(session, lambda lines: lines[:4])
    found = look(session, archive)
    assert (found.problems, found.held_by, found.lines) == ((), ("archive",), 4)


@given(data=st.data())
def test_any_byte_of_any_line_changed_is_seen(data: st.DataObject) -> None:
    content = JOB
    place = data.draw(st.integers(0, len(content) - 1), label="place")
    other = data.draw(st.integers(0, 255).filter(lambda b: b != content[place]), label="byte")
    changed = content[:place] + bytes([other]) + content[place + 1 :]
    report = examine(changed)
    assert report.fault is not None
    line = content[:place].count(b"\n") + 1
    assert report.fault.line in {line, line + 1}


def chained(lines: list[dict[str, object]]) -> bytes:
    made: list[Entry] = []
    for number, line in enumerate(lines, 1):
        prev = made[-1].hash if made else FIRST_PREV
        at = times.written(BEGAN)
        made.append(Entry.made(line, seq=number, at=at, prev=prev))
    return b"".join(entry.line for entry in made)


JOB = chained(job())


# --- what is made from the journal ---


@pytest.mark.parametrize("name", ["report.txt", "transcript.txt", "transcript.vtt"])
def test_a_changed_report_or_transcript_is_told_by_its_line(
    made: SessionFolder, archive: Archive, name: str
) -> None:
    lines = made.read(name).splitlines(keepends=True)
    place = next(i for i, line in enumerate(lines, 1) if "12.60" in line)
    lines[place - 1] = lines[place - 1].replace("12.60", "12.90")
    made.write(name, "".join(lines))
    assert told(look(made, archive)) == [("changed", name, place)]


def test_a_report_without_its_end_is_told(made: SessionFolder, archive: Archive) -> None:
    made.write("report.txt", made.read("report.txt")[:100])
    assert told(look(made, archive)) == [("changed", "report.txt", 0)]


def test_a_missing_report_of_an_ended_session_is_told(
    made: SessionFolder, archive: Archive
) -> None:
    (made.path / "report.txt").unlink()
    assert told(look(made, archive)) == [("missing", "report.txt", 0)]


def test_a_report_made_before_the_session_went_on_is_no_problem(
    records: Path, archive: Archive
) -> None:
    session = kept(records, job()[:3])
    add(session, job()[3:5])
    assert look(session, archive).problems == ()


def test_a_report_of_another_version_is_not_called_changed(records: Path, archive: Archive) -> None:
    session = kept(records, [head(version="0.0.9"), *job()[1:]])
    session.write("report.txt", session.read("report.txt").replace("Complaint", "The complaint"))
    found = look(session, archive)
    assert found.problems == ()
    assert found.notes == ("report.txt was made by version 0.0.9, and cannot be compared here",)


# --- sound ---


def with_sound(records: Path, **more: object) -> SessionFolder:
    session = kept(
        records, [head(), heard("note", sound="note-1.wav", **more), NOTE], finished=True
    )
    session.write("note-1.wav", b"RIFF sound")
    return session


def test_changed_or_missing_sound_is_told_when_the_journal_has_its_hash(
    records: Path, archive: Archive
) -> None:
    session = with_sound(records, sound_sha256=digest(b"RIFF sound"))
    assert look(session, archive).problems == ()
    session.write("note-1.wav", b"RIFF other")
    assert told(look(session, archive)) == [("changed", "note-1.wav", 0)]
    (session.path / "note-1.wav").unlink()
    assert told(look(session, archive)) == [("missing", "note-1.wav", 0)]


def test_sound_without_a_hash_is_not_called_good(records: Path, archive: Archive) -> None:
    session = with_sound(records)
    assert look(session, archive).notes == ("note-1.wav: no hash was kept of it",)


def test_sound_that_was_removed_on_purpose_is_no_problem(records: Path, archive: Archive) -> None:
    session = with_sound(records)
    gone = Removal(session.id, "2026-03-01T08:00:00Z", "someone", files=("note-1.wav",))
    removal.remove_sound(session, gone)
    found = look(session, archive)
    assert (found.problems, found.notes) == ((), ("the sound was removed on 2026-03-01",))


# --- the archive, the folder ---


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (update(sessions).values(cause="worn out"), "the archive tells another cause"),
        (update(sessions).values(last_hash="00"), "the archive tells another last_hash"),
        (update(readings).values(verdict="low"), "the archive tells reading 1 otherwise"),
        (
            update(readings).values(value=literal_column("'12.6'")),
            "the archive tells reading 1 otherwise",
        ),
        (delete(readings), "the archive has 0 readings of 1"),
    ],
    ids=str,
)
def test_an_archive_that_was_changed_is_told(
    made: SessionFolder, archive: Archive, tmp_path: Path, change: Executable, found: str
) -> None:
    engine = make_engine(address(str(tmp_path / "archive.db")))
    with writing(engine) as connection:
        connection.execute(change)
    engine.dispose()
    assert [p.found for p in look(made, archive).problems] == [found]


def test_a_folder_that_is_gone_is_told(made: SessionFolder, archive: Archive) -> None:
    shutil.rmtree(made.path)
    assert told(look(made, archive)) == [("missing", JOURNAL, 0)]


def test_a_deleted_session_with_remains_is_told(made: SessionFolder, archive: Archive) -> None:
    removal.remove_session(made, removal_of(made))
    assert look(made, archive).problems == ()
    made.write("answers.wav", b"RIFF")
    assert told(look(made, archive)) == [("remains", "answers.wav", 0)]


def test_a_session_under_way_is_no_problem(records: Path, archive: Archive) -> None:
    session = kept(records, [head(), reading("12.60")], finished=False)
    sync(archive, records)
    add(session, [heard("more")])
    found = verified(session, archive, __version__)
    assert found.problems == ()
    assert found.notes == ("the session is under way; the archive is some lines behind",)
    finish(session)
    assert look(session, archive).problems == ()


def test_what_a_newer_version_wrote_is_kept_and_told(records: Path, archive: Archive) -> None:
    newer = [{"event": "hologram", "depth": 3}, reading("12.60") | {"colour": "blue"}]
    session = kept(records, [head(), *newer, *job()[1:]])
    found = look(session, archive)
    assert found.problems == ()
    assert found.notes == (
        "lines of kinds that this version does not know: hologram (1)",
        "fields that this version does not know: colour of reading (1)",
    )
    assert b'"depth":3' in session.journal.read_bytes()
