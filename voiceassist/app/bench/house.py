"""Answers what the page asks, each in a process beside it."""

import multiprocessing
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from voiceassist.app.bench.aside import Aside
from voiceassist.bench.asked import Cause, Told


@dataclass(frozen=True)
class Archives:
    """Which records are asked for; as on the command line.

    Parts:
        records: the folder.
        archive: the database; empty for the usual one.
    """

    records: str
    archive: str


@dataclass
class HouseAside:
    """Two processes: one for what takes seconds, one for what somebody waits for."""

    where: Archives
    _slow: Aside = field(default_factory=Aside)
    _quick: Aside = field(default_factory=Aside)

    async def picture(self, session: str) -> str:
        """The step of a session under way."""
        return await self._quick.do(_picture, Path(self.where.records) / session)

    async def causes(self, session: str) -> tuple[Cause, ...] | None:
        """What is likely."""
        return await self._slow.do(_causes, Path(self.where.records) / session)

    async def report(self, session: str) -> str:
        """The shop's page of a session."""
        return await self._quick.do(_report, session, self.where)

    async def archive(self, what: str, asked: Mapping[str, str]) -> Told:
        """What the archive answers."""
        return await self._quick.do(_archive, what, dict(asked), self.where)

    async def file(self, what: str, form: str, asked: Mapping[str, str]) -> str:
        """The same as a file."""
        return await self._quick.do(_file, what, form, dict(asked), self.where)

    def close(self) -> None:
        """End both processes, in the middle of whatever they work out."""
        self._slow.close()
        self._quick.close()
        for child in multiprocessing.active_children():
            child.terminate()


# What follows runs there: what it imports, the bench itself never holds.


def _picture(folder: Path) -> str:
    from voiceassist.app.bench.beside import picture

    return picture(folder)


def _causes(folder: Path) -> tuple[Cause, ...] | None:
    from voiceassist.app.bench.beside import causes

    return causes(folder)


def _report(session: str, where: Archives) -> str:
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.checked import load_from
    from voiceassist.app.settings.chosen import settings_for

    shop = shop_of(settings_for(where.records, where.archive))
    found = load_from(session, where.records, where.archive)
    request = pages.PageRequest(shop=shop)
    return pages.page(found.folder, found.entries, request, pages.checked(found)).decode("utf-8")


def _archive(what: str, asked: dict[str, str], where: Archives) -> Told:
    from voiceassist.app.bench.archive import answer

    return answer(what, asked, where.records, where.archive)


def _file(what: str, form: str, asked: dict[str, str], where: Archives) -> str:
    from voiceassist.app.bench.archive import file

    return file(what, form, asked, where.records, where.archive)
