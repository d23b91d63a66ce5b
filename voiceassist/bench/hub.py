"""Follows the folder while somebody looks, and tells each watcher what has changed."""

import asyncio
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import suppress

from voiceassist.bench.follow import Followed, Follower

#: Between two looks at the journals while somebody watches.
_LOOK_S = 0.02
#: Whoever hears nothing for longer has lost the connection.
BEAT_S = 5.0
#: What a watcher sees: name of a part of the page to its HTML.
Parts = Mapping[str, str]


class Hub:
    """Follows while there are watchers.

    Args:
        follower: looks at the folder; no more than one thread may be with it.

    Parts:
        latest: the sessions as they were last looked at, the running ones first.
    """

    def __init__(self, follower: Follower) -> None:
        self.follower = follower
        self._changed = asyncio.Condition()
        self._watchers = 0
        self._following: asyncio.Task[None] | None = None
        self._looking = asyncio.Lock()
        self._closed = False
        self.latest: tuple[Followed, ...] = ()

    async def look(self) -> None:
        """Read what is new now, in a thread of its own: a network drive may take its time."""
        async with self._looking:
            changed, self.latest = await asyncio.to_thread(self._look)
        if changed:
            await self.tell()

    def _look(self) -> tuple[bool, tuple[Followed, ...]]:
        changed = self.follower.look()
        return bool(changed), tuple(self.follower.latest())

    async def one(self, session: str) -> Followed | None:
        """A session of the folder, followed from now on; None where there is none."""
        async with self._looking:
            found = await asyncio.to_thread(self.follower.one, session)
        await self.tell()
        return found

    def known(self, session: str) -> Followed | None:
        """The session as it was last looked at; None when it is gone."""
        return next((one for one in self.latest if one.id == session), None)

    async def tell(self) -> None:
        """Wake all who watch."""
        async with self._changed:
            self._changed.notify_all()

    async def close(self) -> None:
        """Send all watchers home."""
        self._closed = True
        await self.tell()

    async def watch(
        self, parts: Callable[[], Parts], version: Callable[[], object]
    ) -> AsyncIterator[Parts]:
        """What has changed since the last time, all of it at first; nothing is a beat.

        A watcher who is slow gets the latest and never a queue of what was before it.

        Args:
            parts: makes what is seen.
            version: what it depends on; nothing is made while that stays.
        """
        self._watchers += 1
        self._follow()
        try:
            seen: dict[str, str] = {}
            made: object = None
            while not self._closed:
                if (now := version()) != made or not seen:
                    made, new = now, parts()
                    yield {name: html for name, html in new.items() if seen.get(name) != html}
                    seen = dict(new)
                elif not await self._wait(version, made):
                    yield {}
        finally:
            self._watchers -= 1

    async def _wait(self, version: Callable[[], object], made: object) -> bool:
        """Until ``version`` is not ``made``; False when it stays so for the length of a beat."""
        async with self._changed:
            with suppress(TimeoutError):
                async with asyncio.timeout(BEAT_S):
                    await self._changed.wait_for(lambda: version() != made or self._closed)
                    return True
        return False

    def _follow(self) -> None:
        if self._following is None or self._following.done():
            self._following = asyncio.create_task(self._follow_on())

    async def _follow_on(self) -> None:
        while self._watchers and not self._closed:
            await self.look()
            await asyncio.sleep(_LOOK_S)
