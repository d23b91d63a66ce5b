"""A line of a journal with its hash, which ties it to the line before. Bytes in, values out.

A line is the canonical form of its fields, then a newline. Canonical form: one JSON object,
keys sorted by code point at every depth, no blanks between tokens, characters outside ASCII
as they are, in UTF-8; lone surrogates, which UTF-8 cannot hold, as ``\\udXXX``; no NaN or
infinity; numbers as Python's ``json`` writes them::

    json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False,
               allow_nan=False).encode("utf-8", "backslashreplace")

Every line has ``seq`` (1, 2, 3 ...), ``at`` (RFC 3339, to the millisecond), ``event``,
``prev`` (the ``hash`` of the line before; 64 zeros in the first) and ``hash``: SHA-256
(FIPS 180-4), in small hexadecimal, over the canonical form of all fields but ``hash``.
"""

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType

from voiceassist.record import times
from voiceassist.record.lines import Line, line_of

#: ``prev`` of the first line.
FIRST_PREV = "0" * 64
#: Fields that the chain itself gives to a line.
CHAIN_FIELDS = frozenset({"seq", "prev", "hash"})
#: Made once: ``json.dumps`` makes one at each call.
_ENCODER = json.JSONEncoder(
    sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
)
_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


def canonical(fields: Mapping[str, object]) -> bytes:
    """The canonical form of ``fields``, without newline.

    Raises:
        TypeError, ValueError: something in ``fields`` cannot be written as JSON.
    """
    return _ENCODER.encode(dict(fields)).encode("utf-8", "backslashreplace")


def digest(data: bytes) -> str:
    """SHA-256 of ``data`` in small hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def hash_of(fields: Mapping[str, object]) -> str:
    """SHA-256 of the canonical form of ``fields`` without ``hash``."""
    rest = {name: value for name, value in fields.items() if name != "hash"}
    return digest(canonical(rest))


@dataclass(frozen=True, slots=True)
class Entry:
    """One kept line; it cannot be made with a wrong hash.

    Parts:
        fields: everything in the line, the fields of the chain too.
        typed: the line in its type; made once, since every page and file asks for it.
    """

    fields: Mapping[str, object]
    typed: Line = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        self._set(dict(self.fields))
        self._check()
        if hash_of(self.fields) != self.hash:
            raise ValueError("the hash does not fit the line")

    def _check(self) -> None:
        seq, event = self.fields.get("seq"), self.fields.get("event")
        if type(seq) is not int or seq < 1:
            raise ValueError("seq is not a whole number from 1 on")
        if not isinstance(event, str) or not event:
            raise ValueError("event is missing")
        times.parsed(str(self.fields.get("at")))
        for name in ("prev", "hash"):
            if not _HASH.fullmatch(str(self.fields.get(name))):
                raise ValueError(f"{name} is not 64 hexadecimal digits")

    def _set(self, fields: dict[str, object]) -> None:
        object.__setattr__(self, "fields", shown := MappingProxyType(fields))
        object.__setattr__(self, "typed", line_of(shown))

    @classmethod
    def read(cls, fields: dict[str, object], line: bytes) -> "Entry":
        """The entry whose ``fields`` are written canonically in ``line``, and nowhere else.

        The hash is taken over the line without its own hash, which saves writing it once more.

        Raises:
            TypeError, ValueError: it is not a line of a journal.
        """
        entry = object.__new__(cls)
        entry._set(fields)
        entry._check()
        own = f',"hash":"{entry.hash}"'.encode()  # "at" stands before it in every line
        once = line.count(own) == 1  # an object within could hold the same
        if (digest(line.replace(own, b"")) if once else hash_of(fields)) != entry.hash:
            raise ValueError("the hash does not fit the line")
        return entry

    @classmethod
    def made(cls, fields: Mapping[str, object], *, seq: int, at: str, prev: str) -> "Entry":
        """Seal ``fields`` as line ``seq`` after the line with hash ``prev``.

        Raises:
            TypeError, ValueError: the fields cannot be written as JSON, have no event, or
                bring their own ``seq``, ``prev`` or ``hash``.
        """
        own = CHAIN_FIELDS & set(fields)
        if own:
            raise ValueError(f"{', '.join(sorted(own))} of a line is for the journal to give")
        # Taken as they read back, so that the hash holds then: tuples are lists, and so on.
        plain = json.loads(canonical({**fields, "seq": seq, "at": at, "prev": prev}))
        return cls(plain | {"hash": hash_of(plain)})

    @property
    def seq(self) -> int:
        """Its number, from 1 on."""
        seq = self.fields["seq"]
        assert isinstance(seq, int)  # checked when made
        return seq

    @property
    def event(self) -> str:
        """What kind of line it is."""
        return str(self.fields["event"])

    @property
    def at(self) -> datetime:
        """When it was kept, with offset from UTC."""
        return times.parsed(str(self.fields["at"]))

    @property
    def prev(self) -> str:
        """Hash of the line before."""
        return str(self.fields["prev"])

    @property
    def hash(self) -> str:
        """Its own hash."""
        return str(self.fields["hash"])

    @property
    def line(self) -> bytes:
        """The line as it stands in the file, newline and all."""
        return canonical(self.fields) + b"\n"

    def to_json(self) -> dict[str, object]:
        """Its fields, ready for ``json.dumps``."""
        return dict(self.fields)


def lines_of(entries: Iterable[Entry]) -> tuple[Line, ...]:
    """Every line in its type."""
    return tuple(entry.typed for entry in entries)
