"""Rehearsals of a simulated trainee: the same whoever does them, and they add up."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from prove.shop import LAMP
from running import Done, call, lines

from voiceassist.app.build import Components, Written
from voiceassist.app.rehearsal.asked import Asked
from voiceassist.app.rehearsal.simulate import RehearsalResult, Simulation, simulated, totals
from voiceassist.app.rehearsal.vehicle import vehicle_in
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers.base import Here
from voiceassist.app.workers.processes import Processes
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.walk import walk
from voiceassist.rehearse.trainee import Leader
from voiceassist.session.session import SessionSetup

SHOP = Components(Settings())
WRITTEN = Written(read_procedure(LAMP, "side-lamp.yaml"), LAMP, {})
FAULTS = tuple(WRITTEN.procedure.faults)


@pytest.fixture(autouse=True, scope="module")
def _own_tables(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Tables are made once for all, and not in the user's folder."""
    home = tmp_path_factory.mktemp("tables")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(home))
        yield


def done(
    many: int, leader: Leader, fault: str = "", workers: Here | Processes | None = None
) -> list[RehearsalResult]:
    what = Simulation(many, leader, Asked(fault=fault, seed=7))
    return list(simulated(what, WRITTEN, SHOP, workers or Here(), lambda done, of: None))


@pytest.mark.parametrize("leader", list(Leader))
@pytest.mark.parametrize("fault", FAULTS)
def test_a_trainee_who_follows_finds_every_fault_and_is_careful(leader: Leader, fault: str) -> None:
    for result in done(3, leader, fault):
        assert (result.fault, result.found) == (fault, True)
        assert result.condemned == ()
        blown = {"A crack: the fuse has blown."} if fault == "fed-short" else set()
        assert set(result.slips) <= blown, "only what is short blows its fuse, whoever is careful"
        assert result.tests > 0
        assert result.minutes > 0


def test_the_finding_of_who_follows_the_file_is_the_one_its_walk_comes_to() -> None:
    """Held against the walks of the proof, which know nothing of a bench."""
    for result in done(6, Leader.FILE):
        drawn = int(np.random.default_rng([7, result.number]).integers(2**31))
        settled = Asked(seed=drawn).settled(WRITTEN.procedure)
        setup = desk()
        hand = MeterInUse(setup.meter, np.random.default_rng(1))
        way = walk(setup, Technician(setup, vehicle_in(setup, settled), hand))
        assert (result.fault, result.named) == (settled.fault, way.finding)


def desk() -> SessionSetup:
    from voiceassist.app.desk.prove import setup_of

    return setup_of(WRITTEN.procedure, SHOP)


def test_advice_takes_no_more_tests_than_the_file_on_the_average() -> None:
    by_file, by_advice = (totals(done(24, leader)) for leader in Leader)
    assert by_advice["tests"] <= by_file["tests"]
    assert by_advice["minutes"] <= by_file["minutes"]


def test_faults_are_drawn_as_likely_as_they_are() -> None:
    likely = {name: fault.likely for name, fault in WRITTEN.procedure.faults.items()}
    drawn = Counter(Asked(seed=n).settled(WRITTEN.procedure).fault for n in range(4000))
    for name, share in likely.items():
        expected = 4000 * share / sum(likely.values())
        assert abs(drawn[name] - expected) < 5 * expected**0.5 + 5


def test_two_processes_come_to_the_same_as_one() -> None:
    two = Processes(2)
    assert done(20, Leader.FILE, workers=two) == done(20, Leader.FILE)
    two.close()


def test_the_totals_are_those_of_the_rehearsals() -> None:
    results = done(12, Leader.FILE)
    about = totals(results)
    assert about["rehearsals"] == sum(row["rehearsals"] for row in about["faults"]) == 12
    assert about["found"] == sum(row["found"] for row in about["faults"])
    assert about["points"] == round(sum(r.points for r in results) / 12, 1)
    assert {row["fault"] for row in about["faults"]} == {r.fault for r in results}


# --- the command ---


def simulate(tmp_path: Path, *more: str) -> Done:
    file = tmp_path / "side-lamp.yaml"
    file.write_text(LAMP, encoding="utf-8")
    return call("rehearse", str(file), "--seed", "7", *more, XDG_CACHE_HOME=str(tmp_path))


def test_the_command_tells_each_rehearsal_and_the_totals_and_keeps_no_record(
    tmp_path: Path,
) -> None:
    records = tmp_path / "records"
    told = simulate(tmp_path, "--simulate", "5", "--json", "--records", str(records))
    assert (told.returncode, told.stderr) == (0, "")
    *each, last = lines(told)
    assert [one["rehearsal"] for one in each] == [1, 2, 3, 4, 5]
    assert last["totals"]["rehearsals"] == 5
    assert not records.exists()
    table = simulate(tmp_path, "--simulate", "5", "--by", "advice").stdout.splitlines()
    assert table[0].split() == ["fault", "times", "found", "points", "minutes", "quickest",
                                "tests", "slips"]  # fmt: skip
    assert table[-1].split()[:3] == ["all", "5", "100%"]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (
            ("--simulate", "3", "--by", "luck"),
            "--by: 'luck' cannot be followed; use file or advice",
        ),
        (("--simulate", "3", "--fault", "none"), "--fault: side-lamp has no fault 'none'"),
    ],
)
def test_what_cannot_be_simulated_is_told_in_one_sentence(
    tmp_path: Path, more: tuple[str, ...], told: str
) -> None:
    done = simulate(tmp_path, *more)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert done.stderr.startswith(told)
