"""The chain of hashes: what it is made of, and what it shows."""

import hashlib
import json
import re
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import RecordError
from voiceassist.record.chain import FIRST_PREV, Entry, Harm, canonical, digest, examine
from voiceassist.record.journal import Journal, read, verify

AT = "2026-01-02T08:00:00.000+01:00"


# FIPS 180-4, the one-block example and the empty message.
@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    ],
)
def test_the_digest_is_sha_256(data: bytes, expected: str) -> None:
    assert digest(data) == expected


def test_a_line_has_the_hash_that_a_text_tool_gives_it() -> None:
    # The canonical form written by hand, hashed with GNU coreutils sha256sum.
    entry = Entry.made({"text": "8.4 Ω", "event": "say"}, seq=1, at=AT, prev=FIRST_PREV)
    assert entry.hash == "e7a36883af0c7f392f6cb995696bd93219e917b612b4fb8d3b664bf40ecb25e9"


def test_the_canonical_form_is_as_documented() -> None:
    fields = {"b": [1, 2.50, None, True], "a": {"ü": "Ω\n\x00", "é": "\udc80"}}
    assert canonical(fields) == (
        '{"a":{"é":"\\udc80","ü":"Ω\\n\\u0000"},"b":[1,2.5,null,true]}'.encode()
    )


def test_each_line_in_the_file_is_chained_to_the_one_before(
    kept: Sequence[Entry], path: Path
) -> None:
    prev = "0" * 64
    for line in path.read_bytes().splitlines():
        found = re.search(rb'"hash":"([0-9a-f]{64})",', line)
        assert found is not None
        assert hashlib.sha256(line.replace(found[0], b"")).hexdigest() == found[1].decode()
        assert json.loads(line)["prev"] == prev
        prev = found[1].decode()
    assert prev == kept[-1].hash


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.text()
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
WORDS = st.text(st.characters(codec=None, exclude_categories=()))


@given(st.lists(st.dictionaries(st.text(min_size=6) | st.just("words"), JSON | WORDS), max_size=4))
def test_any_line_reads_back_as_it_was_kept(lines: list[dict[str, Any]]) -> None:
    entries: list[Entry] = []
    for fields in lines:
        prev = entries[-1].hash if entries else FIRST_PREV
        entries.append(Entry.made({**fields, "event": "e"}, seq=len(entries) + 1, at=AT, prev=prev))
    report = examine(b"".join(entry.line for entry in entries))
    assert report.intact
    assert list(report.entries) == entries


@pytest.mark.parametrize(
    "fields",
    [
        {"event": "say", "seq": 7},
        {"event": "say", "hash": "0" * 64},
        {"event": "say", "value": float("nan")},
        {"event": ""},
        {"text": "no event"},
    ],
)
def test_a_line_that_cannot_be_kept_is_refused(fields: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        Entry.made(fields, seq=1, at=AT, prev=FIRST_PREV)


def test_an_entry_cannot_be_made_with_a_hash_that_does_not_fit(kept: Sequence[Entry]) -> None:
    with pytest.raises(ValueError, match="hash"):
        Entry({**kept[3].fields, "value": "8.4"})


# --- tampering ---

Tamper = Callable[[list[bytes]], list[bytes]]


def rehashed(line: bytes, **changes: object) -> bytes:
    """The line changed, with a hash that fits again."""
    fields = {**json.loads(line), **changes}
    del fields["hash"]
    seq, at, prev = fields.pop("seq"), fields.pop("at"), fields.pop("prev")
    return Entry.made(fields, seq=seq, at=at, prev=prev).line.rstrip(b"\n")


@pytest.mark.parametrize(
    ("tamper", "line", "harm"),
    [
        (lambda x: [*x[:3], x[3].replace(b"12.60", b"12.90", 1), x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], rehashed(x[3], value="12.90"), x[4]], 5, Harm.EDITED),
        (lambda x: [*x[:3], x[3].replace(b",", b", ", 1), x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], x[3][:-1] + b',"seq":4}', x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], b"not JSON", x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], b"[]", x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], b"\xff\xfe", x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], b"[" * 100_000, x[4]], 4, Harm.EDITED),
        (lambda x: [*x[:3], b"", *x[3:]], 4, Harm.EDITED),
        (lambda x: [rehashed(x[0], title="B"), *x[1:]], 2, Harm.EDITED),
        (lambda x: [*x[:2], *x[3:]], 3, Harm.REMOVED),
        (lambda x: x[1:], 1, Harm.REMOVED),
        (lambda x: [x[0], x[2], x[1], *x[3:]], 2, Harm.REORDERED),
        (lambda x: [*x[:3], x[1], *x[3:]], 4, Harm.REORDERED),
        (lambda x: x[::-1], 1, Harm.REORDERED),
    ],
)
def test_tampering_is_seen_with_its_line(
    kept: Sequence[Entry],
    path: Path,
    clock: Callable[[], datetime],
    tamper: Tamper,
    line: int,
    harm: Harm,
) -> None:
    lines = path.read_bytes().splitlines()
    path.write_bytes(b"\n".join(tamper(lines)) + b"\n")
    report = verify(path)
    assert report.fault is not None
    assert (report.fault.harm, report.fault.line) == (harm, line)
    assert len(report.entries) == line - 1
    with pytest.raises(RecordError, match=f"line {line}: the journal was altered"):
        read(path)
    before = path.read_bytes()
    with pytest.raises(RecordError, match="altered"):
        Journal.open(path, clock)
    assert path.read_bytes() == before


def test_every_single_changed_byte_is_seen(kept: Sequence[Entry], path: Path) -> None:
    data = path.read_bytes()
    for i in range(len(data)):
        assert not examine(data[:i] + bytes([data[i] ^ 1]) + data[i + 1 :]).intact, i


def test_an_untouched_journal_is_intact(kept: Sequence[Entry], path: Path) -> None:
    report = verify(path, kept[-1].hash)
    assert report.intact
    assert list(report.entries) == list(kept)
    assert report.last_hash == kept[-1].hash


def test_a_cut_end_is_seen_only_against_the_last_hash_kept_elsewhere(
    kept: Sequence[Entry], path: Path
) -> None:
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-2]))
    assert verify(path).intact
    report = verify(path, kept[-1].hash)
    assert report.fault is not None
    assert report.fault.harm is Harm.CUT


def test_lines_added_since_the_hash_was_noted_are_no_fault(
    kept: Sequence[Entry], path: Path
) -> None:
    assert verify(path, kept[1].hash).intact
