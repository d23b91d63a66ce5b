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

import sqlalchemy as sa
from sqlalchemy.types import UserDefinedType

from voiceassist.archive.decimals import ExactDecimal

metadata = sa.MetaData()

#: The integer that SQLite takes for its own row number.
Number = sa.BigInteger().with_variant(sa.Integer, "sqlite")
#: Text in the order of its code points, whatever the country of the database.
Ordered = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


class Query(UserDefinedType[str]):
    """PostgreSQL's ``tsquery``; its whole dialect would take long to import for that one name."""

    cache_ok = True

    def get_col_spec(self, **_: object) -> str:
        """The name of the type."""
        return "TSQUERY"


def _session() -> sa.Column[int]:
    return sa.Column(
        "session",
        Number,
        sa.ForeignKey("sessions.number", ondelete="CASCADE"),
        primary_key=True,
        autoincrement=False,
    )


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text, nullable=False) for name in names]


sessions = sa.Table(
    "sessions",
    metadata,
    sa.Column("number", Number, primary_key=True, autoincrement=False),
    *_texts("place", "folder", "began", "last_at", "procedure", "title", "procedure_sha256"),
    *_texts("repair_order", "order_key", "vehicle", "technician", "complaint", "facts"),
    *_texts("outcome", "finding", "cause", "last_hash", "chain"),
    sa.Column("sid", sa.Text, nullable=False, server_default=""),
    sa.Column("worked_s", sa.BigInteger, nullable=False, server_default="0"),
    sa.Column("questions", sa.Integer, nullable=False, server_default="0"),
    sa.Column("ended", sa.Boolean, nullable=False),
    sa.Column("lines", sa.Integer, nullable=False),
    sa.Column("size", sa.BigInteger, nullable=False),
    sa.Column("mtime_ns", sa.BigInteger, nullable=False),
    sa.Column("missing", sa.Boolean, nullable=False),
    sa.UniqueConstraint("place", "folder", name="one_session_a_folder"),
)
sa.Index("sessions_by_sid", sessions.c.sid, unique=True)
sa.Index("sessions_by_order", sessions.c.order_key, sessions.c.number)
sa.Index("sessions_by_procedure", sessions.c.procedure, sessions.c.number)

readings = sa.Table(
    "readings",
    metadata,
    _session(),
    sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("seq", sa.Integer, nullable=False),
    *_texts("at", "step", "shown", "quantity"),
    sa.Column("value", ExactDecimal),
    *_texts("unit"),
    sa.Column("base_key", Ordered),
    *_texts("accept", "verdict"),
    sa.Column("rejudged", sa.Boolean, nullable=False),
    *_texts("remark"),
    sqlite_with_rowid=False,
)
sa.Index("readings_by_step", readings.c.step, readings.c.session)

#: Which verdicts a session has, for finding without reading all its readings.
verdicts = sa.Table(
    "verdicts",
    metadata,
    sa.Column("verdict", sa.Text, primary_key=True),
    _session(),
    sqlite_with_rowid=False,
)
sa.Index("verdicts_by_session", verdicts.c.session)

#: Test points of the steps of a procedure, known by the SHA-256 of its text.
points = sa.Table(
    "points",
    metadata,
    sa.Column("procedure_sha256", sa.Text, primary_key=True),
    sa.Column("step", sa.Text, primary_key=True),
    sa.Column("point", sa.Text, primary_key=True),
    sqlite_with_rowid=False,
)
sa.Index("points_by_name", points.c.point)

#: Full text. SQLite: an FTS5 table. PostgreSQL: tsvector columns with GIN indexes.
WORDS = ("said", "cause", "complaint", "vehicle")
words_sqlite = sa.table("words", sa.column("rowid"), *(sa.column(name) for name in WORDS))
words_postgresql = sa.table("words", sa.column("session"), *(sa.column(name) for name in WORDS))

#: The longest journal seen of each session, by its last hash.
seals = sa.Table(
    "seals",
    metadata,
    sa.Column("place", sa.Text, primary_key=True),
    sa.Column("folder", sa.Text, primary_key=True),
    sa.Column("lines", sa.Integer, nullable=False),
    *_texts("last_hash"),
    sa.Column("sid", sa.Text, nullable=False, server_default=""),
)
sa.Index("seals_by_sid", seals.c.sid)

#: Where each folder of records was last seen: host and path, for people.
bays = sa.Table("bays", metadata, sa.Column("place", sa.Text, primary_key=True), *_texts("shown"))

deletions = sa.Table(
    "deletions",
    metadata,
    sa.Column("place", sa.Text, primary_key=True),
    sa.Column("folder", sa.Text, primary_key=True),
    sa.Column("number", Number, nullable=False),
    *_texts("removed_at", "removed_by", "reason", "last_hash"),
)
