"""Many bays share one archive, and its server is restarted while they write."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread, Timer

import pytest
from database_server import DatabaseServer, emptied, serving
from many_bays import bays_at_work, lost_or_doubled
from shelf import job, kept

from voiceassist.archive import engine
from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.errors import ArchiveError

BAYS, JOBS = 4, 12


@pytest.fixture(scope="module")
def own() -> Iterator[DatabaseServer]:
    """A server that may be stopped."""
    with serving() as found:
        yield found


@pytest.fixture
def where(own: DatabaseServer) -> str:
    return emptied(own)


class Restarting:
    """Stops the server once when enough is taken in, and starts it again a little later."""

    def __init__(self, server: DatabaseServer, mode: str, after: int) -> None:
        self._server, self._mode, self._after = server, mode, after
        self.thread: Thread | None = None

    def __call__(self, taken_in: Callable[[], int]) -> None:
        if self.thread is None and taken_in() >= self._after:
            self.thread = Thread(target=self._restart)
            self.thread.start()

    def _restart(self) -> None:
        self._server.stop(self._mode)
        time.sleep(0.5)
        self._server.start()


@pytest.mark.slow
@pytest.mark.parametrize(
    "mode",
    ["immediate", pytest.param("fast", marks=pytest.mark.census)],  # the kinder one
)
def test_a_server_restarted_while_bays_write_loses_nothing_and_doubles_nothing(
    own: DatabaseServer, where: str, tmp_path: Path, mode: str
) -> None:
    restarting = Restarting(own, mode, after=BAYS * JOBS // 4)
    found = bays_at_work(where, tmp_path, BAYS, JOBS, restarting)
    assert restarting.thread is not None
    restarting.thread.join()
    assert found.told == []
    assert lost_or_doubled(where, tmp_path, BAYS, JOBS) == []
    assert found.asked


def test_an_open_archive_waits_for_a_server_that_is_restarted(
    own: DatabaseServer, where: str, tmp_path: Path
) -> None:
    kept(tmp_path, job())
    with Archive.open(where, "bay") as archive:
        sync(archive, tmp_path)
        own.stop("immediate")
        late = Timer(0.3, own.start)
        late.start()
        assert len(archive.find(Wanted())) == 1
        late.join()
        kept(tmp_path, job(), 1)
        assert sync(archive, tmp_path).sessions == 1


def test_one_that_stays_away_is_told_in_one_sentence(
    own: DatabaseServer, where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "WAIT_S", 0.2)
    with Archive.open(where, "bay") as archive:
        own.stop()
        try:
            with pytest.raises(ArchiveError) as caught:
                archive.find(Wanted())
        finally:
            own.start()
    assert "\n" not in str(caught.value)
    assert "has gone away" in caught.value.found
    with Archive.open(where, "bay") as archive:
        assert archive.find(Wanted()) == []
