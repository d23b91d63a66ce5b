"""What stands beside a session: asked for when it is out of date, and never waited for."""

import asyncio
from collections.abc import Callable
from dataclasses import replace

from voiceassist.bench.asked import CircuitAnswer, House
from voiceassist.bench.follow import Followed
from voiceassist.bench.hub import Hub
from voiceassist.errors import VoiceAssistError

_PICTURE, _CAUSES = "picture", "causes"


class Sidelines:
    """Keeps the picture and the likely causes of each session that somebody watches.

    Args:
        hub: told when something new is there.
        house: works it out.
    """

    def __init__(self, hub: Hub, house: House) -> None:
        self._hub = hub
        self._house = house
        self._kept: dict[str, CircuitAnswer] = {}
        self._versions: dict[str, int] = {}
        self._asked: dict[tuple[str, str], object] = {}
        self._asking: dict[tuple[str, str], asyncio.Task[None]] = {}

    def of(self, session: str) -> CircuitAnswer:
        """What is known now."""
        return self._kept.get(session, CircuitAnswer())

    def version(self, session: str) -> int:
        """Grows with each change."""
        return self._versions.get(session, 0)

    def ask(self, one: Followed) -> None:
        """Have it worked out where the session has gone on since."""
        now = one.now
        if one.fault or now.ended:
            return
        present = now.present
        self._ask(one, _PICTURE, (present.step, present.conditions, present.outcome))
        if not now.rehearsal:  # whose fault is hidden, and where a hint costs points
            self._ask(one, _CAUSES, now.looked_at)

    def _ask(self, one: Followed, what: str, of: object) -> None:
        key = one.id, what
        task = self._asking.get(key)
        if self._asked.get(key) == of or (task is not None and not task.done()):
            return
        self._asked[key] = of
        self._asking[key] = asyncio.create_task(self._work_out(one, what))

    async def _work_out(self, one: Followed, what: str) -> None:
        before = self.of(one.id)
        if what == _CAUSES and before.causes is None:
            await self._keep(one, lambda kept: replace(kept, pending=True))
        try:
            if what == _PICTURE:
                picture = await self._house.picture(one.id)
                await self._keep(one, lambda kept: replace(kept, picture=picture))
            else:
                causes = await self._house.causes(one.id)
                await self._keep(one, lambda kept: replace(kept, causes=causes, pending=False))
        except VoiceAssistError:  # what was known stands
            await self._keep(one, lambda kept: replace(kept, pending=False))
        asyncio.get_running_loop().call_soon(self._ask_again, one)

    async def _keep(self, one: Followed, change: Callable[[CircuitAnswer], CircuitAnswer]) -> None:
        before = self.of(one.id)
        after = change(before)
        if after != before:
            self._kept[one.id] = after
            self._versions[one.id] = self.version(one.id) + 1
            await self._hub.tell()

    def _ask_again(self, one: Followed) -> None:
        """It may have gone on meanwhile."""
        self.ask(self._hub.known(one.id) or one)
