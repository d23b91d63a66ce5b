"""Fetching from an address, from a server on this machine."""

import hashlib
import io
import socket
import threading
import time
import urllib.request
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from http.client import HTTPMessage
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from voiceassist.errors import ModelError
from voiceassist.models.fetch import _Redirects, fetch
from voiceassist.models.limits import Limits
from voiceassist.models.store import Store, Wish

MODEL = {"final.mdl": b"weights", "mfcc.conf": b"c"}


def zip_bytes() -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, data in MODEL.items():
            archive.writestr(zipfile.ZipInfo(name), data)
    return file.getvalue()


@dataclass(frozen=True, slots=True)
class Server:
    """Where it is."""

    address: str

    def __truediv__(self, path: str) -> str:
        return f"{self.address}/{path}"


class Handler(BaseHTTPRequestHandler):
    """Gives a model, and answers badly elsewhere."""

    def do_GET(self) -> None:
        match self.path.partition("?")[0]:
            case "/tiny.zip" | "/" | "/elsewhere":
                self._give(zip_bytes())
            case "/short.zip":
                self._give(zip_bytes(), claimed=10_000)
            case "/endless.zip":
                self._endless()
            case "/huge.zip":
                self._give(b"", claimed=10**12)
            case "/silent.zip":
                time.sleep(3)
            case "/away.zip":
                self._redirect("/tiny.zip")
            case "/file.zip":
                self._redirect("file:///etc/hostname")
            case "/loop.zip":
                self._redirect("/loop.zip")
            case _:
                self.send_error(404)

    def _give(self, data: bytes, claimed: int | None = None) -> None:
        self.send_response(200)
        self.send_header("Content-Length", str(len(data) if claimed is None else claimed))
        self.end_headers()
        self.wfile.write(data)

    def _endless(self) -> None:
        self.send_response(200)
        self.end_headers()
        try:
            while True:
                self.wfile.write(bytes(100_000))
        except OSError:
            pass  # the other side has had enough

    def _redirect(self, target: str) -> None:
        self.send_response(302)
        self.send_header("Location", target)
        self.end_headers()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - as it is inherited
        """Nothing."""


@pytest.fixture
def server() -> Iterator[Server]:
    made = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    made.daemon_threads = True
    thread = threading.Thread(target=made.serve_forever)
    thread.start()
    yield Server(f"http://127.0.0.1:{made.server_port}")
    made.shutdown()
    thread.join()
    made.server_close()


def refusal(tmp_path: Path, address: str, **options: object) -> str:
    """What is said; and nothing is kept."""
    store = Store(tmp_path / "models", Limits(bytes=1_000_000))
    with pytest.raises(ModelError) as caught:
        store.add(Wish(address, **options))  # type: ignore[arg-type]
    assert list(store.home.iterdir()) == []
    return str(caught.value)


def test_a_model_is_fetched_checked_and_kept(tmp_path: Path, server: Server) -> None:
    store = Store(tmp_path / "models")
    sha256 = hashlib.sha256(zip_bytes()).hexdigest()
    kept = store.add(Wish(server / "tiny.zip?x=1", sha256=sha256, insecure=True))
    assert kept.name == "tiny"
    assert {n: (kept.folder / n).read_bytes() for n in MODEL} == MODEL
    assert (kept.manifest.source, kept.manifest.verified) == (server / "tiny.zip?x=1", True)
    assert {path.name for path in store.home.iterdir()} == {"tiny"}


def test_a_redirection_is_followed(tmp_path: Path, server: Server) -> None:
    kept = Store(tmp_path / "models").add(Wish(server / "away.zip", insecure=True))
    assert kept.name == "away"


def test_http_needs_the_users_word(tmp_path: Path, server: Server) -> None:
    said = refusal(tmp_path, server / "tiny.zip")
    assert "what comes over http may be changed on the way; use an https address, or" in said


@pytest.mark.parametrize("address", ["file:///etc/hostname", "ftp://x/y.zip", "data://x"])
def test_other_addresses_are_refused(tmp_path: Path, address: str) -> None:
    assert "use an https address" in refusal(tmp_path, address, name="x", insecure=True)


@pytest.mark.parametrize(
    ("path", "found"),
    [
        ("none.zip", "it cannot be fetched: the server answers 404 Not Found"),
        ("short.zip", "of 10000 bytes came; try again"),
        ("endless.zip", "it holds more than 1000000 bytes"),
        ("huge.zip", "it holds more than 1000000 bytes"),
        ("file.zip", "it cannot be fetched"),
        ("loop.zip", "it cannot be fetched"),
    ],
)
def test_a_bad_answer_is_one_sentence(
    tmp_path: Path, server: Server, path: str, found: str
) -> None:
    said = refusal(tmp_path, server / path, insecure=True)
    assert found in said
    assert said.startswith(server / path)
    assert "\n" not in said


def test_a_silent_server_is_given_up(tmp_path: Path, server: Server) -> None:
    began = time.monotonic()
    said = refusal(tmp_path, server / "silent.zip", insecure=True, timeout_s=0.3)
    assert "the other side is silent" in said
    assert time.monotonic() - began < 2


def test_a_port_where_nobody_listens_is_told(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    said = refusal(tmp_path, f"http://127.0.0.1:{port}/x.zip", insecure=True)
    assert "it cannot be fetched: Connection refused; check the address and the network" in said


def test_another_sum_is_refused(tmp_path: Path, server: Server) -> None:
    said = refusal(tmp_path, server / "tiny.zip", sha256="0" * 64, insecure=True)
    assert "not the one given" in said


def test_a_secure_address_may_not_lead_to_an_insecure_one(tmp_path: Path, server: Server) -> None:
    """Asked of the part that follows: a server with a certificate is not to be had here."""
    request = urllib.request.Request("https://127.0.0.1/a.zip")
    with pytest.raises(ModelError, match="over http may be changed"):
        _Redirects(insecure=False).redirect_request(
            request, io.BytesIO(), 302, "", HTTPMessage(), server / "tiny.zip"
        )


def test_what_is_there_is_not_written_over(tmp_path: Path, server: Server) -> None:
    file = tmp_path / "mine"
    file.write_text("mine")
    with pytest.raises(ModelError, match="twice"):
        fetch(server / "tiny.zip", file, Limits(), insecure=True)
    assert file.read_text() == "mine"
