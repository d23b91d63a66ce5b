"""The pages by their addresses."""

import time
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field
from urllib.parse import urlencode

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from voiceassist.bench import records, views
from voiceassist.bench.asked import House, Told
from voiceassist.bench.beside import Sidelines
from voiceassist.bench.door import PATH
from voiceassist.bench.follow import Followed
from voiceassist.bench.hub import Hub, Parts
from voiceassist.bench.notes import take
from voiceassist.bench.replies import failed, sentence, stream
from voiceassist.bench.report import served
from voiceassist.errors import VoiceAssistError

_TYPES = {
    "bench.css": "text/css; charset=utf-8",
    "drawing.css": "text/css; charset=utf-8",
    "report.css": "text/css; charset=utf-8",
    "bench.js": "text/javascript; charset=utf-8",
    "icon.svg": "image/svg+xml",
}
_FILES = {"csv": "text/csv; charset=utf-8", "json": "application/json"}
_LONGEST_NAME = 40
_NO_PAGE = "There is nothing at this address."
_FOR_LONG = {"cache-control": "max-age=31536000, immutable"}
_NOTHING = "There is no such session, or it was deleted."
#: So many style sheets of sessions' pages wait for the browser that asks for them next.
_STYLES = 16


@dataclass
class Site:
    """Answers what is asked for below ``PATH``.

    Args:
        hub: follows the folder.
        house: answers what the journals alone do not tell.
        clock: seconds since 1970.
    """

    hub: Hub
    house: House
    clock: Callable[[], float] = time.time
    _made: dict[str, tuple[object, Parts]] = field(default_factory=dict)
    _styles: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._sidelines = Sidelines(self.hub, self.house)

    def app(self) -> Starlette:
        """What a server serves."""
        routes = [
            Route("/", self._to_the_bench),
            Route(PATH, self._list),
            Route(f"{PATH}events", self._list_events),
            Route(f"{PATH}static/{{name}}", self._static),
            Route(f"{PATH}records/{{what}}.{{form}}", self._file),
            Route(f"{PATH}records/{{what}}", self._archive),
            Route(f"{PATH}session/{{id}}.{{form}}", self._session_file),
            Route(f"{PATH}session/{{id}}/events", self._session_events),
            Route(f"{PATH}session/{{id}}/note", self._note, methods=["POST"]),
            Route(f"{PATH}session/{{id}}/page", self._report),
            Route(f"{PATH}session/{{id}}/page.css", self._report_style),
            Route(f"{PATH}session/{{id}}", self._session),
        ]
        answers = {HTTPException: sentence, VoiceAssistError: sentence, Exception: failed}
        return Starlette(routes=routes, exception_handlers=answers)

    # --- the sessions of the folder ---

    async def _to_the_bench(self, _request: Request) -> Response:
        return RedirectResponse(PATH)

    async def _list(self, _request: Request) -> Response:
        await self.hub.look()
        follower = self.hub.follower
        page = views.list_page(
            self.hub.latest, follower.trouble, self.clock(), str(follower.records)
        )
        return HTMLResponse(page)

    async def _list_events(self, _request: Request) -> Response:
        follower = self.hub.follower

        def version() -> object:
            told = tuple((one.id, one.version) for one in self.hub.latest)
            return told, follower.trouble

        def parts() -> Parts:
            return views.list_parts(self.hub.latest, follower.trouble, self.clock())

        return stream(self.hub.watch(parts, version))

    # --- one session ---

    async def _session(self, request: Request) -> Response:
        one = await self._one(request)
        if one.now.ended and not one.fault:
            return RedirectResponse(f"{PATH}session/{one.id}/page", 303)
        self._sidelines.ask(one)
        beside = self._sidelines.of(one.id)
        asked = request.query_params
        by, noted = asked.get("by", "")[:_LONGEST_NAME], "noted" in asked
        page = views.session_page(
            one, beside, self.clock(), by=by, noted=noted, still="note" in asked
        )
        return HTMLResponse(page)

    async def _note(self, request: Request) -> Response:
        """The one thing that somebody can do here."""
        one = await self._one(request)
        by, wrong = await take(request, one, self.hub.follower.records / one.id)
        if not wrong:
            where = f"{PATH}session/{one.id}?{urlencode({'noted': 1, 'by': by})}#note"
            return RedirectResponse(where, 303)
        beside = self._sidelines.of(one.id)
        page = views.session_page(
            one, beside, self.clock(), by=by[:_LONGEST_NAME], wrong=wrong, still=True
        )
        return HTMLResponse(page, 400)

    async def _session_events(self, request: Request) -> Response:
        one = await self._one(request)
        id_ = one.id

        def now() -> Followed:
            return self.hub.known(id_) or one

        def version() -> object:
            return now().version, self._sidelines.version(id_)

        def parts() -> Parts:
            self._sidelines.ask(now())
            return self._session_parts(now(), version())

        return stream(self._with_page(self.hub.watch(parts, version), now))

    def _session_parts(self, one: Followed, version: object) -> Parts:
        """Made once a change, however many watch."""
        made = self._made.get(one.id)
        if made is None or made[0] != version:
            beside = self._sidelines.of(one.id)
            made = self._made[one.id] = version, views.session_parts(one, beside, self.clock())
        return made[1]

    @staticmethod
    async def _with_page(
        parts: AsyncIterator[Parts], now: Callable[[], Followed]
    ) -> AsyncIterator[Parts | str]:
        """The changes, and the address of the session's page once it has ended."""
        led = False
        async for changed in parts:
            yield changed
            if now().now.ended and not led:
                led = True
                yield f"{PATH}session/{now().id}/page"

    async def _one(self, request: Request) -> Followed:
        await self.hub.look()
        one = await self.hub.one(request.path_params["id"])
        if one is None or not one.now.begun:
            raise HTTPException(404, _NOTHING)
        return one

    # --- the page of a session ---

    async def _report(self, request: Request) -> Response:
        page, _ = await self._reported(request.path_params["id"])
        return HTMLResponse(page)

    async def _report_style(self, request: Request) -> Response:
        style = self._styles.get(request.url.query)
        if style is None:
            _, style = await self._reported(request.path_params["id"])
        return Response(style, media_type="text/css")

    async def _reported(self, session: str) -> tuple[str, str]:
        """The page and its style, which is asked for next."""
        page, style, mark = served(await self.house.report(session), session)
        self._styles[mark] = style
        for old in list(self._styles)[:-_STYLES]:
            del self._styles[old]
        return page, style

    # --- the archive ---

    async def _archive(self, request: Request) -> Response:
        what = _verb(request)
        asked = records.asked_of(what, request.query_params)
        if not records.is_asked(what, asked):
            return HTMLResponse(records.page(what, asked, Told()))
        try:
            told = await self.house.archive(what, asked)
        except VoiceAssistError as error:
            return HTMLResponse(records.page(what, asked, Told(), str(error)), 400)
        return HTMLResponse(records.page(what, asked, told))

    async def _file(self, request: Request) -> Response:
        what = _verb(request)
        return await self._as_file(request, what, records.asked_of(what, request.query_params))

    async def _session_file(self, request: Request) -> Response:
        return await self._as_file(request, "show", {"session": request.path_params["id"]})

    async def _as_file(self, request: Request, what: str, asked: dict[str, str]) -> Response:
        form = request.path_params["form"]
        if form not in _FILES:
            raise HTTPException(404, _NO_PAGE)
        name = f"{asked.get('session') or what}.{form}"
        plain = "".join(c if c.isascii() and (c.isalnum() or c in "-.") else "-" for c in name)
        text = await self.house.file(what, form, asked)
        told = {"content-disposition": f'inline; filename="{plain}"'}
        return Response(text.encode("utf-8", "replace"), media_type=_FILES[form], headers=told)

    # --- what does not change ---

    async def _static(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in _TYPES:
            raise HTTPException(404, _NO_PAGE)
        kept = _FOR_LONG if request.url.query == views.asset_mark(name) else {}
        return Response(views.asset(name), media_type=_TYPES[name], headers=kept)


def _verb(request: Request) -> str:
    what = str(request.path_params["what"])
    if what not in records.FIELDS:
        raise HTTPException(404, _NO_PAGE)
    return what
