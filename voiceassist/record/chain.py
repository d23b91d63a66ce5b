"""The chain of hashes through a journal, and what is wrong with one. Bytes in, values out.

What the chain shows (Haber and Stornetta 1991): a line edited, removed or moved breaks every
hash after it. What it cannot show: lines cut from the end, or a whole journal written anew,
unless the last hash is kept elsewhere; that is why transcript and report carry it.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from voiceassist.record.entry import FIRST_PREV, Entry

#: For what was just read: it holds itself nowhere, which need not be looked for.
_AGAIN = json.JSONEncoder(
    sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False, check_circular=False
)
_DECODER = json.JSONDecoder()
#: What may follow the line that closes a job: it is about the record, or was added to it later
#: and says so. Nothing else that was written there is part of the job.
AFTER_END = frozenset(
    {"sound-lost", "repaired", "record", "interrupted", "addendum", "picture", "picture-refused"}
)


class Harm(Enum):
    """What can be wrong with a journal."""

    EDITED = "edited"
    REMOVED = "removed"
    REORDERED = "reordered"
    TORN = "torn"
    CUT = "cut"
    ADDED = "added"


@dataclass(frozen=True, slots=True)
class ChainFault:
    """The first thing wrong with a journal.

    Parts:
        harm: what kind.
        line: number of the line in the file, from 1 on.
        found: one clause that says what is wrong there.
    """

    harm: Harm
    line: int
    found: str


@dataclass(frozen=True, slots=True)
class ChainReport:
    """What a look through a journal gave.

    Parts:
        entries: the lines before the fault, all of them without one.
        fault: the first thing wrong; None when the chain is intact. A cut end can only be seen
            against a hash kept elsewhere.
        tail: bytes of a torn last line.
    """

    entries: tuple[Entry, ...]
    fault: ChainFault | None = None
    tail: bytes = b""

    @property
    def last_hash(self) -> str:
        """Hash of the last good line; 64 zeros when there is none."""
        return self.entries[-1].hash if self.entries else FIRST_PREV

    @property
    def size(self) -> int:
        """Bytes that the good lines take."""
        return sum(len(entry.line) for entry in self.entries)


def examine(data: bytes, known_hash: str = "") -> ChainReport:
    """Go through the journal ``data``.

    Args:
        data: the whole file.
        known_hash: hash of a line that must be there, kept elsewhere; empty for none.
    """
    lines, tail = _lines_and_tail(data)
    entries: list[Entry] = []
    end = 0  # number of the line that closes the job
    for number, line in enumerate(lines, 1):
        entry = entry_in(line)
        fault = _fault(entry, entries, lines)
        if fault is None and isinstance(entry, Entry):
            fault = _added(entry, end)
        if fault is not None:
            return ChainReport(tuple(entries), ChainFault(fault[0], number, fault[1]))
        assert isinstance(entry, Entry)
        entries.append(entry)
        end = end or (number if entry.event == "end" else 0)
    return ChainReport(tuple(entries), _at_the_end(entries, tail, known_hash), tail)


def entry_in(line: bytes) -> Entry | str:
    """The entry that ``line``, without newline, holds, or a clause that says why there is none."""
    try:
        fields = _fields_in(line)
        if not isinstance(fields, dict):
            return "it is not a JSON object"
        if _AGAIN.encode(fields).encode("utf-8", "backslashreplace") == line:
            return Entry.read(fields, line)
        Entry(fields)
    except (json.JSONDecodeError, UnicodeDecodeError, RecursionError):
        return "it is not JSON"
    except (TypeError, ValueError) as error:
        return str(error)
    return "it is not in canonical form"


def _fields_in(line: bytes) -> object:
    """What the JSON text ``line`` holds; one that begins as every line of ours needs no guessing
    at its encoding."""
    if line.startswith(b'{"'):
        found, end = _DECODER.raw_decode(text := line.decode("utf-8", "surrogatepass"))
        if end == len(text):
            return found
    return json.loads(line)


def _lines_and_tail(data: bytes) -> tuple[list[bytes], bytes]:
    """Whole lines, and what a power cut left of the last one.

    A line is torn when its newline is missing, or when it is the last and holds NUL bytes:
    blocks that were given to the file but never written.
    """
    *lines, tail = data.split(b"\n")
    if not tail and lines and b"\0" in lines[-1]:
        tail = lines.pop() + b"\n"
    return lines, tail


def _fault(
    entry: Entry | str, before: Sequence[Entry], lines: Sequence[bytes]
) -> tuple[Harm, str] | None:
    if isinstance(entry, str):
        return Harm.EDITED, f"it was edited: {entry}"
    expected = len(before) + 1
    if entry.seq != expected:
        return _misplaced(entry.seq, expected, lines)
    if entry.prev != (before[-1].hash if before else FIRST_PREV):
        return Harm.EDITED, "it does not follow the line before: one of the two was written anew"
    return None


def _added(entry: Entry, end: int) -> tuple[Harm, str] | None:
    """A job that is closed stays so."""
    if not end or entry.event in AFTER_END:
        return None
    return Harm.ADDED, f"{entry.event!r} was added after the job was closed in line {end}"


def _misplaced(seq: int, expected: int, lines: Sequence[bytes]) -> tuple[Harm, str]:
    later = [entry_in(line) for line in lines[expected:]]
    there = any(isinstance(entry, Entry) and entry.seq == expected for entry in later)
    if seq < expected or there:
        return Harm.REORDERED, f"the lines were moved or repeated: here is {seq}, not {expected}"
    return Harm.REMOVED, f"lines were removed before it: here is {seq}, not {expected}"


def _at_the_end(entries: Sequence[Entry], tail: bytes, known_hash: str) -> ChainFault | None:
    if tail:
        found = f"the last line is torn; {len(tail)} bytes of it are there"
        return ChainFault(Harm.TORN, len(entries) + 1, found)
    if known_hash and not any(entry.hash.startswith(known_hash) for entry in entries):
        found = "no line has the hash that was kept elsewhere: the end was cut or written anew"
        return ChainFault(Harm.CUT, len(entries) + 1, found)
    return None
