"""Whose account is at the other end, as the system lists its connections (proc(5))."""

import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from voiceassist.app.bench.account import NOBODY, account_of

End = tuple[str, int]


@pytest.fixture(params=["127.0.0.1", "::1"])
def ends(request: pytest.FixtureRequest) -> Iterator[tuple[End, End]]:
    """Both ends of a real connection, ours first that asked."""
    family = socket.AF_INET6 if ":" in request.param else socket.AF_INET
    try:
        listening = socket.create_server((request.param, 0), family=family)
    except OSError:
        pytest.skip("this computer has no such address")
    with listening, socket.create_connection(listening.getsockname()[:2]) as asking:
        taken, _ = listening.accept()
        with taken:
            yield asking.getsockname()[:2], taken.getsockname()[:2]


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="not Linux")
def test_it_is_the_one_that_asks(ends: tuple[End, End]) -> None:
    assert account_of(*ends) == os.geteuid()


def listed(folder: Path, *rows: tuple[str, str, int]) -> tuple[Path]:
    """A table of the system, with these ends and accounts."""
    table = folder / "tcp"
    told = [f"0: {here} {there} 01 0:0 00:0 0 {uid} 0 1" for here, there, uid in rows]
    table.write_text("\n".join(["sl local rem ...", *told]) + "\n")
    return (table,)


OURS, THEIRS = ("127.0.0.1", 8427), ("127.0.0.1", 50000)
_OURS, _THEIRS = "0100007F:20EB", "0100007F:C350"  # by hand: little-endian, 0x20EB is 8427


def test_another_account_is_told_by_its_number(tmp_path: Path) -> None:
    table = listed(tmp_path, (_OURS, _THEIRS, 1000), (_THEIRS, _OURS, 1001))
    assert account_of(THEIRS, OURS, table) == 1001


def test_an_end_that_is_hidden_is_nobodys(tmp_path: Path) -> None:
    assert account_of(THEIRS, OURS, listed(tmp_path, (_OURS, _THEIRS, 1000))) == NOBODY


def test_where_the_system_does_not_tell_nothing_is_known(tmp_path: Path) -> None:
    assert account_of(THEIRS, OURS, (tmp_path / "none",)) is None
    assert account_of(THEIRS, OURS, listed(tmp_path)) is None
