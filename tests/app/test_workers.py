"""What is large is shared out, and comes to the same whoever does it."""

import os
import pickle
import signal
from collections.abc import Iterator
from pathlib import Path

import dask_cluster
import pytest
from dask_cluster import DaskCluster, own_end, refused, size, slowly, waited_for
from prove.shop import LAMP, changed
from running import call

from voiceassist.app.workers import cluster as at_workers
from voiceassist.app.workers.base import Here, Workers
from voiceassist.app.workers.choose import workers
from voiceassist.app.workers.cluster import Cluster
from voiceassist.app.workers.likeness import unlike
from voiceassist.app.workers.processes import Processes
from voiceassist.errors import RecordError, VoiceAssistError, WorkersError
from voiceassist.procedure.faults import Fault, ProcedureFaultsError, Severity


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[DaskCluster]:
    """A scheduler with two workers."""
    with dask_cluster.cluster(tmp_path_factory.mktemp("dask")) as found:
        yield found


@pytest.fixture(params=["here", "processes", pytest.param("cluster", marks=pytest.mark.slow)])
def some(request: pytest.FixtureRequest) -> Iterator[Workers]:
    """Workers of each kind."""
    if request.param == "cluster":
        found: Workers = Cluster(request.getfixturevalue("shop").address)
    else:
        found = Here() if request.param == "here" else Processes(2)
    yield found
    found.close()


# --- the same for all ---


def test_what_parts_come_to_stands_in_their_order(some: Workers) -> None:
    assert [part for part, _ in some.each(slowly, "", range(40))] == list(range(40))
    assert list(some.each(slowly, "", [])) == []


def test_parts_are_taken_only_a_few_ahead(some: Workers) -> None:
    taken: list[int] = []

    def parts() -> Iterator[int]:
        for number in range(10_000):
            taken.append(number)
            yield number

    results = some.each(slowly, "", parts())
    assert [next(results)[0] for _ in range(5)] == [0, 1, 2, 3, 4]
    assert len(taken) < 100


def test_an_error_comes_here_whole(some: Workers) -> None:
    with pytest.raises(RecordError) as caught:
        list(some.each(refused, "", [7]))
    error = caught.value
    assert (error.place, error.found, error.remedy) == ("part 7", "it is gone", "look for it")


def test_errors_of_every_kind_survive_the_way() -> None:
    fault = Fault(Severity.ERROR, "steps.feed", 7, "no limit")
    sent: list[VoiceAssistError] = [ProcedureFaultsError("a.yaml", [fault]), WorkersError("gone")]
    for error in sent:
        back = pickle.loads(pickle.dumps(error))
        assert (type(back), str(back), vars(back)) == (type(error), str(error), vars(error))


@pytest.mark.slow
def test_a_part_may_be_as_large_as_the_sound_of_a_day(shop: DaskCluster) -> None:
    with workers(shop.address) as some:
        assert list(some.each(size, "", [bytes(30_000_000)])) == [30_000_000]


# --- somebody dies ---


def test_a_process_that_dies_loses_nothing_and_doubles_nothing(tmp_path: Path) -> None:
    some = Processes(2)
    assert list(some.each(own_end, str(tmp_path / "died"), range(12))) == list(range(12))
    some.close()


@pytest.mark.slow
def test_a_worker_killed_in_mid_work_loses_nothing_and_doubles_nothing(
    shop: DaskCluster, tmp_path: Path
) -> None:
    victim = shop.worker()
    some = Cluster(shop.address)
    waited_for(lambda: some._client.wait_for_workers(3, timeout=30) is None)
    results = some.each(slowly, str(tmp_path), range(60))
    found = [next(results)]
    waited_for(lambda: str(victim.pid) in begun(tmp_path))
    os.kill(victim.pid, signal.SIGKILL)
    found += results
    some.close()
    assert [part for part, _ in found] == list(range(60))
    assert len({pid for _, pid in found} - {victim.pid}) == 2  # the two others did the rest


def begun(folder: Path) -> set[str]:
    return {line for file in folder.iterdir() for line in file.read_text().split()}


