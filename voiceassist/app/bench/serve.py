"""Serves the page on one address of this computer."""

import asyncio
import errno
import os
import signal
import socket
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from voiceassist.app.bench.account import account_of
from voiceassist.app.bench.house import Archives, HouseAside
from voiceassist.app.bench.key import FILE, AccessKey, key_in
from voiceassist.app.settings.chosen import NAME, existing_records_folder, settings_for
from voiceassist.errors import SettingsError

if TYPE_CHECKING:
    from uvicorn import Config, Server

    from voiceassist.bench.door import Door
    from voiceassist.bench.hub import Hub

LOCAL = "127.0.0.1"
#: Every address of this computer.
_ALL = frozenset({"0.0.0.0", "::"})
#: Waiting for more connections than that is not for a shop.
_MOST_CONNECTIONS, _BACKLOG = 200, 64
#: How often it is asked whether the program is to stop, in seconds.
_LOOK_S = 0.2
_EXTRA = "the page needs the extra bench"


@dataclass(frozen=True, slots=True)
class BenchRequest:
    """What is asked for.

    Parts:
        records, archive: as of every command.
        listen: the address of this computer that others may ask at; empty for none.
        port: 0 for any that is free.
        new_key: make another key, which shuts out who has the old one.
    """

    records: str = ""
    archive: str = ""
    listen: str = ""
    port: int = 0
    new_key: bool = False


@dataclass(frozen=True, slots=True)
class Opening:
    """Where the page is.

    Parts:
        url: to be opened.
        folder: of records.
        empty: no session is in it.
        key_file: where the key is kept; empty when there is none.
        new_key: ``url`` has it, for this one time.
    """

    url: str
    folder: str
    empty: bool
    key_file: str = ""
    new_key: bool = False


def serve(request: BenchRequest, opened: Callable[[Opening], None]) -> None:
    """Serve the page until the program is told to stop.

    Args:
        request: what is asked for.
        opened: told where the page is, once.

    Raises:
        SettingsError: the address or port cannot be used, or the extra is not installed.
        RecordError: there is no such folder of records, or it cannot be read.
    """
    try:
        import uvicorn

        from voiceassist.bench.door import PATH, Door
        from voiceassist.bench.follow import Follower
        from voiceassist.bench.hub import Hub
        from voiceassist.bench.site import Site
        from voiceassist.bench.views import sentence_page
    except ModuleNotFoundError as error:
        remedy = "in a clone of this project run: pip install '.[bench]'"
        raise SettingsError(_EXTRA, place=error.name or "", remedy=remedy) from None
    chosen = settings_for(request.records, request.archive)
    folder = existing_records_folder(chosen)
    listening = _listening(request.listen or LOCAL, request.port)
    with listening:
        key = _key(request)
        follower = Follower(folder)
        follower.look()
        house = HouseAside(Archives(str(folder), chosen.archive))
        hub = Hub(follower)
        door = Door(
            Site(hub, house).app(),
            sentence_page,
            key=key.text if key else "",
            names=[socket.gethostname(), f"{socket.gethostname()}.local"],
            whose=account_of,
            me=os.geteuid() if hasattr(os, "geteuid") else 0,
        )
        told = _opening(listening, PATH, folder, key, empty=follower.empty)
        try:
            asyncio.run(_run(uvicorn.Server(_config(door)), listening, lambda: opened(told), hub))
        finally:
            house.close()


def _config(door: "Door") -> "Config":
    """How the page is served: what is said to nobody, and how much is taken from anybody."""
    from uvicorn import Config

    return Config(
        door,
        log_level="critical",
        access_log=False,  # an address can hold the key
        lifespan="off",
        ws="none",
        loop="asyncio",
        http="h11",
        server_header=False,
        limit_concurrency=_MOST_CONNECTIONS,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=32_768,
    )


async def _run(
    server: "Server", listening: socket.socket, ready: Callable[[], None], hub: "Hub"
) -> None:
    """Serve until a signal comes; then whoever watches is sent home first."""
    if hasattr(signal, "SIGHUP"):
        ended = partial(setattr, server, "should_exit", True)
        asyncio.get_running_loop().add_signal_handler(signal.SIGHUP, ended)
    serving = asyncio.create_task(server.serve(sockets=[listening]))
    while not (server.started or serving.done()):
        await asyncio.sleep(0.01)
    ready()
    while not (server.should_exit or serving.done()):
        await asyncio.sleep(_LOOK_S)
    await hub.close()
    await serving


def _key(request: BenchRequest) -> AccessKey | None:
    if not request.listen:
        return None
    return key_in(platformdirs.user_config_path(NAME), anew=request.new_key)


def _opening(
    listening: socket.socket, path: str, folder: Path, key: AccessKey | None, *, empty: bool
) -> Opening:
    address, port = listening.getsockname()[:2]
    host = f"[{address}]" if ":" in address else address
    if address in _ALL:  # which nobody can ask at
        host = socket.gethostname()
    link = f"http://{host}:{port}{path}"
    if key is None:
        return Opening(link, str(folder), empty)
    file = str(platformdirs.user_config_path(NAME) / FILE)
    return Opening(f"{link}?key={key.text}" if key.new else link, str(folder), empty, file, key.new)


def _listening(address: str, port: int) -> socket.socket:
    """The socket that the page is asked at.

    Raises:
        SettingsError: the address is not of this computer, or the port is taken.
    """
    try:
        family, kind, number, _, where = socket.getaddrinfo(
            address, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
    except (socket.gaierror, UnicodeError):
        raise _not_here(address) from None
    found = socket.socket(family, kind, number)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(where)
        found.listen(_BACKLOG)
    except OSError as error:
        found.close()
        raise _refused(error, address, port) from None
    return found


def _refused(error: OSError, address: str, port: int) -> SettingsError:
    if error.errno == errno.EADDRINUSE:
        told, remedy = f"port {port} is taken", "choose another, or 0 for any that is free"
        return SettingsError(told, place="--port", remedy=remedy)
    if error.errno == errno.EACCES:
        return SettingsError(
            f"port {port} is not for everybody", place="--port", remedy="choose one above 1023"
        )
    return _not_here(address)


def _not_here(address: str) -> SettingsError:
    return SettingsError(
        f"{address!r} is no address of this computer",
        place="--listen",
        remedy="give one that it has in the shop's network, such as 192.168.1.20",
    )
