"""Nothing leaves the computer, and nothing is written but where the README says.

The commands are watched from outside, for what a library does in C no Python test can see.
"""

import dataclasses
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import closing, suppress
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path

import dask_cluster
import pytest
from bays import Bay
from trap import Seen, lacking, trapped

from voiceassist import resources

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(lacking()), reason=lacking() or "-"),
]

PYTHON = [sys.executable, "-B", "-c"]
#: onnxruntime 1.32 asks the resolver nine seconds after it was imported, seen on a Debian 12
#: machine; its files are there much sooner.
_LONG_ENOUGH_S = 14
_DETECTOR = (
    "import time; from voiceassist.recognise.silero import SileroDetector; SileroDetector();"
    f" time.sleep({_LONG_ENOUGH_S})"
)
#: Where a check keeps what it has proved.
PROOFS = "home/.cache/voiceassist/proofs"
TABLES = "home/.cache/voiceassist/tables"
#: Where the system's libuuid keeps its clock, by which Dask names its clients.
_UUIDS = Path("/var/lib/libuuid/clock.txt")
_JOB = ["no", "affirm", "done", "twelve point six volts", "note", "a rusty earth", "finish", "yes"]


#: The same, with the switch off that stops onnxruntime.
_SWITCHED_OFF = f"import os, voiceassist; del os.environ['ORT_DISABLE_TELEMETRY']; {_DETECTOR}"


@dataclass(frozen=True, slots=True)
class Watched:
    """A command that is watched meanwhile, and its folder."""

    folder: Path
    seen: "Future[Seen]"


@pytest.fixture(scope="module", autouse=True)
def detectors(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Watched]]:
    """The speech detector as it is and switched off: they wait for long, and others need not."""
    with ThreadPoolExecutor() as pool:

        def watched(program: str) -> Watched:
            folder = tmp_path_factory.mktemp("detector")
            return Watched(folder, pool.submit(trapped, [*PYTHON, program], folder))

        yield {program: watched(program) for program in (_DETECTOR, _SWITCHED_OFF)}


def trapped_voiceassist(folder: Path, *arguments: str, typed: str = "") -> Seen:
    return trapped([sys.executable, "-m", "voiceassist", *arguments], folder, typed=typed)


def assert_private(seen: Seen, folder: Path, named: Sequence[str]) -> None:
    """It opened no way out, and wrote only in the folders named, and in that for temporary files.

    A sound server's library keeps its folder with the system's running programs.
    """
    assert not seen.outward, seen.outward[:3]
    allowed = [folder / name for name in (*named, "tmp", "run/pulse")]
    made_on_the_way = {up for path in allowed for up in path.parents}
    assert not seen.outside(*allowed) - made_on_the_way
    found = (path for path in (folder / "home").rglob("*") if path.is_file())
    assert all(any(path.is_relative_to(each) for each in allowed) for path in found)


def test_the_demo_keeps_to_itself(tmp_path: Path) -> None:
    seen = trapped_voiceassist(tmp_path, "demo", "--records", "records")
    assert seen.done.returncode == 0, seen.done.stderr
    assert tmp_path / "records" in {
        path.parents[1] for path in seen.written if "jsonl" in path.name
    }
    assert_private(seen, tmp_path, ["records"])


def test_a_typed_job_and_its_records_keep_to_themselves(tmp_path: Path) -> None:
    run = ("run", "dim-headlamp", "--typed", "--records", "records")
    seen = trapped_voiceassist(tmp_path, *run, typed="\n".join(_JOB) + "\n")
    assert "closed" in seen.done.stdout, seen.done.stderr
    assert_private(seen, tmp_path, ["records"])
    for command, out in {
        ("records", "list"): "records",
        ("records", "report", "last", "--for", "customer", "--out", "page.pdf"): "page.pdf",
        ("records", "report", "last", "--out", "page.html"): "page.html",
        ("records", "verify"): "records",
    }.items():
        seen = trapped_voiceassist(tmp_path, *command, "--records", "records")
        assert seen.done.returncode == 0, (command, seen.done.stdout, seen.done.stderr)
        drafts = [p.name for p in seen.written if p.parent == tmp_path and p.name.endswith(out)]
        assert_private(seen, tmp_path, ["records", out, *drafts])


def test_hearing_a_file_keeps_to_itself(tmp_path: Path) -> None:
    """With the listener that a session has, and the speech detector."""
    file = resources.folder("demo") / "13-command-slow.wav"
    seen = trapped_voiceassist(tmp_path, "hear", str(file), "--expect", "voltage")
    assert "eight point four volts" in seen.done.stdout, seen.done.stderr
    assert_private(seen, tmp_path, [])


