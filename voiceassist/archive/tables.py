"""The tables of the archive; a change to them raises ``schema.VERSION``.

Everything here is made from the journals and can be made again, but for ``seals`` (the last
hash seen of each journal, which tells when its end was cut since) and ``deletions``.

A session's ``number`` is its beginning in milliseconds since 1970 and fourteen bits of chance:
the youngest sessions are found first without sorting. ``place`` says whose folder of records a
session lies in, where several bays share one archive; it is empty in an archive of one's own.

A session is known by its own ``sid``, which its journal tells: a folder that is moved, or a
computer that gets another name, doubles nothing. ``place`` is the id that the folder of records
keeps in itself, and ``bays`` tells where that folder was last seen.
"""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    column,
    table,
)
from sqlalchemy.types import UserDefinedType

from voiceassist.archive.decimals import ExactDecimal

metadata = MetaData()

#: The integer that SQLite takes for its own row number.
Number = BigInteger().with_variant(Integer, "sqlite")
#: Text in the order of its code points, whatever the country of the database.
Ordered = Text().with_variant(Text(collation="C"), "postgresql")


class Query(UserDefinedType[str]):
    """PostgreSQL's ``tsquery``; its whole dialect would take long to import for that one name."""

    cache_ok = True

    def get_col_spec(self, **_: object) -> str:
        """The name of the type."""
        return "TSQUERY"


def _session() -> Column[int]:
    return Column(
        "session",
        Number,
        ForeignKey("sessions.number", ondelete="CASCADE"),
        primary_key=True,
        autoincrement=False,
    )


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


sessions = Table(
    "sessions",
    metadata,
    Column("number", Number, primary_key=True, autoincrement=False),
    *_texts("place", "folder", "began", "last_at", "procedure", "title", "procedure_sha256"),
    *_texts("repair_order", "order_key", "vehicle", "technician", "complaint", "facts"),
    *_texts("outcome", "finding", "cause", "last_hash", "chain"),
    Column("sid", Text, nullable=False, server_default=""),
    Column("worked_s", BigInteger, nullable=False, server_default="0"),
    Column("questions", Integer, nullable=False, server_default="0"),
    Column("ended", Boolean, nullable=False),
    Column("lines", Integer, nullable=False),
    Column("size", BigInteger, nullable=False),
    Column("mtime_ns", BigInteger, nullable=False),
    Column("missing", Boolean, nullable=False),
    UniqueConstraint("place", "folder", name="one_session_a_folder"),
)
Index("sessions_by_sid", sessions.c.sid, unique=True)
Index("sessions_by_order", sessions.c.order_key, sessions.c.number)
Index("sessions_by_procedure", sessions.c.procedure, sessions.c.number)

readings = Table(
    "readings",
    metadata,
    _session(),
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("seq", Integer, nullable=False),
    *_texts("at", "step", "shown", "quantity"),
    Column("value", ExactDecimal),
    *_texts("unit"),
    Column("base_key", Ordered),
    *_texts("accept", "verdict"),
    Column("rejudged", Boolean, nullable=False),
    *_texts("remark"),
    sqlite_with_rowid=False,
)
Index("readings_by_step", readings.c.step, readings.c.session)

#: Which verdicts a session has, for finding without reading all its readings.
verdicts = Table(
    "verdicts",
    metadata,
    Column("verdict", Text, primary_key=True),
    _session(),
    sqlite_with_rowid=False,
)
Index("verdicts_by_session", verdicts.c.session)

#: Test points of the steps of a procedure, known by the SHA-256 of its text.
points = Table(
    "points",
    metadata,
    Column("procedure_sha256", Text, primary_key=True),
    Column("step", Text, primary_key=True),
    Column("point", Text, primary_key=True),
    sqlite_with_rowid=False,
)
Index("points_by_name", points.c.point)

#: Full text. SQLite: an FTS5 table. PostgreSQL: tsvector columns with GIN indexes.
WORDS = ("said", "cause", "complaint", "vehicle")
words_sqlite = table("words", column("rowid"), *(column(name) for name in WORDS))
words_postgresql = table("words", column("session"), *(column(name) for name in WORDS))

#: The longest journal seen of each session, by its last hash.
seals = Table(
    "seals",
    metadata,
    Column("place", Text, primary_key=True),
    Column("folder", Text, primary_key=True),
    Column("lines", Integer, nullable=False),
    *_texts("last_hash"),
    Column("sid", Text, nullable=False, server_default=""),
)
Index("seals_by_sid", seals.c.sid)

#: Where each folder of records was last seen: host and path, for people.
bays = Table("bays", metadata, Column("place", Text, primary_key=True), *_texts("shown"))

deletions = Table(
    "deletions",
    metadata,
    Column("place", Text, primary_key=True),
    Column("folder", Text, primary_key=True),
    Column("number", Number, nullable=False),
    *_texts("removed_at", "removed_by", "reason", "last_hash"),
)
