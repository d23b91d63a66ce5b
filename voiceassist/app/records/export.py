"""A session written out: JSON, CSV, WebVTT, plain text, or all of it in a zip with the sound."""

import csv
import io
import json
import re
import secrets
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from voiceassist.app.new_file import make_new, write_new
from voiceassist.app.pages.session_folder import KeptSession
from voiceassist.app.records.find_session import about, reading
from voiceassist.errors import RecordError
from voiceassist.record import disk
from voiceassist.record.transcript import Transcript
from voiceassist.record.webvtt import one_line

COLUMNS = (
    *("session", "repair order", "vehicle", "procedure", "number", "at", "step", "test points"),
    *("reading", "quantity", "value", "unit", "limit", "verdict", "counts", "remark"),
)
#: What spreadsheets take a cell for a formula by; controls are gone before.
_FORMULA = frozenset("=+-@＝＋－＠")
_NUMBER = re.compile(r"[+-]?[0-9.]+( [^\W\d_]+| [%Ω°]+[^\W\d_]?)?")


def as_json(kept: KeptSession) -> str:
    """What ``records show`` tells, and every line of the journal as ``events``."""
    whole = {**about(kept), "events": [entry.to_json() for entry in kept.entries]}
    text = json.dumps(whole, ensure_ascii=False, indent=1)
    return text.encode("utf-8", "backslashreplace").decode("utf-8") + "\n"


def as_csv(kept: KeptSession) -> str:
    """The readings as RFC 4180 has it: a header, CRLF, quotes where they are needed.

    No cell is a formula: see ``cell``.
    """
    content = io.StringIO(newline="")
    table = csv.writer(content, dialect="excel")
    table.writerow(COLUMNS)
    summary = kept.summary
    head = (
        kept.folder.id,
        summary.fact("repair order"),
        summary.fact("vehicle"),
        summary.procedure,
    )
    for number, measured in enumerate(summary.readings, 1):
        told_of = reading(kept, measured)
        cells = [*head, number, told_of["at"], told_of["step"], ", ".join(told_of["points"])]
        cells += [told_of[name] for name in ("reading", "quantity", "value", "unit", "limit")]
        cells += [told_of["verdict"], "yes" if told_of["counts"] else "no", told_of["remark"]]
        table.writerow(["" if one is None else cell(one_line(str(one))) for one in cells])
    return content.getvalue()


def cell(text: str) -> str:
    """``text`` as a spreadsheet shows it and never works it out.

    One that begins as a formula does ("=", "+", "-", "@") has an apostrophe before it, unless it
    is a number, with its unit or without.
    """
    return f"'{text}" if text[:1] in _FORMULA and not _NUMBER.fullmatch(text) else text


#: Name of a form -> how it is made.
TEXTS: Mapping[str, Callable[[KeptSession], str]] = MappingProxyType(
    {
        "json": as_json,
        "csv": as_csv,
        "vtt": lambda kept: Transcript(kept.entries).webvtt(),
        "txt": lambda kept: Transcript(kept.entries).plain_text(),
    }
)
ZIP = "zip"
FORMS = (*TEXTS, ZIP)


def form_of(asked: str, out: str) -> str:
    """The form that is asked for, or that the ending of the file's name tells.

    Raises:
        RecordError: there is no such form.
    """
    form = asked.lower() or Path(out).suffix.removeprefix(".").lower() or "json"
    if form not in FORMS:
        raise RecordError(
            f"{form!r} is not an export format", place="--as", remedy="use " + ", ".join(FORMS)
        )
    return form


def write(kept: KeptSession, form: str, out: Path) -> None:
    """Write the session to a new file, for its owner alone.

    Raises:
        RecordError: the file is there already, or the disk refuses it.
    """
    if form == ZIP:
        make_new(out, lambda: _write_zip(kept, out))
    else:
        write_new(out, TEXTS[form](kept).encode("utf-8"))


def _write_zip(kept: KeptSession, out: Path) -> None:
    """Everything in the folder, and the other forms beside it."""
    made = {"session.json": as_json(kept), "readings.csv": as_csv(kept)}
    draft = out.with_name(f".{out.name}.{secrets.token_hex(4)}")
    try:
        disk.write_whole(draft, b"")  # for its owner alone from the beginning
        with zipfile.ZipFile(draft, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:
            for path in sorted(kept.folder.path.rglob("*")):
                name = str(path.relative_to(kept.folder.path))
                mine = name in made or path.name == draft.name
                if path.is_file() and not path.is_symlink() and not mine:
                    archive.write(path, f"{kept.folder.id}/{name}")
            for name, text in made.items():
                archive.writestr(f"{kept.folder.id}/{name}", text.encode("utf-8"))
        draft.replace(out)
    finally:
        draft.unlink(missing_ok=True)
