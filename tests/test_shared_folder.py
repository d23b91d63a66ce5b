"""One folder of records for several bays or accounts: nobody's session hinders another's."""

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from running import call
from shelf import head, heard, kept

from voiceassist.app.session_request import SessionRequest
from voiceassist.app.sessions import run_session
from voiceassist.errors import VoiceAssistError
from voiceassist.record.folder import SessionFolder, sessions
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read

FAN, CRANK = "heater-fan-module", "slow-cranking"


def begun(records: Path, procedure: str = FAN, order: str = "1042") -> SessionFolder:
    """A session that was begun and broke off."""
    before = set(sessions(records))
    play(records, procedure, facts={"repair order": order})
    (new,) = set(sessions(records)) - before
    return new


def play(records: Path, procedure: str, **more: object) -> list[str]:
    """A session in this process without a word said in it; what it warned of."""
    warned: list[str] = []
    wish = SessionRequest(
        procedure=procedure,
        typed=io.StringIO(""),
        silent=True,
        changes={"records": str(records)},
        **more,  # type: ignore[arg-type]
    )
    run_session(wish, lambda _: None, warned.append)
    return warned


def went_on(folder: SessionFolder) -> bool:
    return "returned" in [entry.event for entry in read(folder.journal)]


def renamed(folder: SessionFolder, name: str) -> SessionFolder:
    """The session as it would be called had its clock shown another time."""
    return SessionFolder(folder.path.rename(folder.path.with_name(name)))


# --- which one goes on ---


def test_only_a_session_that_no_living_process_holds_goes_on(tmp_path: Path) -> None:
    killed, open_elsewhere = begun(tmp_path), begun(tmp_path)
    with Journal.open(open_elsewhere.journal, lambda: pytest.fail("nothing is written")):
        (told,) = play(tmp_path, "", resume=True)
    assert told.startswith(f"Going on with {killed.id}.")
    assert f"in use or not whole: {open_elsewhere.id}" in told
    assert went_on(killed)
    assert not went_on(open_elsewhere)


def test_when_all_are_held_that_is_said(tmp_path: Path) -> None:
    one, two = begun(tmp_path), begun(tmp_path)
    never = lambda: pytest.fail("nothing is written")  # noqa: E731
    with (
        Journal.open(one.journal, never),
        Journal.open(two.journal, never),
        pytest.raises(VoiceAssistError, match="in use or not whole") as told,
    ):
        play(tmp_path, "", resume=True)
    assert one.id in str(told.value)
    assert two.id in str(told.value)


def test_an_unfinished_session_of_the_same_procedure_is_preferred(tmp_path: Path) -> None:
    fan, crank = begun(tmp_path, FAN), begun(tmp_path, CRANK)
    play(tmp_path, FAN, resume=True)
    assert went_on(fan)
    assert not went_on(crank)


def test_a_word_for_the_procedure_will_do(tmp_path: Path) -> None:
    fan, crank = begun(tmp_path, FAN), begun(tmp_path, CRANK)
    play(tmp_path, "heater", resume=True)
    assert went_on(fan)
    assert not went_on(crank)


def test_one_of_another_procedure_goes_on_when_there_is_no_other_and_that_is_said(
    tmp_path: Path,
) -> None:
    crank = begun(tmp_path, CRANK)
    assert play(tmp_path, FAN, resume=True) == [
        f"No session of {FAN} is unfinished; going on with one of another procedure."
    ]
    assert went_on(crank)


@pytest.mark.parametrize("called", ["whole", "beginning", "order"])
def test_a_session_can_be_named(tmp_path: Path, called: str) -> None:
    first = renamed(begun(tmp_path, order="77"), "20260101-080000-heater-fan-module-aaaaaa")
    second = renamed(begun(tmp_path, order="78"), "20260102-080000-heater-fan-module-bbbbbb")
    name = {"whole": first.id, "beginning": first.id[:8], "order": "RO 77"[3:]}[called]
    assert play(tmp_path, name, resume=True) == []
    assert went_on(first)
    assert not went_on(second)


def test_a_name_that_fits_none_or_two_is_told_with_what_would_do(tmp_path: Path) -> None:
    first = renamed(begun(tmp_path), "20260101-080000-heater-fan-module-aaaaaa")
    renamed(begun(tmp_path), "20260101-090000-heater-fan-module-bbbbbb")
    with pytest.raises(VoiceAssistError, match=r"2 unfinished .*'20260101'.*give one whole name"):
        play(tmp_path, "20260101", resume=True)
    with pytest.raises(VoiceAssistError, match=rf"is called 'nobody'; unfinished are .*{first.id}"):
        play(tmp_path, "nobody", resume=True)


def test_a_named_session_that_is_open_elsewhere_is_not_exchanged_for_another(
    tmp_path: Path,
) -> None:
    other, named = begun(tmp_path), begun(tmp_path)
    with (
        Journal.open(named.journal, lambda: pytest.fail("nothing is written")),
        pytest.raises(VoiceAssistError, match="another session has this journal open"),
    ):
        play(tmp_path, named.id, resume=True)
    assert not went_on(other)


# --- a clock that was wrong ---


def test_the_order_of_sessions_is_not_that_of_a_wrong_clock(tmp_path: Path) -> None:
    from_2030 = renamed(begun(tmp_path), "20300101-080000-heater-fan-module-aaaaaa")
    today = begun(tmp_path)
    from_1970 = renamed(begun(tmp_path), "19700101-000000-heater-fan-module-bbbbbb")
    shown = call("records", "show", "last", "--records", str(tmp_path))
    assert from_1970.id in shown.stdout
    play(tmp_path, "", resume=True)
    assert [went_on(each) for each in (from_2030, today, from_1970)] == [False, False, True]


