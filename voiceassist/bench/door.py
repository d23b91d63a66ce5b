"""Who may come in: the address asked for, the account or the key, and where the asking page is.

Every answer leaves with the headers that keep a browser from running or loading anything else.
"""

import hashlib
import hmac
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import HTMLResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: All pages lie below it, and the cookie goes nowhere else.
PATH = "/bench/"
_COOKIE_DAYS = 30
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
    " font-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none';"
    " frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "microphone=(), camera=(), geolocation=()",
}
#: From another page of the web a browser may come here by a link alone.
_OWN_SITES = frozenset({"", "same-origin", "none"})
_LOCAL = frozenset({"127.0.0.1", "::1"})
#: Tells whose account is at the other end of a connection of this computer; None when unknown.
Whose = Callable[[tuple[str, int], tuple[str, int]], int | None]


def token_of(key: str) -> str:
    """What the cookie holds in place of ``key``, so that another page on this computer, to whose
    port a browser would send it too, never learns the key."""
    return hmac.new(key.encode(), b"voiceassist bench cookie", hashlib.sha256).hexdigest()


@dataclass(frozen=True, slots=True)
class Refused:
    """Why somebody stays outside."""

    status: int
    found: str


class Door:
    """Lets in who may, and closes behind every answer.

    Args:
        inside: what is asked then.
        page: makes a page of one sentence.
        key: without it nobody comes in; empty where only this account of this computer does.
        names: what this computer may be called in an address, beside its address.
        whose: whose account asks; see ``Whose``.
        me: the account this runs in.
    """

    def __init__(
        self,
        inside: ASGIApp,
        page: Callable[[str], str],
        *,
        key: str = "",
        names: Iterable[str] = (),
        whose: Whose = lambda here, there: None,
        me: int = 0,
    ) -> None:
        self._inside = inside
        self._page = page
        self._key = key
        self._names = {name.casefold() for name in names}
        self._whose = whose
        self._me = me

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse to."""
        if scope["type"] != "http":
            return
        closing = _with_headers(send)
        refused = self._refused(scope)
        if refused is not None:
            page = HTMLResponse(self._page(refused.found), refused.status)
            await page(scope, receive, closing)
        elif self._brings_key(scope):
            await self._let_in(scope, receive, closing)
        else:
            await self._inside(scope, receive, closing)

    def _refused(self, scope: Scope) -> Refused | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._is_ours(host, scope):
            return Refused(421, "This page is not at that address; use the one that was printed.")
        if not self._key and not self._is_mine(scope):
            return Refused(403, "This page is for the account that started it.")
        if self._key and not (self._has_cookie(scope, headers) or self._brings_key(scope)):
            told = "The key is missing or does not fit; open the link that was printed."
            return Refused(403, told)
        return _from_elsewhere(scope, headers, host)

    def _is_ours(self, host: str, scope: Scope) -> bool:
        """The address asked for is that of this end of the connection, or a name of it."""
        address, port = _server(scope)
        name, _, asked_port = host.rpartition(":")
        if not name or not asked_port.isdigit():
            name, asked_port = host, "80"
        name = name.strip("[]").casefold()
        names = {address, *self._names} | ({"localhost"} if address in _LOCAL else set())
        return int(asked_port) == port and name in names

    def _is_mine(self, scope: Scope) -> bool:
        client = scope.get("client")
        if client is None:
            return False
        account = self._whose((client[0], client[1]), _server(scope))
        return account is None or account in {self._me, 0}

    # --- the key ---

    def _has_cookie(self, scope: Scope, headers: Headers) -> bool:
        wanted, name = token_of(self._key), _cookie(scope)
        pairs = (part.strip().partition("=") for part in headers.get("cookie", "").split(";"))
        return any(_same(value, wanted) for given, _, value in pairs if given == name)

    def _brings_key(self, scope: Scope) -> bool:
        if not self._key or scope["method"] != "GET":
            return False
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [])
        return len(given) == 1 and _same(given[0], self._key)

    async def _let_in(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Give the cookie, and go on without the key in the address.

        By a page and not by a redirect: a cookie that is for this site alone would not be sent
        back at once to who came by a link from another.
        """
        page = HTMLResponse(self._page("The key fits."), headers={"refresh": f"0; url={PATH}"})
        page.set_cookie(
            _cookie(scope),
            token_of(self._key),
            max_age=_COOKIE_DAYS * 86400,
            path=PATH,
            httponly=True,
            samesite="strict",
        )
        await page(scope, receive, send)


def _server(scope: Scope) -> tuple[str, int]:
    address, port = scope["server"]
    return str(address), int(port or 0)


def _cookie(scope: Scope) -> str:
    """One name a port: a browser does not tell the ports of a computer apart."""
    return f"bench-{_server(scope)[1]}"


def _same(given: str, wanted: str) -> bool:
    """In constant time."""
    return hmac.compare_digest(given.encode(), wanted.encode())


def _from_elsewhere(scope: Scope, headers: Mapping[str, str], host: str) -> Refused | None:
    """Another page asks; a link leads here, but nothing is changed or read from there."""
    refused = Refused(403, "Another page asked for this; open it from its own.")
    origin = headers.get("origin")
    if origin is not None and origin.casefold() != f"http://{host}".casefold():
        return refused
    if scope["method"] not in {"GET", "HEAD"} and origin is None:
        return refused
    by_link = headers.get("sec-fetch-mode") == "navigate" and scope["method"] == "GET"
    if headers.get("sec-fetch-site", "") not in _OWN_SITES and not by_link:
        return refused
    return None


def _with_headers(send: Send) -> Send:
    async def closing(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return closing
