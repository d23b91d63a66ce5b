"""YAML text to plain values with the line of each, safely.

Every scalar stays the text that was written: "off" is not False and "12.60" keeps its
zero. Tags, aliases and repeated keys are faults, so no file can run code or swell.
"""

from dataclasses import dataclass
from typing import cast

import yaml
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from voiceassist.procedure.faults import Fault, Level

#: Larger files are refused before they are read.
MOST_CHARACTERS = 1_000_000
_DEEPEST = 20

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
        return Tree({}, {}, (_fault((), 0, f"{len(text)} characters are too many to read"),))
    try:
        node = _first_document(text)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        return Tree({}, {}, (_fault((), line, f"this is not YAML: {error.problem}"),))
    except (yaml.YAMLError, RecursionError) as error:
        return Tree({}, {}, (_fault((), 1, f"this is not YAML: {error}"),))
    builder = _Builder()
    value = builder.build(node, ()) if node is not None else {}
    return Tree(value, builder.lines, tuple(builder.faults))


def _first_document(text: str) -> Node | None:
    _refuse_what_swells(text)
    loader = yaml.SafeLoader(text)
    try:
        node: Node | None = loader.get_single_node()
        return node
    finally:
        loader.dispose()


def _refuse_what_swells(text: str) -> None:
    """Raise for aliases and for nesting too deep, before anything is built."""
    depth = 0
    for event in yaml.parse(text, Loader=yaml.SafeLoader):
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if isinstance(event, yaml.AliasEvent):
            raise _marked("aliases (*name) are not used in procedures; write the part out", event)
        if depth > _DEEPEST:
            raise _marked(f"parts are nested more than {_DEEPEST} deep", event)


def _marked(problem: str, event: yaml.Event) -> yaml.MarkedYAMLError:
    return yaml.MarkedYAMLError(problem=problem, problem_mark=cast("yaml.Mark", event.start_mark))


def _fault(path: Path, line: int, message: str) -> Fault:
    return Fault(Level.ERROR, dotted(path), line, message)


class _Builder:
    def __init__(self) -> None:
        self.lines: dict[Path, int] = {}
        self.faults: list[Fault] = []

    def build(self, node: Node, path: Path) -> Value:
        self.lines.setdefault(path, node.start_mark.line + 1)
        if not node.tag.startswith("tag:yaml.org,2002:") or node.tag.startswith(
            "tag:yaml.org,2002:python"
        ):
            self._blame(path, f"the tag {node.tag} is not used in procedures; leave it out")
            return ""
        if isinstance(node, MappingNode):
            return self._mapping(node, path)
        if isinstance(node, SequenceNode):
            return [self.build(child, (*path, i)) for i, child in enumerate(node.value)]
        assert isinstance(node, ScalarNode)
        return str(node.value).strip()

    def _mapping(self, node: MappingNode, path: Path) -> dict[str, Value]:
        result: dict[str, Value] = {}
        for key_node, child in node.value:
            line = key_node.start_mark.line + 1
            if not isinstance(key_node, ScalarNode):
                self.faults.append(_fault(path, line, "a name here must be plain text"))
                continue
            key = str(key_node.value).strip()
            if key in result:
                self.faults.append(
                    _fault((*path, key), line, f"{key!r} stands here twice; keep one of them")
                )
                continue
            self.lines[(*path, key)] = line
            result[key] = self.build(child, (*path, key))
        return result

    def _blame(self, path: Path, message: str) -> None:
        self.faults.append(_fault(path, self.lines[path], message))
