"""Fetches a file from an address that the user has named."""

import http.client
import urllib.error
import urllib.request
from pathlib import Path
from typing import IO, Any
from urllib.parse import urlsplit

from voiceassist.errors import ModelError
from voiceassist.models.limits import TIMEOUT_S, Budget, Limits, check_room, write_new


def fetch(
    address: str,
    file: Path,
    limits: Limits,
    *,
    insecure: bool = False,
    timeout_s: float = TIMEOUT_S,
) -> None:
    """Write what is at ``address`` to ``file``.

    Args:
        address: begins with https, or with http when ``insecure``.
        file: not there yet.
        limits: of its size.
        insecure: let http pass, where anybody on the way can change what comes.
        timeout_s: seconds without a byte after which it is given up.

    Raises:
        ModelError: the address must not be used or cannot be reached, or too much or little comes.
    """
    _check_scheme(address, insecure=insecure)
    opener = urllib.request.build_opener(_Redirects(insecure))
    try:
        with opener.open(address, timeout=timeout_s) as answer:
            _keep(answer, file, limits)
    except ModelError as error:
        raise ModelError(error.found, place=address, remedy=error.remedy) from None
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise ModelError(
            f"it cannot be fetched: {_reason(error)}",
            place=address,
            remedy="check the address and the network",
        ) from None


def _keep(answer: Any, file: Path, limits: Limits) -> None:  # noqa: ANN401 - as urllib types it
    due = answer.headers.get("Content-Length")
    if due is not None and due.isdigit():
        Budget(limits).use(int(due))
        check_room(file.parent, int(due))
    write_new(file, answer, Budget(limits))
    got = file.stat().st_size
    if due is not None and due.isdigit() and got != int(due):
        raise ModelError(f"only {got} of {due} bytes came", remedy="try again")


def _check_scheme(address: str, *, insecure: bool) -> None:
    scheme = urlsplit(address).scheme.lower()
    if scheme == "http" and not insecure:
        raise ModelError(
            "what comes over http may be changed on the way",
            place=address,
            remedy="use an https address, or --insecure-http with --sha256",
        )
    if scheme not in {"http", "https"}:
        raise ModelError(
            f"found {scheme!r} addresses not used here",
            place=address,
            remedy="use an https address",
        )


class _Redirects(urllib.request.HTTPRedirectHandler):
    """Follows redirections only to addresses that may be used."""

    def __init__(self, insecure: bool) -> None:
        self._insecure = insecure

    def redirect_request(
        self,
        req: urllib.request.Request,
        fp: IO[bytes],
        code: int,
        msg: str,
        headers: http.client.HTTPMessage,
        newurl: str,
    ) -> urllib.request.Request | None:
        """The request that follows ``req``."""
        _check_scheme(newurl, insecure=self._insecure)
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _reason(error: Exception) -> str:
    if isinstance(error, urllib.error.HTTPError):
        error.close()
        return f"the server answers {error.code} {' '.join(str(error.reason).split())}"
    if isinstance(error, urllib.error.URLError):
        error = error.reason if isinstance(error.reason, Exception) else error
    if isinstance(error, TimeoutError):
        return "the other side is silent"
    if isinstance(error, OSError) and error.strerror:
        return error.strerror
    return str(error) or type(error).__name__
