"""The part of a circuit that a step is about: ways from the supply to its points, and to earth."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import heappop, heappush
from itertools import combinations

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Diode, Fuse, Latch, Part, Relay, Resistor, Switch
from voiceassist.draw.elements import COIL_ENDS
from voiceassist.draw.instrument import Instrument, PulledPlug, is_unnamed

#: A way leads through what carries current rather than through what uses it.
_THROUGH, _LOAD = 2, 5
_CARRIES = ("wire", "joint")


def in_order_of_need(circuit: Circuit, told: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Names of parts in groups, what is needed most to follow a step first.

    A group has all that leads to the rails from what is new in it, so that no loose ends come of
    it where an earlier group is left out.

    Args:
        circuit: with the instruments in it.
        told: names of nodes and parts that the step is about.
    """
    ways = _Ways(circuit)
    held = list(dict.fromkeys(_held(circuit)))
    found = dict.fromkeys(_always(circuit, ways))
    groups = [tuple(found)]

    def add(names: Iterable[str]) -> None:
        every = tuple(dict.fromkeys(names))
        groups.extend([every] if not found.keys() >= set(every) else [])
        found.update(dict.fromkeys(every))

    for node in held:
        add(ways.feed(node) or ways.to(node, circuit.earth))
    for name, part in circuit.parts.items():
        add([name] if isinstance(part, PulledPlug) else [])
    for node in held:
        add(ways.to(node, circuit.earth))
    for node in _ends(circuit, told):
        add(ways.feed(node))
        add(ways.to(node, circuit.earth))
    for name in told:
        if name in circuit.parts:
            add([name, *(n for node in ways.ends(circuit.parts[name]) for n in ways.ways(node))])
    add(ways.of_coils(found))
    while further := _beside(circuit, ways, found):
        for name in further:
            add([name, *(n for node in ways.ends(circuit.parts[name]) for n in ways.ways(node))])
    for name, part in circuit.parts.items():
        add([name, *(n for node in ways.ends(part) for n in ways.ways(node))])
    return tuple(groups)


def _beside(circuit: Circuit, ways: "_Ways", found: Mapping[str, None]) -> list[str]:
    """What is joined to something ``found`` elsewhere than at a rail."""
    near = {node for name in found for node in ways.ends(circuit.parts[name])}
    near -= {circuit.supply, circuit.earth}
    parts = circuit.parts.items()
    return [name for name, part in parts if name not in found and near & set(ways.ends(part))]


def _always(circuit: Circuit, ways: "_Ways") -> Iterator[str]:
    """The instruments, and the battery that is the supply with what joins it to earth."""
    for name, part in circuit.parts.items():
        if isinstance(part, Instrument):
            yield name
        elif isinstance(part, Battery) and part.terminals["from"] == circuit.supply:
            yield name
            for node in ways.ends(part):
                yield from ways.to(node, circuit.earth) if node != circuit.supply else ()


def _held(circuit: Circuit) -> Iterator[str]:
    for part in circuit.parts.values():
        if isinstance(part, Instrument):
            yield from part.terminals.values()


def _ends(circuit: Circuit, told: Sequence[str]) -> Iterator[str]:
    for name in told:
        if name in circuit.parts:
            yield from circuit.parts[name].terminals.values()
        elif name in circuit.nodes:
            yield name


class _Ways:
    """Ways through a circuit from node to node, past its battery."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._seat = {plug.behind(pin): pin for plug in circuit.plugs.values() for pin in plug.pins}
        self._at: dict[str, list[tuple[str, str, int]]] = {}
        for part in circuit.parts.values():
            if not isinstance(part, Battery | PulledPlug) and not _is_beside(part):
                for a, b, cost in _joined(part):
                    self._join(part, self._node(a), self._node(b), cost)

    def _join(self, part: Part, a: str, b: str, cost: int) -> None:
        self._at.setdefault(a, []).append((part.name, b, cost))
        self._at.setdefault(b, []).append((part.name, a, cost))

    def _node(self, node: str) -> str:
        """``node``, or the pin that it is behind."""
        return self._seat.get(node, node)

    def ends(self, part: Part) -> tuple[str, ...]:
        """The nodes of ``part``, on the harness side of plugs."""
        return tuple(self._node(node) for node in part.terminals.values())

    def to(self, start: str, goal: str) -> tuple[str, ...]:
        """The parts on the easiest way from ``start`` to ``goal``, past no rail; may be none."""
        return self._way(start, goal)[1]

    def feed(self, node: str) -> tuple[str, ...]:
        """The way to the supply; none for a point of earth, which loads alone lead to."""
        cost, way = self._way(node, self._circuit.supply)
        back, joints = self._way(node, self._circuit.earth)
        is_earth = bool(joints) and back == _THROUGH * len(joints)
        return () if is_earth and cost > _THROUGH * len(way) else way

    def _way(self, start: str, goal: str) -> tuple[int, tuple[str, ...]]:
        """What the easiest way costs, and its parts."""
        rails = {self._circuit.supply, self._circuit.earth}
        if start in rails:
            return 0, ()
        waiting: list[tuple[int, str, tuple[str, ...]]] = [(0, self._node(start), ())]
        seen: set[str] = set()
        while waiting:
            cost, node, way = heappop(waiting)
            if node == goal:
                return cost, way
            if node in seen or node in rails:
                continue
            seen.add(node)
            for part, beyond, more in self._at.get(node, ()):
                heappush(waiting, (cost + more, beyond, (*way, part)))
        return 0, ()

    def ways(self, node: str) -> tuple[str, ...]:
        """Those to both rails."""
        return (*self.feed(node), *self.to(node, self._circuit.earth))

    def of_coils(self, found: Mapping[str, None]) -> Iterator[str]:
        """What feeds the coils of the relays among ``found``."""
        for name in tuple(found):
            part = self._circuit.parts[name]
            if isinstance(part, Relay):
                for terminal in sorted(COIL_ENDS):
                    yield from self.ways(part.terminals[terminal])


def _is_beside(part: Part) -> bool:
    """True for an instrument that is not in the way of the current."""
    return isinstance(part, Instrument) and not any(map(is_unnamed, part.terminals.values()))


def _joined(part: Part) -> Iterator[tuple[str, str, int]]:
    """Pairs of nodes that ``part`` joins, and the cost; coil and contact of a relay are apart."""
    cost = _THROUGH if _carries(part) else _LOAD
    halves = [(tuple(part.terminals.values()), cost)]
    if isinstance(part, Relay):
        coil = tuple(node for name, node in part.terminals.items() if name in COIL_ENDS)
        contact = tuple(node for name, node in part.terminals.items() if name not in COIL_ENDS)
        halves = [(coil, _LOAD), (contact, _THROUGH)]
    for nodes, each in halves:
        for a, b in combinations(nodes, 2):
            yield a, b, each


def _carries(part: Part) -> bool:
    """True for what is there to carry current, not to use it."""
    if isinstance(part, Resistor):
        return part.sort in _CARRIES
    return isinstance(part, Switch | Fuse | Latch | Relay | Diode | Instrument)
