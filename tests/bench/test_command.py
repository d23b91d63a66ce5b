"""``voiceassist bench``: where it is to be asked, and what cannot be."""

import http.client
import os
import socket
import stat
import time
from contextlib import closing
from pathlib import Path

import pytest
from bays import ASK, READING, VERDICT, Bay, bench
from running import call

from voiceassist import resources


@pytest.fixture
def records(tmp_path: Path) -> Path:
    folder = tmp_path / "records"
    Bay(folder).close()
    return folder


def refused(*arguments: str) -> str:
    done = call("bench", *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    (sentence,) = done.stderr.splitlines()
    return sentence


def test_a_port_that_is_taken_is_told_in_a_sentence(records: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        told = refused("--records", str(records), "--port", port)
    assert told == f"--port: port {port} is taken; choose another, or 0 for any that is free"


@pytest.mark.parametrize("address", ["192.0.2.7", "nowhere.invalid", "...", "1.2.3.4.5", "x" * 300])
def test_an_address_of_another_computer_is_told_in_a_sentence(
    records: Path, tmp_path: Path, address: str
) -> None:
    """192.0.2.0/24 is for documentation, and no computer has it (RFC 5737); nor has one a name
    that ends in .invalid (RFC 2606)."""
    told = refused("--records", str(records), "--listen", address, "--port", "0")
    assert told.startswith(f"--listen: {address!r} is no address of this computer; give one")


def test_a_folder_that_is_not_there_is_told_in_a_sentence(tmp_path: Path) -> None:
    assert "there is no such folder of records" in refused("--records", str(tmp_path / "none"))


def test_a_folder_without_sessions_is_told_of_and_served(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    with bench(tmp_path / "records") as there:
        page = there.ask().text
        assert "No session is here yet. One that begins appears by itself." in page
        assert there.ask("/").status == 307
        there.end()
        assert there.process.returncode == 143


def test_it_ends_at_once_though_something_is_being_worked_out(tmp_path: Path) -> None:
    bay = Bay(tmp_path / "records", "heater-fan-module")
    bay.folder.write("meter.yaml", resources.read_text(resources.meter_path("ordinary")))
    bay.tell(ASK, READING, VERDICT)
    with bench(tmp_path / "records") as there:
        while "Being worked out" not in there.ask(f"/bench/session/{bay.id}").text:
            time.sleep(0.1)
        began_s = time.monotonic()
        there.end()
        assert time.monotonic() - began_s < 15
    bay.close()


def test_a_new_key_is_for_others_only(records: Path) -> None:
    told = refused("--records", str(records), "--new-key")
    assert told == "--new-key: only --listen needs a key; leave it out"


def test_the_key_is_shown_once_and_kept_for_its_owner_alone(records: Path, tmp_path: Path) -> None:
    here = "127.0.0.1"
    with bench(records, "--listen", here) as first:
        file = Path(first.about["key_file"])
        _, key = first.url.split("?key=")
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert file.read_text().strip() == key
        assert first.ask().status == 403
        assert first.ask("/bench/?key=" + "x" * 43).status == 403
        entered = first.ask(f"/bench/?key={key}")
        cookie = entered.cookie.split(";")[0]
        assert first.ask(cookie=cookie).status == 200
        first.end()
    with bench(records, "--listen", here) as again:
        assert "key" not in again.url
        assert again.ask(f"/bench/?key={key}").status == 200
    with bench(records, "--listen", here, "--new-key") as anew:
        assert anew.url.split("?key=")[1] != key
        assert anew.ask(f"/bench/?key={key}").status == 403


def test_at_every_address_of_the_computer_it_is_asked_by_name(records: Path) -> None:
    with bench(records, "--listen", "0.0.0.0") as there:
        assert there.address[0] == socket.gethostname().casefold()
        host = f"{socket.gethostname()}:{there.address[1]}"
        key = there.url.split("?key=")[1]
        found = http.client.HTTPConnection("127.0.0.1", there.address[1], timeout=20)
        with closing(found):
            found.request("GET", f"/bench/?key={key}", headers={"Host": host})
            assert found.getresponse().status == 200


@pytest.mark.parametrize(("content", "mode"), [("short", 0o600), ("k" * 43, 0o644), ("", 0o600)])
def test_a_key_that_is_none_or_that_others_can_read_is_refused(
    records: Path, tmp_path: Path, content: str, mode: int
) -> None:
    file = tmp_path / "config" / "voiceassist" / "bench-key"
    file.parent.mkdir(parents=True)
    file.write_text(content)
    file.chmod(mode)
    given = {"XDG_CONFIG_HOME": str(tmp_path / "config")}
    done = call("bench", "--records", str(records), "--listen", "127.0.0.1", "--port", "0", **given)
    assert done.returncode == 2
    assert "make another with --new-key" in done.stderr
    assert os.path.getsize(file) == len(content)
