"""``for-each``: one part of a file for each of several like things, written out one by one.

This is done with the tree, before anything else reads it, so that all else sees plain steps, each
with a name, a reading and a finding of its own.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from voiceassist.procedure.faults import Fault
from voiceassist.procedure.text.groups import (
    FOR_EACH,
    NEXT,
    PREVIOUS,
    LikeThings,
    fault,
    groups_of,
    unknown,
)
from voiceassist.procedure.text.put_words import WORD, Put, named
from voiceassist.procedure.text.rerouted import led
from voiceassist.procedure.text.tree import Path, Tree, Value

#: Where a part can stand for each of a group.
_BLOCKS: tuple[Path, ...] = (
    ("conditions",),
    ("before-changing",),
    ("steps",),
    ("repairs",),
    ("findings",),
    ("faults",),
    ("circuit", "parts"),
    ("circuit", "plugs"),
)
_STEPS: Path = ("steps",)


def written_out(tree: Tree) -> Tree:
    """``tree`` with each part that stands for several written out; the same without any."""
    value = tree.value
    if not isinstance(value, dict):
        return tree
    if "each" not in value and not any(True for _ in _standing_for_several(value)):
        return tree
    faults = list(tree.faults)
    groups = groups_of(tree, faults)
    if len(faults) > len(tree.faults):
        return Tree({}, tree.lines, tuple(faults))
    writer = _Writer(tree, groups, faults)
    made = {key: part for key, part in value.items() if key != "each"}
    for block in _BLOCKS:
        _put(made, block, writer.block(block, _at(made, block)))
    writer.check_rest((), made)
    made = {key: led(part, writer.made) for key, part in made.items()}
    if len(faults) > len(tree.faults):
        return Tree({}, tree.lines, tuple(faults))
    return Tree(made, {**tree.lines, **writer.lines}, tuple(faults))


def _standing_for_several(value: Mapping[str, Value]) -> Iterator[str]:
    for block in _BLOCKS:
        parts = _at(value, block)
        yield from (n for n, body in parts.items() if isinstance(body, dict) and FOR_EACH in body)


def _at(value: Mapping[str, Value], block: Path) -> dict[str, Value]:
    found: Value = dict(value)
    for key in block:
        found = found.get(str(key), {}) if isinstance(found, dict) else {}
    return found if isinstance(found, dict) else {}


def _put(value: dict[str, Value], block: Path, parts: dict[str, Value]) -> None:
    """Put ``parts`` in the place of what stands at ``block``, where something does."""
    if len(block) == 1 and isinstance(value.get(str(block[0])), dict):
        value[str(block[0])] = parts
    elif len(block) > 1 and isinstance(holder := value.get(str(block[0])), dict):
        held = dict(holder)
        _put(held, block[1:], parts)
        value[str(block[0])] = held


@dataclass(slots=True)
class _Writer:
    """Writes the parts out.

    Parts:
        tree: of the file.
        groups: by name.
        faults: takes what is wrong.
        made: the name of a step that stands for several to the names of its steps.
        lines: of what is written out.
    """

    tree: Tree
    groups: Mapping[str, LikeThings]
    faults: list[Fault]
    made: dict[str, list[str]] = field(default_factory=dict)
    lines: dict[Path, int] = field(default_factory=dict)

    def block(self, place: Path, parts: dict[str, Value]) -> dict[str, Value]:
        """The parts of the block at ``place``, each that stands for several written out."""
        found: dict[str, Value] = {}
        following = [*parts][1:]
        for i, (name, body) in enumerate(parts.items()):
            if not isinstance(body, dict) or FOR_EACH not in body:
                self._check_plain((*place, name), body)
                made = {name: body}
            else:
                after = following[i] if i < len(following) else ""
                made = self._of_group(place, name, body, self._first(parts, after))
            for key in made:
                if key in found or (key != name and key in parts):
                    message = f"{key!r} is made by 'for-each' and stands here too; rename one"
                    self._blame((*place, name), message)
            found |= made
        return found

    def _first(self, parts: Mapping[str, Value], name: str) -> str:
        """The step that comes first of those that ``name`` stands for."""
        body = parts.get(name)
        group = self.groups.get(str(body.get(FOR_EACH))) if isinstance(body, dict) else None
        return named(name, group, next(iter(group.things))) if group else name

    def _of_group(
        self, place: Path, name: str, body: dict[str, Value], after: str
    ) -> dict[str, Value]:
        path = (*place, name)
        group = self.groups.get(str(body[FOR_EACH]))
        if group is None:
            self._blame((*path, FOR_EACH), unknown(str(body[FOR_EACH]), self.groups))
            return {}
        bare = {key: value for key, value in body.items() if key != FOR_EACH}
        names = {thing: named(name, group, thing) for thing in group.things}
        if place == _STEPS:
            self.made[name] = list(names.values())
        ways = _ways(bare, list(names.values()), after) if place == _STEPS else {}
        if ways and not ways[list(names.values())[-1]][0] and _has_next(bare):
            mend = (
                "add 'then:' with where that leads"
                if "ask" in bare
                else "put a step after this one"
            )
            self._blame(path, f"<{NEXT}> leads nowhere at the last of them; {mend}")
        found: dict[str, Value] = {}
        before: dict[str, str] = {}
        for thing, new in names.items():
            words = {**group.words(thing), **before}
            words |= {NEXT: ways[new][0]} if new in ways else {}
            before = {PREVIOUS: thing}
            once = {**bare, **ways[new][1]} if new in ways else bare
            once = {key: value for key, value in once.items() if value != ""}
            put = Put(words, group, lambda message: self._blame(path, message))
            self.lines[(*place, new)] = self.tree.line(path)
            found[new] = self._written(once, path, (*place, new), put)
        return found

    def _written(self, value: Value, path: Path, new: Path, put: "Put") -> Value:
        """``value`` at ``path`` with words put in; the lines of its parts are kept."""
        if isinstance(value, str):
            return put(value)
        if isinstance(value, list):
            parts = [(i, part) for i, part in enumerate(value) if put.has(part)]
            return [self._part(part, (*path, i), (*new, i), put) for i, part in parts]
        return {
            (key := put(old)): self._part(part, (*path, old), (*new, key), put)
            for old, part in value.items()
            if put.has(old)
        }

    def _part(self, value: Value, path: Path, new: Path, put: "Put") -> Value:
        self.lines[new] = self.tree.line(path)
        return self._written(value, path, new, put)

    def check_rest(self, path: Path, value: Value) -> None:
        """Blame a word of a group in the parts of the file that can stand for no group."""
        for key, part in value.items() if isinstance(value, dict) else ():
            here = (*path, key)
            if any(block[: len(here)] == here for block in _BLOCKS):
                if here not in _BLOCKS:
                    self.check_rest(here, part)
                continue
            words = {word for group in self.groups.values() for word in group.told}
            match = next((m for t in _texts({key: part}) for m in WORD.finditer(t)), None)
            if match is not None and match["word"] in words:
                message = f"<{match['word']}> stands for nothing here; write each of them out"
                self._blame(here, message)

    def _check_plain(self, path: Path, value: Value) -> None:
        """Blame a word of a group where nothing stands for each of it."""
        words = {word for group in self.groups.values() for word in group.told} | {NEXT}
        for text in _texts(value):
            for match in WORD.finditer(text):
                if match["word"] in words:
                    group = next((g.name for g in self.groups.values()), "a-group")
                    message = f"<{match['word']}> stands for nothing here; add 'for-each: {group}'"
                    self._blame(path, message)
                    return

    def _blame(self, path: Path, message: str) -> None:
        made = fault(self.tree, path, message)
        if made not in self.faults:
            self.faults.append(made)


def _ways(
    body: Mapping[str, Value], names: list[str], after: str
) -> dict[str, tuple[str, dict[str, Value]]]:
    """Step to what <next> stands for there, and to its keys that differ from the others'.

    Without <next> a pass leads to the next one, unless 'then' differs for each. A question has no
    'then', so there it tells where the last one leads.
    """
    then = body.get("then", "")
    asks = "ask" in body
    named = asks or _has_next(body)
    end = str(then) if asks and then else after
    found: dict[str, tuple[str, dict[str, Value]]] = {}
    for name, following in pairwise([*names, ""]):
        keys: dict[str, Value] = {}
        if asks:
            keys = {"then": ""}
        elif not named and not WORD.search(str(then)):
            keys = {"then": following or then}
        found[name] = (following or end, keys)
    return found


def _has_next(body: Mapping[str, Value]) -> bool:
    return any(f"<{NEXT}>" in text for text in _texts(dict(body)))


def _texts(value: Value) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for part in value:
            yield from _texts(part)
    else:
        for key, part in value.items():
            yield key
            yield from _texts(part)
