"""A proof shared out among processes is the proof made in one."""

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest
from prove.shop import LAMP

from voiceassist.app import build
from voiceassist.app.desk import prove as shared_out
from voiceassist.app.desk.check import Checker, check_files
from voiceassist.app.desk.prove import ProofSource, Prover, setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers import processes
from voiceassist.app.workers.base import Here, P, R, S
from voiceassist.app.workers.processes import Processes
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.prove import prove

SHOP = build.Components(Settings())
DESK = setup_of(read_procedure(LAMP, "side-lamp.yaml"), SHOP)
SOURCE = ProofSource.of(LAMP, "side-lamp.yaml", SHOP.settings, {})


@pytest.mark.slow
def test_two_processes_make_the_same_proof_as_one() -> None:
    two = Processes(2)
    with Prover(80, workers=two) as prover:
        shared = prover.prove(DESK, SOURCE)
        assert two.stand_by  # it was worth two processes
    assert shared == prove(DESK, 80)


@pytest.mark.parametrize("error", [OSError("no more processes"), BrokenProcessPool()])
def test_where_no_process_can_be_had_one_does_it_all(
    monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def none(workers: int, loaded: str) -> None:
        raise error

    monkeypatch.setattr(shared_out, "_WORTH", 1)
    monkeypatch.setattr(processes, "pool", none)
    with Prover(3, workers=2) as prover:
        assert prover.prove(DESK, SOURCE) == prove(DESK, 3)


class Crowd(Here):
    """One who says that he is fifty, and counts the parts."""

    many = 50

    def __init__(self) -> None:
        self.parts = 0

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        for part in parts:
            self.parts += 1
            yield work(shared, part)


def test_many_workers_get_smaller_parts_and_come_to_the_same() -> None:
    crowd = Crowd()
    with Prover(20, workers=crowd) as prover:
        assert prover.prove(DESK, SOURCE) == prove(DESK, 20)
    assert crowd.parts > 24  # six vehicles, twenty times each, five at a time, and more rounds


def test_it_tells_how_far_it_is() -> None:
    told: list[tuple[int, int]] = []
    with Prover(2, workers=1, progress=lambda done, of: told.append((done, of))) as prover:
        prover.prove(DESK, SOURCE)
    assert [done for done, _ in told] == list(range(1, len(told) + 1))
    assert told[0] == (1, 12)  # a good vehicle and five faults, twice
    assert told[-1][0] == told[-1][1]


def test_a_failed_proof_is_an_error_at_the_step_that_shows_it(tmp_path: Path) -> None:
    file = tmp_path / "side-lamp.yaml"
    wrong = LAMP.replace("    high: earth-side\n", "    high: earth-side\n    then: good\n")
    file.write_text(wrong, encoding="utf-8")
    with Prover(3, workers=1) as prover:
        (report,) = check_files([str(file)], prover)
    assert report.has_errors
    (fault,) = [fault for fault in report.faults if fault.level is Severity.ERROR]
    assert fault.path == "steps.earth"
    assert wrong.splitlines()[fault.line - 1].strip() == "earth:"
    assert "'lamp-gone' is called 'good' in 3 of 3 draws" in fault.message
    assert report.to_json()["proof"] is not None


def test_what_sounds_alike_is_a_warning_at_its_limit(tmp_path: Path) -> None:
    file = tmp_path / "side-lamp.yaml"
    file.write_text(LAMP.replace("at most 12 Ω", "at most 55 Ω"), encoding="utf-8")
    report = Checker(SHOP).check(file)
    assert not report.has_errors
    (fault,) = [fault for fault in report.faults if "sound alike" in fault.message]
    assert (fault.level, fault.path) == (Severity.WARNING, "steps.whole.accept")
    assert "'sixteen ohms' and 'sixty ohms'" in fault.message
    assert report.proof is None
