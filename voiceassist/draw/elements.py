"""What is drawn of a circuit: its parts with the joints of their terminals, and their levels.

A relay is drawn as two things, its coil and its contact. Each node has a level: 0 is the supply,
and no two nodes of one thing are on the same level where it can be helped.
"""

from collections import Counter, deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part, Relay

COIL, CONTACT = "coil", "contact"
#: Terminals that a thing with more than two has above when it can; the others are below.
_IN = frozenset({"feed", "command", "pin-86", "pin-30", "from", "wiper"})
#: What joins every node to the rails, beside the resistance of one thing.
_LEAK = 1e-6
#: Shares that differ by less are the same.
_PLACES = 4
#: Terminals of a relay's coil.
COIL_ENDS = frozenset({"pin-85", "pin-86"})


@dataclass(frozen=True, slots=True)
class Joint:
    """A terminal and what it is joined to.

    Parts:
        terminal: of the part.
        node: it is joined to; empty for earth.
        plug: it is joined through a pin of this plug; empty for none.
    """

    terminal: str
    node: str
    plug: str = ""


def behind(joint: Joint) -> str:
    """The node on the part's side of the plug that a joint leads through."""
    return f"{joint.node} behind {joint.plug}"


@dataclass(frozen=True, slots=True)
class Element:
    """A thing that is drawn in one place.

    Parts:
        part: it is, or is a half of.
        joints: its terminals.
        half: COIL or CONTACT of a relay; empty for a whole part.
    """

    part: Part
    joints: tuple[Joint, ...]
    half: str = ""

    @property
    def kind(self) -> str:
        """Which sign it has."""
        return self.half or self.part.kind

    @property
    def nodes(self) -> tuple[str, ...]:
        """What it is joined to, earth not counted."""
        return tuple(joint.node for joint in self.joints if joint.node)


def elements_of(circuit: Circuit) -> tuple[Element, ...]:
    """Everything that is drawn, in the order of the file."""
    return tuple(one for part in circuit.parts.values() for one in halves_of(circuit, part))


def halves_of(circuit: Circuit, part: Part) -> Iterator[Element]:
    """What is drawn of ``part``: itself, or the coil and the contact of a relay."""
    joints = tuple(_joints(circuit, part))
    if not isinstance(part, Relay):
        yield Element(part, joints)
        return
    yield Element(part, tuple(one for one in joints if one.terminal in COIL_ENDS), COIL)
    contact = tuple(one for one in joints if one.terminal not in COIL_ENDS)
    if len(contact) > 1:
        yield Element(part, contact, CONTACT)


def _joints(circuit: Circuit, part: Part) -> Iterator[Joint]:
    behind = {p.behind(pin): (pin, p.name) for p in circuit.plugs.values() for pin in p.pins}
    for terminal, node in part.terminals.items():
        pin, plug = behind.get(node, (node, ""))
        yield Joint(terminal, "" if pin == circuit.earth else pin, plug)


def joined_only(elements: Sequence[Element], supply: str) -> tuple[Element, ...]:
    """``elements`` without halves of relays, and terminals of boxes, that lead to no other."""
    uses = Counter(node for one in elements for node in set(one.nodes))

    def leads(joint: Joint) -> bool:
        return not joint.node or joint.node == supply or uses[joint.node] > 1

    found = []
    for one in elements:
        if one.half and not any(map(leads, one.joints)):
            continue
        kept = tuple(filter(leads, one.joints)) if len(one.joints) > 2 else one.joints
        found.append(replace(one, joints=kept or one.joints[:1]))
    return tuple(found)


