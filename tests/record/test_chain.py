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
from voiceassist.record.chain import ChainFault, Harm, entry_in, examine
from voiceassist.record.entry import FIRST_PREV, Entry, canonical, digest
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify

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
    assert report.fault is None
    assert list(report.entries) == entries


@pytest.mark.parametrize(
    ("fields", "found"),
    [
        ({"event": "say", "seq": 7}, "seq of a line is for the journal to give"),
        (
            {"event": "say", "seq": 7, "hash": "0" * 64},
            "hash, seq of a line is for the journal to give",
        ),
        ({"event": ""}, "event is missing"),
        ({"text": "no event"}, "event is missing"),
    ],
)
def test_a_line_that_cannot_be_kept_is_refused(fields: dict[str, object], found: str) -> None:
    with pytest.raises(ValueError, match=f"^{found}$"):
        Entry.made(fields, seq=1, at=AT, prev=FIRST_PREV)


def test_what_json_has_no_number_for_is_not_kept() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        Entry.made({"event": "say", "value": float("nan")}, seq=1, at=AT, prev=FIRST_PREV)


@pytest.mark.parametrize(
    ("line", "found"),
    [
        (b"[]", "it is not a JSON object"),
        (b'{"at"', "it is not JSON"),
        (b'{"at":"\xff"}', "it is not JSON"),
        (b'{"seq":1} ', "event is missing"),
        (b'{"event":"say","seq":0}', "seq is not a whole number from 1 on"),
        (b'{"event":"say","seq":true}', "seq is not a whole number from 1 on"),
        (b'{"event":"","seq":1}', "event is missing"),
        (b'{"at":"noon","event":"say","seq":1}', "'noon' is not a date and time with offset"),
        (
            b'{"at":"2026-01-02T08:00:00Z","event":"say","prev":"0","seq":1}',
            "prev is not 64 hexadecimal digits",
        ),
    ],
)
def test_what_is_no_line_of_a_journal_is_told_by_what_it_lacks(line: bytes, found: str) -> None:
    told = entry_in(line)
    assert isinstance(told, str)
    assert told.startswith(found)


def test_a_line_with_a_surrogate_that_is_not_written_out_is_not_canonical() -> None:
    good = Entry.made({"event": "say", "text": "\udc80"}, seq=1, at=AT, prev=FIRST_PREV)
    line = good.line.rstrip(b"\n")
    assert entry_in(line) == good
    assert entry_in(line.replace(b"\\udc80", b"\xed\xb2\x80")) == "it is not in canonical form"


def test_an_entry_cannot_be_made_with_a_hash_that_does_not_fit(kept: Sequence[Entry]) -> None:
    with pytest.raises(ValueError, match=r"^the hash does not fit the line$"):
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


@pytest.mark.parametrize(
    ("tamper", "found"),
    [
        (lambda x: [*x[:3], b"not JSON", x[4]], "it was edited: it is not JSON"),
        (
            lambda x: [*x[:3], rehashed(x[3], value="12.90"), x[4]],
            "it does not follow the line before: one of the two was written anew",
        ),
        (lambda x: [*x[:2], *x[3:]], "lines were removed before it: here is 4, not 3"),
        (
            lambda x: [x[0], x[2], x[1], *x[3:]],
            "the lines were moved or repeated: here is 3, not 2",
        ),
        (lambda x: [*x[:3], x[1], *x[3:]], "the lines were moved or repeated: here is 2, not 4"),
    ],
)
def test_what_was_done_to_a_journal_is_told_in_a_clause(
    kept: Sequence[Entry], path: Path, tamper: Tamper, found: str
) -> None:
    fault = examine(b"".join(line + b"\n" for line in tamper(path.read_bytes().splitlines()))).fault
    assert fault is not None
    assert fault.found == found


def test_a_torn_and_a_cut_end_are_told_with_the_line_that_is_missing(
    kept: Sequence[Entry], path: Path
) -> None:
    data = path.read_bytes()
    torn = examine(data[:-3]).fault
    left = len(kept[-1].line) - 3
    assert torn == ChainFault(Harm.TORN, 5, f"the last line is torn; {left} bytes of it are there")
    whole = examine(data, kept[-1].hash)
    assert (whole.fault, whole.size) == (None, len(data))
    cut = examine(b"".join(entry.line for entry in kept[:3]), kept[-1].hash).fault
    told = "no line has the hash that was kept elsewhere: the end was cut or written anew"
    assert cut == ChainFault(Harm.CUT, 4, told)
    assert (examine(b"").last_hash, examine(b"").size) == ("0" * 64, 0)


def test_nothing_of_the_job_can_follow_its_end(clock: Callable[[], datetime], path: Path) -> None:
    late: list[dict[str, object]] = [{"event": "addendum"}, {"event": "repaired", "bytes": 3}]
    with Journal.create(path, clock) as journal:
        journal.append([{"event": "session"}, {"event": "end"}, *late])
    assert verify(path).fault is None
    with Journal.open(path, clock) as journal:
        journal.append([{"event": "end"}])
    fault = verify(path).fault
    told = "'end' was added after the job was closed in line 2"
    assert fault == ChainFault(Harm.ADDED, 5, told)


def test_every_single_changed_byte_is_seen(kept: Sequence[Entry], path: Path) -> None:
    data = path.read_bytes()
    for i in range(len(data)):
        assert examine(data[:i] + bytes([data[i] ^ 1]) + data[i + 1 :]).fault is not None, i


def test_an_untouched_journal_is_intact(kept: Sequence[Entry], path: Path) -> None:
    report = verify(path, kept[-1].hash)
    assert report.fault is None
    assert list(report.entries) == list(kept)
    assert report.last_hash == kept[-1].hash


def test_a_cut_end_is_seen_only_against_the_last_hash_kept_elsewhere(
    kept: Sequence[Entry], path: Path
) -> None:
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-2]))
    assert verify(path).fault is None
    report = verify(path, kept[-1].hash)
    assert report.fault is not None
    assert report.fault.harm is Harm.CUT


def test_lines_added_since_the_hash_was_noted_are_no_fault(
    kept: Sequence[Entry], path: Path
) -> None:
    assert verify(path, kept[1].hash).fault is None
