"""Who is let in: by the address asked for, the account, the key, and where the asking page is."""

import asyncio
from collections.abc import Mapping

import pytest
from starlette.responses import PlainTextResponse
from starlette.types import Message, Receive, Scope, Send

from voiceassist.bench.door import PATH, Door, token_of

KEY = "k" * 43
ME, OTHER = 1000, 1001
HERE = ("127.0.0.1", 8427)


async def _inside(scope: Scope, receive: Receive, send: Send) -> None:
    await PlainTextResponse("inside")(scope, receive, send)


def answer(
    door: Door,
    *,
    method: str = "GET",
    query: str = "",
    server: tuple[str, int] = HERE,
    **headers: str,
) -> tuple[int, Mapping[str, str], str]:
    """Status, headers and body; underscores in names of headers stand for hyphens."""
    given = {"host": f"{server[0]}:{server[1]}", **headers}
    scope: Scope = {
        "type": "http", "method": method, "path": PATH, "query_string": query.encode(),
        "server": server, "client": ("127.0.0.1", 50000),
        "headers": [(n.replace("_", "-").encode(), v.encode()) for n, v in given.items()],
    }  # fmt: skip
    sent: list[Message] = []

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        sent.append(message)

    asyncio.run(door(scope, receive, send))
    names = {name.decode(): value.decode() for name, value in sent[0]["headers"]}
    body = b"".join(message.get("body", b"") for message in sent[1:]).decode()
    return sent[0]["status"], names, body


def local(account: int | None = ME) -> Door:
    return Door(_inside, str, names=["bay-3"], whose=lambda there, here: account, me=ME)


def keyed() -> Door:
    return Door(_inside, str, key=KEY, whose=lambda there, here: OTHER, me=ME)


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8427", "localhost:8427", "LOCALHOST:8427", "bay-3:8427"]
)
def test_it_is_asked_for_by_its_own_address_or_name(host: str) -> None:
    assert answer(local(), host=host)[0] == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example:8427", "127.0.0.1:80", "127.0.0.1", "127.0.0.1.evil.example:8427", "",
     "127.0.0.1:8427@evil.example", "127.0.0.2:8427"],
)  # fmt: skip
def test_a_name_that_only_leads_here_is_refused(host: str) -> None:
    """As by DNS rebinding: a page of the web whose name was given this computer's address."""
    status, _, told = answer(local(), host=host)
    assert (status, told) == (
        421, "This page is not at that address; use the one that was printed.",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("account", "status"), [(ME, 200), (0, 200), (None, 200), (OTHER, 403), (-1, 403)]
)
def test_without_a_key_only_its_own_account_and_the_superuser_see_it(
    account: int | None, status: int
) -> None:
    assert answer(local(account))[0] == status


@pytest.mark.parametrize(
    "query", ["", "key=", "key=" + "x" * 43, f"key={KEY}&key={KEY}", f"kex={KEY}"]
)
def test_without_the_key_nobody_comes_in(query: str) -> None:
    status, headers, told = answer(keyed(), query=query)
    assert (status, told) == (
        403, "The key is missing or does not fit; open the link that was printed.",
    )  # fmt: skip
    assert "set-cookie" not in headers


def test_the_key_gives_a_cookie_no_wider_than_the_page_and_leaves_the_address() -> None:
    status, headers, told = answer(keyed(), query=f"key={KEY}")
    assert (status, told, headers["refresh"]) == (200, "The key fits.", f"0; url={PATH}")
    name, *about = headers["set-cookie"].split("; ")
    assert name == f"bench-8427={token_of(KEY)}"
    assert KEY not in headers["set-cookie"]
    flags = {each.casefold() for each in about}
    assert {"httponly", "samesite=strict", f"path={PATH}"} <= flags
    assert not [each for each in flags if each.startswith("domain")]


@pytest.mark.parametrize(
    ("cookie", "status"),
    [(f"bench-8427={token_of(KEY)}", 200), (f"a=b; bench-8427={token_of(KEY)}", 200),
     (f"bench-8427={KEY}", 403), (f"bench-9={token_of(KEY)}", 403), ("bench-8427=", 403)],
)  # fmt: skip
def test_the_cookie_is_the_key_from_then_on(cookie: str, status: int) -> None:
    assert answer(keyed(), cookie=cookie)[0] == status


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:8427", "http://127.0.0.1:80"]
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_another_page_can_neither_read_nor_change(origin: str, method: str) -> None:
    assert answer(local(), method=method, origin=origin)[0] == 403


def test_what_changes_something_names_its_page() -> None:
    assert answer(local(), method="POST")[0] == 403
    assert answer(local(), method="POST", origin="http://127.0.0.1:8427")[0] == 200


@pytest.mark.parametrize(
    ("site", "mode", "status"),
    [("same-origin", "cors", 200), ("none", "navigate", 200), ("cross-site", "navigate", 200),
     ("cross-site", "no-cors", 403), ("same-site", "cors", 403)],
)  # fmt: skip
def test_from_elsewhere_only_a_link_leads_here(site: str, mode: str, status: int) -> None:
    """Fetch metadata (W3C, "Fetch Metadata Request Headers")."""
    assert answer(local(), sec_fetch_site=site, sec_fetch_mode=mode)[0] == status


def test_every_answer_forbids_what_is_inline_and_what_is_from_outside() -> None:
    for door in (local(), keyed()):
        policy = answer(door)[1]["content-security-policy"]
        assert "unsafe" not in policy
        assert "http" not in policy
        rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
        assert rules["default-src"] == rules["frame-ancestors"] == rules["base-uri"] == "'none'"
        assert rules["script-src"] == rules["style-src"] == "'self'"
