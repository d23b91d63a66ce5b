"""Kept sound is heard again as it was heard, nothing of the record changes, and what cannot be
heard is told."""

import csv
import io
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import dask_cluster
import pytest
from running import Done, call, lines

from voiceassist.app.again.hearer import heard_again
from voiceassist.app.again.phrases import SessionAgain
from voiceassist.app.again.tape import Tape, tape_of
from voiceassist.app.keeping.removal_rules import removal_of
from voiceassist.app.settings.settings import Settings
from voiceassist.record import removal, times
from voiceassist.record.folder import JOURNAL, PROCEDURE, SessionFolder, sessions

DEMO = Path(__file__).parents[2] / "audio_fixtures" / "demo"
#: What is said in them stands beside them: affirm, a value, done, a lamp and so on.
SAID = ("01-affirm", "03-battery", "05-affirm", "20-done", "08-feed", "17-why")
FAN = "heater-fan-module"


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of records with one job that was heard by the ear, and its sound."""
    records = tmp_path_factory.mktemp("heard") / "records"
    files = [str(DEMO / f"{name}.wav") for name in SAID]
    done = call("run", FAN, "--silent", "--keep-sound", "on", "--records", str(records),
                "--audio", *files)  # fmt: skip
    assert done.returncode == 1  # the input ended before the job did
    return records


@pytest.fixture
def records(job: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may spoil."""
    return Path(shutil.copytree(job, tmp_path / "records"))


def only(records: Path) -> SessionFolder:
    (folder,) = sessions(records)
    return folder


def again(records: Path, *more: str) -> Done:
    return call("records", "hear-again", *more, "--records", str(records))


def heard(tape: Tape) -> SessionAgain:
    return heard_again(Settings(), tape)


def every_file(folder: Path) -> dict[str, tuple[bytes, int]]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {str(path): (path.read_bytes(), path.stat().st_mtime_ns) for path in found}


# --- heard as it was ---


def test_the_listener_of_the_job_hears_every_phrase_as_it_did(job: Path) -> None:
    found = heard(tape_of(only(job)))
    assert (found.why_not, found.unheard, found.notes, found.typed) == ("", (), (), 0)
    assert (found.listener_then, found.listener_now, found.procedure) == ("ear", "ear", FAN)
    assert len(found.phrases) == len(SAID)
    assert not any(one.otherwise or one.verdict_differs for one in found.phrases)
    assert [one.now for one in found.phrases] == [one.then for one in found.phrases]
    assert all(one.judged_then == one.then.verdict for one in found.phrases)
    battery = found.phrases[1]
    assert (battery.now.meaning, battery.now.verdict) == ("12.8 V", "pass")  # 03-battery.yaml


def test_nothing_of_the_record_is_touched_and_no_archive_is_made(records: Path) -> None:
    before = every_file(records)
    done = again(records)
    assert (done.returncode, done.stderr) == (0, "")
    assert every_file(records) == before
    verified = call("records", "verify", "--records", str(records))
    assert verified.returncode == 0


# --- heard otherwise ---


def test_what_sounds_otherwise_is_told_with_the_verdict_it_would_have_had(job: Path) -> None:
    tape = tape_of(only(job))
    sounds = dict(tape.sounds or {})
    battery, feed = list(sounds)[1], list(sounds)[4]
    other = next(f for f in DEMO.glob("*command-slow.wav"))  # "eight point four volts"
    sounds[battery] = flac_of(other)
    found = heard(replace(tape, sounds=sounds))
    changed = [one for one in found.phrases if one.otherwise]
    (one,) = changed
    assert (one.then.meaning, one.then.verdict) == ("12.8 V", "pass")
    assert (one.now.meaning, one.now.words) == ("8.4 V", "eight point four volts")
    assert one.verdict_differs
    assert one.leads_elsewhere
    assert len(found.phrases) == len(SAID), "the job goes on as it did, whatever is heard now"
    assert sounds[feed] == (tape.sounds or {})[feed]


def flac_of(file: Path) -> bytes:
    from voiceassist.devices.flac import flac_bytes
    from voiceassist.devices.wav import read_clip

    return flac_bytes(read_clip(file))


# --- what cannot be heard ---


def spoilt(records: Path, how: str) -> None:
    folder = only(records).path
    sound = sorted(folder.glob("heard-*.flac"))[1]
    if how == "gone":
        sound.unlink()
    elif how == "changed":
        sound.write_bytes(sorted(folder.glob("heard-*.flac"))[0].read_bytes())
    elif how == "removed":
        names = [path.name for path in folder.glob("heard-*.flac")]
        gone = removal_of(only(records), names, "asked for", times.here())
        removal.remove_sound(only(records), gone)