@pytest.mark.slow
def test_where_a_scheduler_is_killed_it_says_so(tmp_path: Path) -> None:
    with dask_cluster.cluster(tmp_path, workers=1) as found:
        some = Cluster(found.address, patience_s=20)
        some._patience_s = 1
        results = some.each(slowly, str(tmp_path), range(1000))
        next(results)
        found.processes[0].kill()
        with pytest.raises(WorkersError, match="the scheduler has gone away"):
            list(results)
        some.close()


# --- who is not there, or not the same ---


@pytest.mark.parametrize(
    ("address", "told"),
    [
        ("bay", "--on: 'bay' is no address of a scheduler; write it as tcp://HOST:8786"),
        ("http://bay:80", "--on: 'http://bay:80' is no address of a scheduler"),
        ("tcp://bay", "--on: 'tcp://bay' is no address of a scheduler"),
        ("tcp://bay:70000", "--on: there is no port 70000"),
        ("tcp://127.0.0.1:1", "tcp://127.0.0.1:1: no scheduler answers there"),
    ],
)
def test_a_scheduler_that_cannot_be_reached_is_told_in_one_sentence(
    address: str, told: str
) -> None:
    done = call("check", "heater-fan-module", "--draws", "1", "--on", address)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(told)
    assert done.stderr.count("\n") == 1


@pytest.mark.slow
def test_a_scheduler_without_workers_is_told(tmp_path: Path) -> None:
    with (
        dask_cluster.cluster(tmp_path, workers=0) as found,
        pytest.raises(WorkersError, match=r"has no worker; start one on each computer: dask"),
    ):
        Cluster(found.address, patience_s=1)


@pytest.mark.slow
def test_a_worker_of_another_version_is_told(
    shop: DaskCluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(at_workers, "likeness", lambda: (("voiceassist", "9.9 (abcd)"),))
    with workers(shop.address) as some, pytest.raises(WorkersError) as caught:
        list(some.each(slowly, "", [1]))
    assert caught.value.place.startswith("tcp://")
    assert "voiceassist is 0" in caught.value.found
    assert "9.9 (abcd) here" in caught.value.found


def test_what_differs_is_named_alone() -> None:
    here = (("Python", "3.11"), ("numpy", "2.0"))
    assert unlike(here, here) == ""
    assert unlike(here, (("Python", "3.11"),)) == "numpy is none there and 2.0 here"


# --- whole commands ---


@pytest.mark.slow
def test_a_proof_on_a_cluster_is_the_proof_made_here(shop: DaskCluster, tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(OWN, encoding="utf-8")  # where no worker looks
    (tmp_path / "own-battery.yaml").write_text(OWN_BATTERY, encoding="utf-8")
    asked = ("check", str(tmp_path / "own.yaml"), "--draws", "2", "--fresh", "--json")
    here = call(*asked)
    there = call(*asked, "--on", shop.address)
    assert (there.returncode, there.stderr) == (here.returncode, "")
    assert there.stdout == here.stdout
    assert '"proof": {' in here.stdout


#: A procedure that puts in another one, neither of which is where the shipped ones are.
OWN = changed(
    LAMP,
    (LAMP[LAMP.index("  battery:\n") : LAMP.index("  feed:\n")],
     "  power:\n    use: own-battery\n    go: {good: feed}\n"),
    ("accept: battery - 0.5 V to battery", "accept: power-battery - 0.5 V to power-battery"),
    ("  weak-battery: {cause: the battery is low, correction: charge it}\n", ""),
)  # fmt: skip
OWN_BATTERY = """
procedure: own-battery
title: Is the battery good enough to judge anything by
for: any trailer
steps:
  battery:
    caution: battery-gas
    measure: voltage across the battery posts
    accept: 12.0 V to 13.0 V
    fail: weak
    then: good
findings:
  weak: {cause: the battery is low, correction: charge it}
  good: {cause: the battery is good, correction: go on}
"""


@pytest.mark.slow
def test_trainees_on_a_cluster_come_to_the_same(
    shop: DaskCluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    (tmp_path / "side-lamp.yaml").write_text(LAMP, encoding="utf-8")
    asked = ("rehearse", str(tmp_path / "side-lamp.yaml"), "--simulate", "20", "--seed", "7")
    here = call(*asked)
    there = call(*asked, "--on", shop.address)
    assert (there.returncode, there.stdout) == (0, here.stdout)
    assert "20" in here.stdout