def test_the_bench_page_lets_in_and_asks_nobody(tmp_path: Path) -> None:
    """One socket that waits on this computer, and no way out; nothing written but its archive."""
    bay = Bay(tmp_path / "records", complaint="asks nobody")
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    served = f"{sys.executable} -m voiceassist bench --records records --port {port}"
    visit = threading.Thread(target=_visited, args=(tmp_path, port, bay.id), daemon=True)
    visit.start()
    seen = trapped(["sh", "-c", f"{served} & echo $! > pid; wait"], tmp_path)
    visit.join()
    bay.close()
    assert (tmp_path / "visited").read_text() == "200 200 200"
    assert [call.partition(",")[0] for call in seen.outward] == ["AF_INET"]
    alone = dataclasses.replace(seen, outward=())
    assert_private(alone, tmp_path, ["records", "pid", "visited", TABLES])


def _visited(folder: Path, port: int, session: str) -> None:
    """Look at some pages, then end the server."""
    found = [_status(port, page) for page in ("", f"session/{session}", "records/list")]
    (folder / "visited").write_text(" ".join(map(str, found)))
    os.kill(int((folder / "pid").read_text()), signal.SIGTERM)


def _status(port: int, page: str) -> int:
    for _ in range(600):
        with suppress(OSError), closing(HTTPConnection("127.0.0.1", port, timeout=60)) as asked:
            asked.request("GET", f"/bench/{page}")
            return asked.getresponse().status
        time.sleep(0.1)
    return 0


def test_a_check_keeps_to_itself(tmp_path: Path) -> None:
    seen = trapped_voiceassist(tmp_path, "check", "dim-headlamp", "--draws", "1")
    assert "draws" in seen.done.stdout, seen.done.stderr
    made = [path for path in seen.written if path.is_relative_to(tmp_path / PROOFS)]
    assert made
    assert_private(seen, tmp_path, [PROOFS])


def test_a_check_on_a_cluster_speaks_to_its_scheduler_alone(tmp_path: Path) -> None:
    (tmp_path / "dask").mkdir()
    with dask_cluster.cluster(tmp_path / "dask", workers=1) as shop:
        asked = ("check", "rested-battery", "--draws", "1", "--on", shop.address)
        seen = trapped_voiceassist(tmp_path / "desk", *asked)
    assert "draws" in seen.done.stdout, seen.done.stderr
    port = shop.address.rpartition(":")[2]
    connections = [call for call in seen.outward if "sin_port" in call]
    assert connections
    there = f'sin_port=htons({port}), sin_addr=inet_addr("127.0.0.1")'
    assert all(there in call for call in connections), connections
    assert not [call for call in seen.outward if "resolve" in call]
    desk = tmp_path / "desk"
    assert_private(Seen(seen.done, (), seen.written - {_UUIDS}), desk, [PROOFS])


def test_a_rehearsal_keeps_to_itself(tmp_path: Path) -> None:
    run = ("rehearse", "rested-battery", "--free", "--typed", "--records", "records")
    seen = trapped_voiceassist(tmp_path, *run, typed="what do i see\nfinish\naffirm\n")
    assert "Your mark is" in seen.done.stdout, seen.done.stderr
    assert any(path.is_relative_to(tmp_path / TABLES) for path in seen.written)
    assert_private(seen, tmp_path, ["records", TABLES])


def test_the_speech_detector_keeps_to_itself_for_as_long_as_it_runs(
    detectors: dict[str, Watched],
) -> None:
    watched = detectors[_DETECTOR]
    seen = watched.seen.result()
    assert seen.done.returncode == 0, seen.done.stderr
    assert_private(seen, watched.folder, [])


# --- the trap itself ---


def test_without_the_switch_the_trap_sees_what_onnxruntime_does(
    detectors: dict[str, Watched],
) -> None:
    """Should this fail with a new onnxruntime, see what that one does, and how it is stopped."""
    watched = detectors[_SWITCHED_OFF]
    seen = watched.seen.result()
    assert seen.done.returncode == 0, seen.done.stderr
    with pytest.raises(AssertionError):
        assert_private(seen, watched.folder, [])
    assert any("AF_INET" in call for call in seen.outward)
    assert any("onnxruntime" in path.parts[-2] for path in seen.outside(watched.folder / "tmp"))


@pytest.mark.parametrize("kind", [socket.SOCK_STREAM, socket.SOCK_DGRAM])
def test_the_trap_sees_a_question_to_the_network_in_a_child(
    tmp_path: Path, kind: socket.SocketKind
) -> None:
    """192.0.2.1 is for documentation (RFC 5737): nobody is there."""
    ask = f"import socket; s = socket.socket(type={int(kind)}); s.setblocking(False);"
    ask += " s.connect_ex(('192.0.2.1', 9))"
    seen = trapped(
        [*PYTHON, f"import subprocess, sys; subprocess.run({[*PYTHON, ask]!r})"], tmp_path
    )
    assert any("192.0.2.1" in call for call in seen.outward)


def test_the_trap_sees_a_file_wherever_it_is_written(tmp_path: Path) -> None:
    write = "import os; open('one', 'w'); os.mkdir('two'); os.symlink('/', 'two/three');"
    write += " os.rename('one', 'four'); os.close(os.open('four', os.O_RDONLY))"
    seen = trapped([*PYTHON, write], tmp_path)
    assert seen.outside() == {tmp_path / name for name in ("one", "two", "two/three", "four")}
