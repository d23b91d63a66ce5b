"""Writes starter files: a procedure or a meter to put one's own in place of."""

import json
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from voiceassist import resources
from voiceassist.errors import ResourceError, SettingsError
from voiceassist.procedure.faults import Fault, Severity
from voiceassist.procedure.meter_file import inspect_meter
from voiceassist.procedure.read import inspect


@dataclass(frozen=True, slots=True)
class _Starter:
    """A kind of starter file.

    Parts:
        template: name of its text in this package.
        schema: name of the JSON Schema that its first line points at.
        title: taken when none is given.
    """

    template: str
    schema: str
    title: str


_PROCEDURE = _Starter("starter.yaml", "procedure.schema.json", "The part does not work")
_METER = _Starter("starter-meter.yaml", "meter.schema.json", "hand meter")


def start(name: str, *, title: str = "", folder: str = "", meter: bool = False) -> Path:
    """Write a starter file, and beside it the schema that an editor completes it by.

    Nothing that is there already is changed.

    Args:
        name: of the procedure or meter; the file is called so too.
        title: its title; a plain one when empty.
        folder: where it goes; the working folder when empty.
        meter: a meter file instead of a procedure.

    Raises:
        SettingsError: the name or title cannot be used.
        ResourceError: there is already such a file, no such folder, or it cannot be written.
    """
    starter = _METER if meter else _PROCEDURE
    text = _text(starter, name, title or starter.title)
    home = Path(folder)
    if not home.is_dir():
        raise ResourceError("there is no such folder", place=folder, remedy="make it first")
    path = home / f"{name}.yaml"
    if not _written(path, text):
        raise ResourceError(
            "there is already such a file", place=str(path), remedy="choose another name"
        )
    schema = resources.read_text(resources.folder("procedures") / starter.schema)
    _written(home / starter.schema, schema)
    return path


def _text(starter: _Starter, name: str, title: str) -> str:
    """The file's text, which loads without faults."""
    text = files("voiceassist.app.desk").joinpath(starter.template).read_text(encoding="utf-8")
    text = text.replace(": TITLE", f": {json.dumps(title, ensure_ascii=False)}", 1)
    text = text.replace(": NAME", f": {name}", 1)
    for fault in _faults(starter, text):
        if fault.level is Severity.ERROR:
            raise SettingsError(fault.message, place="--title" if fault.path == "title" else "NAME")
    return text


def _faults(starter: _Starter, text: str) -> tuple[Fault, ...]:
    return inspect_meter(text)[1] if starter is _METER else inspect(text)[1]


def _written(path: Path, text: str) -> bool:
    """Write a new file; False, and nothing changed, when there is one already.

    Raises:
        ResourceError: it cannot be written.
    """
    made = False
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            made = True
            file.write(text)
    except FileExistsError:
        return False
    except OSError as error:
        if made:
            path.unlink(missing_ok=True)
        raise ResourceError(f"it cannot be written: {error.strerror}", place=str(path)) from None
    return True
