"""Kept sound: whole, provable, for its owner alone, and never in the way of an answer."""

import errno
import os
import stat
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from running import call, lines

from voiceassist.app.keeping.session_record import SessionRecord
from voiceassist.app.keeping.sound import SoundKeeping
from voiceassist.app.keeping.sound_pruning import prune_sound
from voiceassist.app.keeping.sound_writer import SoundStore
from voiceassist.devices.wav import read_clip
from voiceassist.record import disk, removal
from voiceassist.record.entry import digest
from voiceassist.record.folder import SessionFolder, create
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read
from voiceassist.record.sound import SoundKind
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of
from voiceassist.testing import FixedTimeline

AFFIRM = Path(__file__).parents[2] / "audio_fixtures" / "demo" / "01-affirm.wav"


def sound(seconds: float = 0.5, rate_hz: int = 16_000) -> Clip:
    """Loud noise, so that a lossy file would not give it back."""
    samples = np.random.default_rng(7).normal(0, 9000, round(seconds * rate_hz))
    return clip_of(samples, rate_hz)


def keeping(folder: Path, *, everything: bool = True) -> SoundKeeping:
    return SoundKeeping(folder, pytest.fail, everything=everything)


@pytest.mark.parametrize("rate_hz", [16_000, 22_050])
def test_a_kept_utterance_is_flac_and_gives_back_every_sample(tmp_path: Path, rate_hz: int) -> None:
    keeper = keeping(tmp_path)
    told = keeper.keep(SoundKind.HEARD, 12.345, sound(rate_hz=rate_hz))
    assert keeper.close() == ()
    path = tmp_path / str(told["sound"])
    assert path.name == "heard-00012345.flac"
    assert path.read_bytes()[:4] == b"fLaC"  # RFC 9639, section 6
    assert told["sound_sha256"] == digest(path.read_bytes())
    assert told["sound_start_s"] == 12.345
    assert read_clip(path) == sound(rate_hz=rate_hz)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_only_notes_are_kept_when_sound_is_not_asked_for(tmp_path: Path) -> None:
    keeper = keeping(tmp_path, everything=False)
    assert keeper.keep(SoundKind.HEARD, 1.0, sound()) == {}
    assert keeper.keep(SoundKind.SAID, 2.0, sound()) == {}
    note = keeper.keep(SoundKind.NOTE, 3.0, sound())
    assert os.listdir(tmp_path) == [note["sound"]], "a note is on the disk when it is answered"
    assert keeper.close() == ()


def test_two_sounds_of_one_moment_have_two_files(tmp_path: Path) -> None:
    first, second = keeping(tmp_path), keeping(tmp_path)
    names = [first.keep(SoundKind.SAID, 1.0, sound())["sound"] for _ in range(2)]
    first.close()
    names.append(second.keep(SoundKind.SAID, 1.0, sound())["sound"])
    second.close()
    assert sorted(os.listdir(tmp_path)) == sorted(map(str, names))
    assert len(set(names)) == 3


# --- the disk is slow, full, or back ---


class Disk:
    """Writes when ``open`` is set; refuses while ``error`` is."""

    def __init__(self) -> None:
        self.open = threading.Event()
        self.error = 0

    def write(self, path: Path, data: bytes) -> None:
        self.open.wait(10)
        if self.error:
            raise OSError(self.error, os.strerror(self.error))
        disk.write_whole(path, data)


@pytest.fixture
def slow() -> Iterator[Disk]:
    slow = Disk()
    yield slow
    slow.open.set()


def test_a_disk_that_hangs_keeps_nobody_waiting(tmp_path: Path, slow: Disk) -> None:
    keeper = SoundKeeping(tmp_path, pytest.fail, everything=True, write=slow.write)
    began = time.monotonic()
    told = [keeper.keep(SoundKind.HEARD, at, sound(0.1)) for at in range(20)]
    assert time.monotonic() - began < 0.5
    assert os.listdir(tmp_path) == []
    slow.open.set()
    assert keeper.close() == ()
    assert sorted(os.listdir(tmp_path)) == sorted(str(line["sound"]) for line in told)


def test_sound_that_the_disk_refused_is_written_when_it_is_back(tmp_path: Path, slow: Disk) -> None:
    store = SoundStore(tmp_path, slow.write)
    slow.open.set()
    slow.error = errno.ENOSPC
    for name in "ab":
        store.put(name, b"sound")
    assert not store.settle(5.0)
    assert store.found == "the disk is full"
    slow.error = 0
    deadline = time.monotonic() + 5
    while store.found and time.monotonic() < deadline:
        time.sleep(0.01)
    assert store.settle(5.0)
    assert sorted(os.listdir(tmp_path)) == ["a", "b"]
    assert store.close() == ()


def test_what_cannot_be_written_at_the_end_is_named_as_lost(tmp_path: Path, slow: Disk) -> None:
    store = SoundStore(tmp_path, slow.write)
    slow.open.set()
    slow.error = errno.EIO
    for name in "abc":
        store.put(name, b"sound")
    began = time.monotonic()
    assert sorted(store.close()) == ["a", "b", "c"]
    assert time.monotonic() - began < 3
    assert store.close() == store.close()


def test_more_than_can_wait_is_lost_and_told(tmp_path: Path, slow: Disk) -> None:
    store = SoundStore(tmp_path, slow.write, limit=2)
    for name in "abc":
        store.put(name, b"sound")
    assert store.found == "the disk is too slow"
    slow.open.set()
    assert store.close() == ("c",)
    assert sorted(os.listdir(tmp_path)) == ["a", "b"]


# --- after a kill ---