def test_a_session_of_an_earlier_version_comes_before_those_that_have_a_number(
    tmp_path: Path,
) -> None:
    old = kept(tmp_path, [head(), heard("yes")], finished=False)
    older = renamed(old, "20990101-080000-lamp-aaaaaa")
    new = begun(tmp_path)
    play(tmp_path, "", resume=True)
    assert went_on(new)
    assert not went_on(older)


# --- what cannot be read ---


def test_a_journal_that_is_no_file_is_named_and_stops_nobody(tmp_path: Path) -> None:
    odd = SessionFolder(tmp_path / "20990101-080000-lamp-aaaaaa")
    odd.journal.mkdir(parents=True)
    killed = begun(tmp_path)
    (told,) = play(tmp_path, "", resume=True)
    assert told == (
        f"Skipped, because they cannot be read here: {odd.id} (its journal is not a file)."
    )
    assert went_on(killed)
    listed = call("records", "list", "--records", str(tmp_path))
    assert killed.id in listed.stdout
    assert odd.id in listed.stderr
    assert "Traceback" not in listed.stderr


def test_a_pipe_in_place_of_a_journal_is_named_and_hangs_nobody(tmp_path: Path) -> None:
    pipe = SessionFolder(tmp_path / "20990101-080000-lamp-aaaaaa")
    pipe.path.mkdir()
    os.mkfifo(pipe.journal)  # who reads it waits for a writer, and there is none: fifo(7)
    killed, named = begun(tmp_path), (pipe.id, "not a file")
    (told,) = play(tmp_path, "", resume=True)
    assert all(part in told for part in named)
    assert went_on(killed)
    listed = call("records", "list", "--records", str(tmp_path))
    assert (listed.returncode, killed.id in listed.stdout) == (1, True)
    assert all(part in listed.stderr for part in named)
    verified = call("records", "verify", "--records", str(tmp_path))
    assert verified.returncode == 1
    assert f"{pipe.id}: NOT AS WRITTEN" in verified.stdout
    assert f"{killed.id}: as written" in verified.stdout
    for verb in (["show"], ["report"], ["export", "--as", "json"], ["delete", "--yes"]):
        refused = call("records", verb[0], pipe.id, *verb[1:], "--records", str(tmp_path))
        assert (refused.returncode, refused.stdout) == (2, ""), verb
        assert "this is not a file; move it away" in refused.stderr


@pytest.mark.parametrize("name", ["transcript.txt", "report.txt", "procedure.yaml"])
def test_a_pipe_in_place_of_another_file_of_a_session_is_named_and_hangs_nobody(
    tmp_path: Path, name: str
) -> None:
    session = begun(tmp_path)
    (session.path / name).unlink(missing_ok=True)
    os.mkfifo(session.path / name)
    found = call("records", "verify", "--records", str(tmp_path))
    assert (found.returncode, f"  {name}: it " in found.stdout) == (1, True), found.stdout


def test_an_altered_session_stops_no_other(tmp_path: Path) -> None:
    killed, altered = begun(tmp_path), begun(tmp_path)
    *lines, last = altered.journal.read_bytes().splitlines(keepends=True)
    altered.journal.write_bytes(b"".join([*lines, last.replace(b'"event"', b'"other"')]))
    told = play(tmp_path, "", resume=True)
    assert "altered" in told[0]
    assert went_on(killed)


#: Root is bound by permissions too without these (capabilities(7)).
BOUND = ["setpriv", "--bounding-set=-dac_override,-dac_read_search"] if os.geteuid() == 0 else []


def by_permission(records: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The command run by an account that may not read what is another's."""
    return subprocess.run(
        [*BOUND, sys.executable, "-m", "voiceassist", *arguments, "--records", str(records)],
        input="",
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def give_away(path: Path) -> None:
    """Have another account own ``path`` and what lies in it, or nearly so for who cannot."""
    if os.geteuid() == 0:
        for each in (path, *path.rglob("*")):
            shutil.chown(each, "nobody")
    else:
        path.chmod(0)


@pytest.mark.skipif(bool(BOUND) and not shutil.which("setpriv"), reason="setpriv is not installed")
def test_a_session_of_another_account_is_named_and_stops_nobody(tmp_path: Path) -> None:
    foreign = begun(tmp_path)
    call("records", "list", "--records", str(tmp_path))  # the first account has an archive there
    give_away(foreign.path)
    if os.geteuid() == 0:
        give_away(tmp_path / "archive.db")
    run = by_permission(tmp_path, "run", FAN, "--typed", "--silent")
    assert run.returncode == 1, run.stderr  # the input ended first
    mine = next(each for each in sessions(tmp_path) if each != foreign)
    on = by_permission(tmp_path, "run", "--resume", "--typed", "--silent")
    assert f"Skipped, because they cannot be read here: {foreign.id} (permission" in on.stderr
    assert str(mine.path) in on.stderr
    assert on.returncode == 1, on.stderr
    listed = by_permission(tmp_path, "records", "list")
    assert listed.returncode == 0, listed.stderr
    assert mine.id in listed.stdout
    assert f"{foreign.id} (permission forbids it)" in listed.stderr
    if os.geteuid() == 0:
        assert foreign.id not in listed.stdout
        assert (tmp_path / f"archive-{os.geteuid()}.db").is_file()  # the usual one is not ours
    else:
        foreign.path.chmod(0o700)
