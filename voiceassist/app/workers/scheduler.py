"""How a Dask scheduler is reached, and what keeps it from being reached, in a sentence."""

import asyncio
import logging
import socket
import warnings
from typing import TYPE_CHECKING, NoReturn

from voiceassist.errors import WorkersError

if TYPE_CHECKING:
    from distributed import Client, Security

_WAIT_S = 10
_MOST = "1 GB"
_SCHEMES = ("tcp", "tls")
_LIKE = "write it as tcp://HOST:8786"
START_WORKER = "start one on each computer: dask worker {} --nworkers auto --nthreads 1"
_SAME = "install the same versions there and here"


def connected(address: str) -> "Client":
    """A client of the scheduler at ``address``.

    Raises:
        WorkersError: there is none, or Dask is not installed here.
    """
    _knock(*_place(address), address)
    try:
        import dask
        import distributed
    except ImportError:
        raise WorkersError(
            "the library for clusters is not installed",
            place="--on",
            remedy="in a clone of this project run: pip install '.[cluster]'",
        ) from None
    logging.getLogger("distributed").setLevel(logging.CRITICAL + 1)  # what matters is told below
    dask.config.set({"distributed.admin.large-graph-warning-threshold": _MOST})  # sound is large
    security = distributed.Security()
    asyncio.run(_ask(address, security))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of other versions, which every part is held against
        try:
            return distributed.Client(
                address, timeout=_WAIT_S, security=security, set_as_default=False
            )
        except (OSError, ValueError, TypeError) as error:
            raise failure(address, error) from None


def _place(address: str) -> tuple[str, int]:
    scheme, between, rest = address.partition("://")
    host, colon, port = rest.rpartition(":")
    if scheme not in _SCHEMES or not between or not colon or not port.isdecimal():
        raise WorkersError(f"{address!r} is no address of a scheduler", place="--on", remedy=_LIKE)
    if int(port) > 65535:
        raise WorkersError(f"there is no port {port}", place="--on", remedy=_LIKE)
    return host.strip("[]"), int(port)


def _knock(host: str, port: int, address: str) -> None:
    """Dask would knock for a long time at a door that is not there."""
    try:
        socket.create_connection((host, port), _WAIT_S).close()
    except OSError as error:
        raise failure(address, error) from None


async def _ask(address: str, security: "Security") -> None:
    """Ask who is there, before a client is made that would ask again and again.

    Raises:
        WorkersError: no scheduler is.
    """
    from distributed import rpc

    try:
        told = security.get_connection_args("client")
        async with asyncio.timeout(_WAIT_S), rpc(address, connection_args=told) as there:
            found = await there.identity()
    except Exception as error:
        raise failure(address, error) from None
    if found.get("type") != "Scheduler":
        _refuse(address, f"this is a {str(found.get('type')).lower()}, and no scheduler")


def _refuse(address: str, found: str) -> NoReturn:
    raise WorkersError(found, place=address, remedy="name the address that dask scheduler tells")


def failure(address: str, error: Exception) -> WorkersError:
    """What a failure of Dask's comes to."""
    told, remedy = " ".join(str(error).split())[:200] or type(error).__name__, _SAME
    kind = type(error).__name__
    if isinstance(error, ModuleNotFoundError):
        found = f"a worker has no {error.name}"
        remedy = "install this program there too, with the extra cluster"
    elif kind == "KilledWorker":
        found = "a part of the work has ended one worker after another"
        remedy = "see what the workers tell; more memory may do"
    elif isinstance(error, TypeError) and "TLS" in told:
        found = "there is no certificate for tls here"
        remedy = "name its files in Dask's settings, distributed.comm.tls"
    elif isinstance(error, OSError):
        why = f" ({error.strerror.lower()})" if error.strerror else ""
        found, remedy = f"no scheduler answers there{why}", "start one with: dask scheduler"
    else:
        found = f"the workers cannot do it: {told}"
    return WorkersError(found, place=address, remedy=remedy)