@pytest.mark.parametrize(
    ("how", "why", "many"),
    [
        ("gone", "its sound is gone", 1),
        ("changed", "its sound is not what was kept", 1),
        ("removed", "its sound was removed on 20", len(SAID)),
    ],
)
def test_sound_that_is_not_there_is_told_and_the_rest_is_heard(
    records: Path, how: str, why: str, many: int
) -> None:
    spoilt(records, how)
    found = heard(tape_of(only(records)))
    assert [one.why.startswith(why) for one in found.unheard] == [True] * many
    assert len(found.phrases) == len(SAID) - many


def test_a_job_whose_procedure_was_changed_is_not_heard(records: Path) -> None:
    file = only(records).path / PROCEDURE
    file.write_text(file.read_text() + "# another\n")
    done = again(records)
    assert f"not heard again: {PROCEDURE}: it was changed since the job" in done.stdout
    assert done.returncode == 0


def test_only_what_is_before_an_altered_line_is_heard(records: Path) -> None:
    journal = only(records).path / JOURNAL
    kept = journal.read_bytes().splitlines(keepends=True)
    at = next(i for i, line in enumerate(kept) if b'"12.8"' in line)
    kept[at] = kept[at].replace(b'"12.8"', b'"12.9"')
    journal.write_bytes(b"".join(kept))
    found = heard(tape_of(only(records)))
    assert len(found.phrases) < len(SAID)
    assert found.notes[0].startswith(f"only what is before it was heard again: line {at + 1} of")


def test_where_the_program_leads_elsewhere_by_now_it_says_so(job: Path) -> None:
    tape = tape_of(only(job))
    battery = next(i for i, line in enumerate(tape.lines) if line.get("words") == "affirm")
    found = heard(replace(tape, lines=(*tape.lines[:battery], *tape.lines[battery + 1 :])))
    assert found.unheard
    assert all(
        one.why.startswith("this version of the program would be at") for one in found.unheard
    )


@pytest.mark.parametrize("how", [["--typed"], ["--audio", str(DEMO / "01-affirm.wav")]])
def test_what_was_typed_or_not_kept_is_counted(tmp_path: Path, how: list[str]) -> None:
    call("run", FAN, "--silent", "--records", str(tmp_path), *how, typed="affirm\n")
    found = heard(tape_of(only(tmp_path)))
    assert found.phrases == ()
    if how == ["--typed"]:
        assert (found.typed, found.unheard) == (1, ())
    else:
        assert [one.why for one in found.unheard] == ["no sound of it was kept"]


# --- told ---


def test_it_is_told_in_three_forms(job: Path, tmp_path: Path) -> None:
    text = again(job, "last")
    assert f"{len(SAID)} phrases heard again, 0 taken otherwise" in text.stdout
    (about,) = lines(again(job, only(job).id, "--json"))
    assert len(about["phrases"]) == len(SAID)
    assert about["phrases"][1]["now"]["meaning"] == "12.8 V"
    out = tmp_path / "again.csv"
    assert again(job, only(job).id[:10], "--out", str(out)).returncode == 0
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"), newline="")))
    assert [row["meaning now"] for row in rows][1] == "12.8 V"
    assert {row["otherwise"] for row in rows} == {"no"}
    refused = again(job, "--out", str(out))
    assert (refused.returncode, refused.stderr.count("\n")) == (2, 1)


def test_only_sessions_of_some_days_are_heard_when_they_are_asked_for(records: Path) -> None:
    shutil.copytree(only(records).path, records / "20260101-080000-heater-fan-module-abcdef")
    old = again(records, "--to", "2026-01-01", "--json")
    assert [about["session"][:8] for about in lines(old)] == ["20260101"]
    young = again(records, "--from", "2026-01-02", "--json")
    assert [about["session"][:8] for about in lines(young)] != ["20260101"]
    assert len(lines(young)) == 1
    assert (
        again(records, "--to", "2025-12-31").stdout
        == "0 sessions, 0 phrases (0 s of sound) heard again.\n"
    )


@pytest.mark.parametrize("asked", [["nobody"], ["--as", "pdf"], ["--listener", "nobody"]])
def test_what_cannot_be_is_told_in_one_sentence(job: Path, asked: list[str]) -> None:
    done = again(job, *asked)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[dask_cluster.DaskCluster]:
    """A scheduler with a worker."""
    (tmp_path / "dask").mkdir()
    with dask_cluster.cluster(tmp_path / "dask", workers=1) as found:
        yield found


@pytest.mark.slow
def test_workers_elsewhere_hear_the_same(records: Path, shop: dask_cluster.DaskCluster) -> None:
    shutil.copytree(only(records).path, records / "20260101-080000-heater-fan-module-abcdef")
    here, there = again(records, "--json"), again(records, "--json", "--on", shop.address)
    assert there.returncode == 0
    assert there.stdout == here.stdout
    assert len(lines(there)) == 2
