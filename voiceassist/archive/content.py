"""Whether rows hold what was put there: SQLite takes any kind of value into any column."""

from collections.abc import Mapping, Sequence

from sqlalchemy import RowMapping

from voiceassist.archive import tables
from voiceassist.archive.decimals import ExactDecimal
from voiceassist.errors import ArchiveContentError


def _kinds() -> Mapping[str, frozenset[type]]:
    """Name of a column to the kinds of its values, in whichever table."""
    found: dict[str, frozenset[type]] = {}
    for table in tables.metadata.tables.values():
        for column in table.columns:
            if not isinstance(column.type, ExactDecimal):  # it checks its values itself
                kind = column.type.python_type
                found[column.name] = found.get(column.name, frozenset({type(None)})) | {kind}
    return found


_KINDS = _kinds()


def checked(found: Sequence[RowMapping]) -> Sequence[RowMapping]:
    """``found``, each value of the kind of its column.

    Raises:
        ArchiveContentError: one is not.
    """
    if found:
        kinds = [(name, _KINDS[name]) for name in found[0] if name in _KINDS]
        for row in found:
            for name, kind in kinds:
                if type(row[name]) not in kind:
                    raise wrong(row, name)
    return found


def wrong(row: RowMapping, name: str) -> ArchiveContentError:
    """That ``row`` holds no such thing as belongs into its column ``name``."""
    of = f" of session {row['folder']}" if isinstance(row.get("folder"), str) else ""
    return ArchiveContentError(
        f"the archive holds {row[name]!r} as {name}{of}",
        remedy="make it anew: voiceassist records rebuild",
    )
