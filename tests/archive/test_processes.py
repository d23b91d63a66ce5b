"""Several processes use one archive at once, and none loses anything."""

import subprocess
import sys
from pathlib import Path

import pytest
from shelf import add, head, heard, job, kept

from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive

pytestmark = pytest.mark.slow

HOUSE = Path(__file__).parents[2]
SYNC = """
import sys
from pathlib import Path
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
where, place, records, times = sys.argv[1:]
sys.stdin.readline()
with Archive.open(where, place) as archive:
    for _ in range(int(times)):
        sync(archive, Path(records), anew=True)
"""


def started(*arguments: str) -> subprocess.Popen[str]:
    """A process that waits for a line before it begins."""
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", SYNC, *arguments],
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=HOUSE,
    )


def all_end_well(processes: list[subprocess.Popen[str]]) -> None:
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    for process in processes:
        _, told = process.communicate(timeout=90)
        assert (process.returncode, told) == (0, "")


def test_two_processes_begin_one_archive_and_take_in_the_same_sessions(
    where: str, tmp_path: Path
) -> None:
    records = tmp_path / "records"
    for minute in range(12):
        kept(records, job(), minute, finished=False)
    all_end_well([started(where, "", str(records), "4") for _ in range(2)])
    with Archive.open(where) as archive:
        assert archive.counts() == (12, 12)
        assert len(archive.find(Wanted(said="volts"))) == 12


def test_two_bays_share_one_archive(where: str, tmp_path: Path) -> None:
    for bay in ("one", "two"):
        for minute in range(6):
            kept(tmp_path / bay, job(), minute, finished=False)
    all_end_well([started(where, f"bay {bay}", str(tmp_path / bay), "3") for bay in ("one", "two")])
    with Archive.open(where, "bay one") as archive:
        assert len(archive.known()) == 6
        assert archive.counts() == (12, 12)


def test_a_session_that_is_being_written_is_taken_in_whole_in_the_end(
    where: str, tmp_path: Path
) -> None:
    records = tmp_path / "records"
    made = kept(records, [head()], finished=False)
    process = started(where, "", str(records), "20")
    assert process.stdin is not None
    process.stdin.write("go\n")
    process.stdin.flush()
    for number in range(40):
        add(made, [heard(f"word{number}")])
    assert process.communicate(timeout=90)[1] == ""
    all_end_well([started(where, "", str(records), "1")])
    with Archive.open(where) as archive:
        row = archive.session(made.id)
        assert row is not None
        assert (row["lines"], row["chain"]) == (41, "intact")
        seal = archive.seal(made.id)
        assert seal is not None
        assert (seal.lines, seal.last_hash) == (41, row["last_hash"])