def levels_of(elements: Sequence[Element], supply: str) -> Mapping[str, int]:
    """The level of every node but earth: the longest way down to it from the supply.

    A way leads from a node to another of the same thing that is nearer to earth: lower in voltage
    if every thing were the same resistance.
    """
    nodes = list(dict.fromkeys(node for one in elements for node in one.nodes))
    share, far = _shares(elements, nodes, supply), _distances(elements, supply)
    order = sorted(nodes, key=lambda node: (-share[node], far[node]))
    place = {node: i for i, node in enumerate(order)}
    pairs = sorted({pair for one in elements for pair in _pairs(one, place)})
    level = dict.fromkeys(order, 0)
    fed = {supply}
    for a, b in pairs:
        level[order[b]] = max(level[order[b]], level[order[a]] + 1)
        fed |= {order[b]} if order[a] in fed else set()
    for i in reversed(range(len(order))):
        lower = [level[order[b]] for a, b in pairs if a == i]
        if order[i] not in fed and lower:  # as low as what hangs from it lets it be
            level[order[i]] = min(lower) - 1
    return level


def _distances(elements: Sequence[Element], supply: str) -> dict[str, int]:
    """How many things lie between the supply and each node, by way of earth too; many for none."""
    far = {joint.node: len(elements) for one in elements for joint in one.joints}
    far[supply] = 0
    waiting = deque([supply])
    while waiting:
        node = waiting.popleft()
        for one in elements:
            if any(joint.node == node for joint in one.joints):
                beyond = [j.node for j in one.joints if far[j.node] > far[node] + 1]
                far.update(dict.fromkeys(beyond, far[node] + 1))
                waiting.extend(beyond)
    return far


def _pairs(one: Element, place: Mapping[str, int]) -> Iterator[tuple[int, int]]:
    """Places of two nodes of which the second is to be lower; no circle can come of them."""
    two = len(one.joints) == 2
    for a, b in combinations(one.joints, 2) if two else _across(one.joints):
        if a.node and b.node and a.node != b.node:
            first, second = sorted((place[a.node], place[b.node]))
            if two or first == place[a.node]:
                yield first, second


def _across(joints: Sequence[Joint]) -> Iterator[tuple[Joint, Joint]]:
    inward = [one for one in joints if one.terminal in _IN]
    outward = [one for one in joints if one.terminal not in _IN]
    return ((a, b) for a in inward for b in outward)


def _shares(elements: Sequence[Element], nodes: Sequence[str], supply: str) -> dict[str, float]:
    """The share of the supply at each node if every terminal were led through one resistance.

    An island is taken to be joined to both rails by a very large one.
    """
    size = len(nodes) + len(elements)
    matrix, right = np.eye(size) * _LEAK, np.full(size, _LEAK / 2)
    for i, one in enumerate(elements, len(nodes)):
        for joint in one.joints:
            matrix[i, i] += 1
            if joint.node:
                j = nodes.index(joint.node)
                matrix[j, j] += 1
                matrix[i, j] -= 1
                matrix[j, i] -= 1
    if supply in nodes:
        at = nodes.index(supply)
        matrix[at], right[at] = 0, 1
        matrix[at, at] = 1
    found = np.linalg.solve(matrix, right)
    return {node: round(float(found[i]), _PLACES) for i, node in enumerate(nodes)}


def sides(one: Element, level: Mapping[str, int]) -> tuple[int, list[Joint], list[Joint]]:
    """The level below which it lies, and its terminals above and below."""
    row = _row(one, level)
    above = [joint for joint in one.joints if joint.node and level[joint.node] <= row]
    below = [joint for joint in one.joints if joint not in above]
    if not above:  # a thing between earth and lower nodes hangs from the first of these
        above, below = below[:1], below[1:]
    return row, above, below


def _row(one: Element, level: Mapping[str, int]) -> int:
    known = sorted(level[node] for node in one.nodes)
    if not known:
        return 0
    if len(one.joints) == 2:
        return known[0]

    def wrong(row: int) -> int:
        inward = (j.terminal in _IN for j in one.joints if j.node and level[j.node] > row)
        outward = (j.terminal not in _IN for j in one.joints if j.node and level[j.node] <= row)
        return sum(inward) + sum(outward)

    return min(range(known[0], known[-1] + 1), key=lambda row: (wrong(row), row))