def broken_off(records: Path, now: datetime, *names: str) -> SessionFolder:
    """A session that was killed, whose lines name sound files."""
    folder = create(records, "lamp", now)
    with Journal.create(folder.journal, lambda: now) as journal:
        journal.append([{"event": "session"}, *({"event": "heard", "sound": n} for n in names)])
    return folder


NOW = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)


def test_sound_that_a_kill_kept_from_the_disk_is_told_once_when_the_session_goes_on(
    tmp_path: Path,
) -> None:
    folder = broken_off(tmp_path, NOW, "heard-1.flac", "heard-2.flac")
    folder.write("heard-1.flac", b"fLaC")
    (folder.path / ".0a1b2c3d.heard-2.flac").write_bytes(b"fLa")
    for _ in range(2):
        with SessionRecord(folder, FixedTimeline(), pytest.fail):
            pass
    (line,) = [entry for entry in read(folder.journal) if entry.event == "sound-lost"]
    assert line.fields["names"] == ["heard-2.flac"]
    assert sorted(os.listdir(folder.path)) == ["heard-1.flac", "journal.jsonl"]


def test_a_draft_of_sound_that_a_kill_left_is_pruned_with_the_sound(tmp_path: Path) -> None:
    folder = broken_off(tmp_path, NOW)
    (folder.path / ".0a1b2c3d.heard-2.flac").write_bytes(b"fLa")
    assert [path.name for path in removal.sound_files(folder)] == [".0a1b2c3d.heard-2.flac"]


# --- after some days ---


def test_sound_goes_after_so_many_days_and_words_stay(tmp_path: Path) -> None:
    old, young = (
        broken_off(tmp_path, NOW - timedelta(days=days), "heard-1.flac") for days in (31, 29)
    )
    for folder in (old, young):
        for name in ("heard-1.flac", "said-1.flac", "note-1.flac"):
            folder.write(name, b"fLaC")
    prune_sound(tmp_path, 30, NOW, pytest.fail)
    assert sorted(os.listdir(old.path)) == ["journal.jsonl", "sound-removed.json"]
    assert len(os.listdir(young.path)) == 4
    stub = removal.stub(old, removal.SOUND_STUB)
    assert stub is not None
    assert stub.files == ("heard-1.flac", "note-1.flac", "said-1.flac")
    assert stub.last_hash == read(old.journal)[-1].hash
    old.write("said-2.flac", b"fLaC")
    prune_sound(tmp_path, 30, NOW, pytest.fail)
    again = removal.stub(old, removal.SOUND_STUB)
    assert again is not None
    assert set(again.files) == {*stub.files, "said-2.flac"}, "what went before is not forgotten"


def test_sound_of_a_session_that_is_open_stays_and_that_is_told(tmp_path: Path) -> None:
    folder = broken_off(tmp_path, NOW - timedelta(days=31))
    folder.write("said-1.flac", b"fLaC")
    told: list[str] = []
    with Journal.open(folder.journal, lambda: NOW - timedelta(days=31)):
        prune_sound(tmp_path, 30, NOW, told.append)
    assert (folder.path / "said-1.flac").exists()
    assert len(told) == 1
    assert "another session has it open" in told[0]


def test_a_journal_that_cannot_be_read_or_was_altered_keeps_its_sound_and_stops_nothing(
    tmp_path: Path,
) -> None:
    folders = [broken_off(tmp_path, NOW - timedelta(days=31 + more)) for more in range(3)]
    for folder in folders:
        folder.write("said-1.flac", b"fLaC")
    unreadable, altered, _ = folders
    unreadable.journal.unlink()
    unreadable.journal.mkdir()
    altered.journal.write_bytes(altered.journal.read_bytes().replace(b'"event"', b'"evemt"', 1))
    told: list[str] = []
    prune_sound(tmp_path, 30, NOW, told.append)
    assert [(each.path / "said-1.flac").exists() for each in folders] == [True, True, False]
    assert len(told) == 2
    assert {sentence.partition(": ")[0] for sentence in told} == {
        str(unreadable.journal), str(altered.journal),
    }  # fmt: skip
    assert any("its age is not known: line 1 was altered" in sentence for sentence in told)


# --- the whole command ---


@pytest.mark.slow
def test_it_is_said_that_sound_is_kept_and_a_changed_file_shows(tmp_path: Path) -> None:
    there = ("--records", str(tmp_path))
    arguments = ("heater-fan-module", "--audio", str(AFFIRM), "--listener", "sphinx", "--silent")
    done = call("run", *arguments, "--keep-sound", "days:30", "--json", *there)
    told = lines(done)
    assert (told[0]["event"], told[0]["keep_sound"]) == ("session", "days:30")
    assert told[1]["event"] == "sound-kept"
    assert "kept on this computer for 30 days" in told[1]["text"]
    (folder,) = [path for path in tmp_path.iterdir() if path.is_dir()]
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    (heard,) = [line for line in told if line["event"] == "heard"]
    path = folder / heard["sound"]
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert read_clip(path).seconds == pytest.approx(heard["end_s"] - heard["start_s"], abs=0.01)
    assert call("records", "verify", *there).returncode == 0
    data = bytearray(path.read_bytes())
    data[-100] ^= 1
    path.write_bytes(data)
    looked = call("records", "verify", *there)
    assert looked.returncode == 1
    assert f"{path.name}: it is not the sound of line" in looked.stdout


def test_there_is_nothing_to_tell_when_there_is_no_sound(tmp_path: Path) -> None:
    arguments = ("heater-fan-module", "--typed", "--silent", "--keep-sound", "on", "--json")
    done = call("run", *arguments, "--records", str(tmp_path), typed="affirm\n")
    assert "sound-kept" not in [line["event"] for line in lines(done)]
