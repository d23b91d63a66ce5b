"""YAML text to plain values with the line of each, safely.

Every scalar stays the text that was written: "off" is not False and "12.60" keeps its
zero. Tags, aliases and repeated keys are faults, so no file can run code or swell.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

import yaml

from voiceassist.procedure.faults import Fault, Severity

#: Larger files are refused before they are read.
MOST_CHARACTERS = 1_000_000
_DEEPEST = 20
_TOO_DEEP = f"parts are nested more than {_DEEPEST} deep"
_STANDARD, _CODE = "tag:yaml.org,2002:", "tag:yaml.org,2002:python"
#: The parser in C is some ten times as fast; not every platform's wheel holds it.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

#: What the parser says of the slips that writers make most, and what would do.
_HINTS = (
    ("mapping values are not allowed", "a text with a colon in it is put in quotes, a block "
     "begins on a line below, and the keys of a block stand in one column"),
    ("expected ',' or", "inside { } or [ ] quote a text with a colon or comma, and close what "
     "opens"),
    ("cannot start any token", "put a text that begins with such a sign in quotes"),
    ("comment or line break", "put a text that begins with such a sign in quotes; a limit is "
     "written 'at least 10 A' or 'at most 10 A'"),
    ("expected key", "the keys of a block stand in one column, and a text in quotes ends with "
     "its quote"),
    ("expected ':'", "after a key write a colon and a space"),
    ("end of stream", "a quote opens here, and nothing closes it; close it, or put the text in "
     "quotes of the other kind"),
)  # fmt: skip

Value = str | list["Value"] | dict[str, "Value"]
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Tree:
    """A YAML file read.

    Parts:
        value: nested dicts, lists and strings.
        lines: path to line, from 1.
        faults: what was wrong; the value leaves those parts out.
    """

    value: Value
    lines: dict[Path, int]
    faults: tuple[Fault, ...]

    def line(self, path: Path) -> int:
        """The line of ``path`` or of the nearest part above it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def dotted(path: Path) -> str:
    """Write a path as people read it: ``steps.feed.needs[0]``."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


def read_tree(text: str) -> Tree:
    """Read YAML ``text``; never raises for anything the text holds."""
    if len(text) > MOST_CHARACTERS:
        return _refused(0, f"{len(text)} characters are too many to read")
    builder = _TreeBuilder(text)
    try:
        value = builder.document()
    except yaml.MarkedYAMLError as error:
        line = _line_of(text, _mark(error))
        return _refused(line, f"this is not YAML: {_problem(error)}{_hint(text, line, error)}")
    except yaml.reader.ReaderError as error:
        return _refused(_reader_line(text, error), f"this is not YAML: {error.reason}")
    except (yaml.YAMLError, UnicodeError) as error:
        return _refused(1, f"this is not YAML: {error}")
    return Tree(value, builder.lines, tuple(builder.faults))


def _refused(line: int, message: str) -> Tree:
    return Tree({}, {}, (_fault((), line, message),))


def _problem(error: yaml.MarkedYAMLError) -> str:
    """What the parser says; it has a limit of its own for nesting, and reads ahead."""
    said = str(error.problem)
    return _TOO_DEEP if "nesting depth" in said else said


def _hint(text: str, line: int, error: yaml.MarkedYAMLError) -> str:
    """What would do, for the slips that writers make most."""
    lines = text.splitlines()
    here = lines[line - 1] if line <= len(lines) else ""
    said = str(error.problem)
    if "\t" in here and ("tab" in said or "cannot start" in said):
        return "; a tab stands here: indent with spaces, and take the tab out"
    return next((f"; {remedy}" for sign, remedy in _HINTS if sign in said), "")


def _mark(error: yaml.MarkedYAMLError) -> yaml.Mark | None:
    """Where the slip is; an open quote, and a key without its colon, are noticed only later."""
    if error.context in {"while scanning a quoted scalar", "while scanning a simple key"}:
        return error.context_mark
    return error.problem_mark or error.context_mark


def _line_of(text: str, mark: yaml.Mark | None) -> int:
    """The line of ``mark``; at the end of a text it can point behind the last line."""
    return min(mark.line + 1, len(text.splitlines()) or 1) if mark else 1


def _reader_line(text: str, error: yaml.reader.ReaderError) -> int:
    """The line of a character that YAML does not allow."""
    char = chr(error.character) if isinstance(error.character, int) else error.character
    at = text.find(char)
    return text.count("\n", 0, at) + 1 if at >= 0 else 1


def _marked(problem: str, event: yaml.Event) -> yaml.MarkedYAMLError:
    return yaml.MarkedYAMLError(problem=problem, problem_mark=cast("yaml.Mark", event.start_mark))


def _fault(path: Path, line: int, message: str) -> Fault:
    return Fault(Severity.ERROR, dotted(path), line, message)


def _no_value(key: str) -> str:
    """A key in braces without a value: a colon that lacks its space, or a comma in a text."""
    name, colon, state = key.partition(":")
    if colon:
        return f"{key!r} has no value; after a colon leave a space: '{name}: {state}'"
    remedy = "put a text with a comma in quotes, and write numbers with a point"
    return f"{key!r} has no value; inside {{ }} {remedy}"


def _line(event: yaml.Event) -> int:
    mark = event.start_mark
    return mark.line + 1 if mark else 1


class _TreeBuilder:
    """Builds values straight from the parser's events, so nothing is built that is refused."""

    def __init__(self, text: str) -> None:
        self._events = self._checked(text)
        self.lines: dict[Path, int] = {}
        self.faults: list[Fault] = []

    def document(self) -> Value:
        """The value of the only document; an empty mapping when there is none."""
        value: Value | None = None
        for event in self._events:
            if isinstance(event, yaml.DocumentStartEvent):
                if value is not None:
                    raise _marked("a second document begins here; keep one in a file", event)
                value = self._node(next(self._events), ())
        return {} if value is None else value

    def _checked(self, text: str) -> Iterator[yaml.Event]:
        """The events; raises for aliases and for nesting too deep, before anything is built."""
        depth = 0
        for event in yaml.parse(text, Loader=_LOADER):
            if isinstance(event, yaml.AliasEvent):
                raise _marked("aliases (*name) are not used here; write the part out", event)
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > _DEEPEST:
                    raise _marked(_TOO_DEEP, event)
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            yield event

    def _node(self, event: yaml.Event, path: Path) -> Value:
        self.lines.setdefault(path, _line(event))
        tag = getattr(event, "tag", None)
        if tag not in {None, "!"} and (not tag.startswith(_STANDARD) or tag.startswith(_CODE)):
            self._skip(event)
            message = f"the tag {tag} is not used here; leave it out"
            self.faults.append(_fault(path, self.lines[path], message))
            return ""
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(path, in_braces=bool(event.flow_style))
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(path)
        assert isinstance(event, yaml.ScalarEvent)
        return str(event.value).strip()

    def _sequence(self, path: Path) -> list[Value]:
        result: list[Value] = []
        while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
            result.append(self._node(event, (*path, len(result))))
        return result

    def _mapping(self, path: Path, *, in_braces: bool) -> dict[str, Value]:
        result: dict[str, Value] = {}
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                self.faults.append(_fault(path, _line(event), "a name here must be plain text"))
                self._skip(event)
                self._skip(next(self._events))
                continue
            key = str(event.value).strip()
            if key in result:
                message = f"{key!r} stands here twice; keep one of them"
                self.faults.append(_fault((*path, key), _line(event), message))
                self._skip(next(self._events))
                continue
            self.lines[(*path, key)] = _line(event)
            value = self._node(next(self._events), (*path, key))
            if value == "" and in_braces:
                self.faults.append(_fault((*path, key), _line(event), _no_value(key)))
            else:
                result[key] = value
        return result

    def _skip(self, event: yaml.Event) -> None:
        """Pass over the rest of a node that begins with ``event``."""
        depth = 1 if isinstance(event, yaml.CollectionStartEvent) else 0
        while depth:
            event = next(self._events)
            depth += isinstance(event, yaml.CollectionStartEvent)
            depth -= isinstance(event, yaml.CollectionEndEvent)
