"""What stands beside a session is asked for when it is out of date, and never waited for."""

import asyncio
from collections.abc import Mapping
from pathlib import Path

from bays import ASK, READING, VERDICT, Bay

from voiceassist.bench.asked import Cause, Told
from voiceassist.bench.beside import Sidelines
from voiceassist.bench.follow import Followed, Follower
from voiceassist.bench.hub import Hub
from voiceassist.errors import RecordError

CAUSES = (Cause("the fuse has blown", 0.8),)


class ScriptedHouse:
    """Answers at once, and counts what it is asked."""

    def __init__(self, *, fails: bool = False) -> None:
        self.asked: list[str] = []
        self._fails = fails

    async def picture(self, session: str) -> str:
        self.asked.append("picture")
        if self._fails:
            raise RecordError("the answer was lost")
        return f"<svg>{len(self.asked)}</svg>"

    async def causes(self, session: str) -> tuple[Cause, ...] | None:
        self.asked.append("causes")
        return CAUSES

    async def report(self, session: str) -> str:
        raise NotImplementedError

    async def archive(self, what: str, asked: Mapping[str, str]) -> Told:
        raise NotImplementedError

    async def file(self, what: str, form: str, asked: Mapping[str, str]) -> str:
        raise NotImplementedError


def followed(records: Path) -> tuple[Hub, Followed]:
    hub = Hub(Follower(records))
    asyncio.run(hub.look())
    (one,) = hub.latest
    return hub, one


async def asked_for(sidelines: Sidelines, one: Followed) -> None:
    sidelines.ask(one)
    for _ in range(10):
        await asyncio.sleep(0)


def test_each_is_worked_out_once_for_what_it_depends_on(tmp_path: Path) -> None:
    bay = Bay(tmp_path / "records")
    bay.tell(ASK)
    hub, one = followed(tmp_path / "records")
    house = ScriptedHouse()
    sidelines = Sidelines(hub, house)

    async def watched() -> None:
        await asked_for(sidelines, one)
        await asked_for(sidelines, one)
        assert sorted(house.asked) == ["causes", "picture"]
        assert sidelines.of(one.id).causes == CAUSES
        assert not sidelines.of(one.id).pending
        version = sidelines.version(one.id)
        bay.tell(READING, VERDICT)
        hub.follower.look()
        await asked_for(sidelines, one)
        assert sorted(house.asked) == ["causes", "causes", "picture", "picture"]
        assert sidelines.version(one.id) > version

    asyncio.run(watched())
    bay.close()


def test_in_a_rehearsal_nothing_is_told_of_causes(tmp_path: Path) -> None:
    """Its fault is hidden, and a hint costs points."""
    bay = Bay(tmp_path / "others", rehearsal={"fault": "fuse-blown", "mode": "led"})
    bay.tell(ASK)
    hub, one = followed(tmp_path / "others")
    house = ScriptedHouse()
    sidelines = Sidelines(hub, house)
    asyncio.run(asked_for(sidelines, one))
    assert house.asked == ["picture"]
    assert sidelines.of(one.id).causes is None
    bay.close()


def test_what_cannot_be_worked_out_leaves_what_was_known(tmp_path: Path) -> None:
    bay = Bay(tmp_path / "records")
    bay.tell(ASK)
    hub, one = followed(tmp_path / "records")
    sidelines = Sidelines(hub, ScriptedHouse(fails=True))
    asyncio.run(asked_for(sidelines, one))
    assert sidelines.of(one.id).picture == ""
    assert sidelines.of(one.id).causes == CAUSES
    bay.close()
