"""Like things of a file: fuses, lamps, injectors, each with what is told of it."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from voiceassist.procedure.faults import Fault, Severity, did_you_mean
from voiceassist.procedure.text.tree import Path, Tree, Value, dotted

#: The block that names the groups, and the key of a part that stands for each of one.
EACH, FOR_EACH = "each", "for-each"
#: Stand for the step of the next one, and for the name of the one before.
NEXT, PREVIOUS = "next", "previous"

_MOST = 60
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z][a-z0-9]*)*")


@dataclass(frozen=True, slots=True)
class LikeThings:
    """Like things.

    Parts:
        name: what each of them is: "fuse".
        things: the name of each to what is told of it, in the order of the file.
    """

    name: str
    things: Mapping[str, Mapping[str, str]]

    def words(self, thing: str) -> dict[str, str]:
        """What stands in the place of each word in angle brackets."""
        return {self.name: thing, **self.things[thing]}

    @property
    def told(self) -> list[str]:
        """The words that may stand in angle brackets."""
        return list(dict.fromkeys([self.name, *(w for t in self.things.values() for w in t)]))


def groups_of(tree: Tree, faults: list[Fault]) -> dict[str, LikeThings]:
    """The groups by name; what is wrong with them is added to ``faults``."""
    block = tree.value.get(EACH, {}) if isinstance(tree.value, dict) else {}
    if not isinstance(block, dict):
        faults.append(fault(tree, (EACH,), "a block is wanted here, such as 'fuse: [one, two]'"))
        return {}
    found = {}
    for name, things in block.items():
        path: Path = (EACH, name)
        told = dict(_things(things))
        faults += (fault(tree, path, why) for why in _wrong(name, told))
        found[name] = LikeThings(name, told)
    return found


def _things(things: Value) -> Iterator[tuple[str, Mapping[str, str]]]:
    if isinstance(things, list):
        yield from ((one, {}) for one in things if isinstance(one, str))
    elif isinstance(things, dict):
        for name, told in things.items():
            words = told.items() if isinstance(told, dict) else ()
            yield name, {key: value for key, value in words if isinstance(value, str)}


def _wrong(name: str, things: Mapping[str, Mapping[str, str]]) -> Iterator[str]:
    if not things or len(things) > _MOST:
        yield f"{len(things)} things are listed here; name 1 to {_MOST}, such as [one, two]"
    for word in (name, *things, *(key for told in things.values() for key in told)):
        if not _NAME.fullmatch(word) or word in {NEXT, PREVIOUS, FOR_EACH}:
            yield f"{word!r} cannot be a name here; use small letters and digits, such as 'left'"
            return
    first = next(iter(things.values()), {})
    for thing, told in things.items():
        lacking = [key for key in first if key not in told] + [k for k in told if k not in first]
        if lacking:
            yield f"{lacking[0]!r} is not told of each; {thing!r} and the first differ"
            return


def fault(tree: Tree, path: Path, message: str) -> Fault:
    """An error at ``path``."""
    return Fault(Severity.ERROR, dotted(path), tree.line(path), message)


def unknown(name: str, groups: Mapping[str, LikeThings]) -> str:
    """What to say of a group that is not there."""
    hint = did_you_mean(name, list(groups)) or f"; list them under '{EACH}:'"
    return f"there is no group {name!r} under '{EACH}:'{hint}"
