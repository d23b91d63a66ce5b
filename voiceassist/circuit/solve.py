"""A circuit under given conditions, solved; relays and fuses find their states by themselves."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from voiceassist.circuit.driven import driven
from voiceassist.circuit.elements import (
    Circumstances,
    Curve,
    Drive,
    Emf,
    Ohms,
    elements_of,
    pins_of,
)
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.network import BRANCH, Floats, Network, Wired, network_of, wired_to
from voiceassist.circuit.newton import solve
from voiceassist.circuit.parts import Fuse, Latch, Part, Relay
from voiceassist.circuit.values import States
from voiceassist.errors import CircuitError

#: A fuse that carries more than this share of its rating blows in time: at 135 % within ten
#: minutes (ISO 8820-3, from memory).
BLOWS_AT = 1.35
_MOST_CHANGES = 200
#: What stands for a part in the elements of a plug's pins.
_PIN = "pin of "


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """What a circuit does in one state.

    Parts:
        circuit: that was solved.
        moment: the state it settled in.
        wired: its elements and their nodes.
        network: its equations.
        rows: voltages of nodes and currents of branches.
    """

    circuit: Circuit
    moment: Circumstances
    wired: tuple[Wired, ...]
    network: Network
    rows: Floats

    @property
    def pulled(self) -> frozenset[str]:
        """Relays that are pulled in."""
        return self.moment.pulled

    @property
    def blown(self) -> frozenset[str]:
        """Fuses that this state blows, and latches that it trips."""
        return self.moment.blown

    def voltage(self, node: str) -> float:
        """Voltage of ``node`` over earth, in V.

        Raises:
            CircuitError: there is no such node, or nothing joins it to earth.
        """
        return self.between(node, self.circuit.earth)

    def between(self, red: str, black: str) -> float:
        """Voltage of ``red`` over ``black``, in V.

        Raises:
            CircuitError: one is no node, or nothing joins them.
        """
        a, b = self._row(red), self._row(black)
        islands = self.network.islands
        if islands[a] != islands[b]:
            loose = red if black == self.circuit.earth or not self.network.is_told(red) else black
            raise CircuitError(
                f"no voltage can be found at {loose!r}: nothing joins it to "
                f"{black if loose == red else red!r}",
                remedy="close the circuit, or put a meter between them",
            )
        return float(self.rows[a] - self.rows[b])

    def current(self, part: str, terminal: str = "from") -> float:
        """Current into the ``terminal`` of ``part``, in A.

        Raises:
            CircuitError: there is no such part or terminal.
        """
        if terminal not in self.circuit.part(part).terminals:
            raise CircuitError(f"{part!r} has no terminal {terminal!r}")
        return sum(flow for _, at, _, flow in self.flows(part) if at == terminal)

    def pin_current(self, plug: str, pin: str) -> float:
        """Current through the ``pin`` of ``plug`` from the harness to the part, in A."""
        return sum(flow for _, at, _, flow in self.flows(_PIN + plug) if at == pin)

    def power(self, part: str) -> float:
        """Power that ``part`` takes in, in W; below zero for what it gives."""
        rows, nodes = self.rows, self.network.layout.nodes
        return sum(float(rows[nodes[node]]) * flow for _, _, node, flow in self.flows(part))

    def flows(self, *parts: str) -> Iterator[tuple[str, str, str, float]]:
        """Part, terminal, node and the current into the part there, for each element's ends.

        Those of ``parts`` only, when any are named.
        """
        wanted = frozenset(parts)
        branch = self.network.layout.first_branch
        for one in self.wired:
            element = one.element
            if wanted and element.part not in wanted:
                branch += one.sort == BRANCH
                continue
            if isinstance(element, Drive):
                yield from self._drive_flows(one, element)
                continue
            if isinstance(element, Emf) or one.sort == BRANCH:
                flow = float(self.rows[branch])
                branch += 1
            else:
                volt = float(self.rows[self._row(one.a)] - self.rows[self._row(one.b)])
                flow = _flow(element, volt)
            yield element.part, element.a, one.a, flow
            yield element.part, element.b, one.b, -flow

    def _drive_flows(self, one: Wired, drive: Drive) -> Iterator[tuple[str, str, str, float]]:
        at = (float(self.rows[self._row(node)]) for node in (one.a, one.b, one.c, one.d))
        flow = driven(drive.target, tuple(at))
        yield drive.part, "feed", one.a, flow.share * flow.current
        yield drive.part, "earth", one.b, (1 - flow.share) * flow.current
        yield drive.part, "output", one.d, -flow.current

    def _row(self, node: str) -> int:
        if node not in self.network.layout.nodes:
            raise CircuitError(f"there is no node {node!r} in this circuit")
        return self.network.layout.nodes[node]


def _flow(element: Ohms | Curve, volt: float) -> float:
    return element.law(volt)[0] if isinstance(element, Curve) else volt / element.ohm


def solved(circuit: Circuit, conditions: States, moment: Circumstances | None = None) -> Solution:
    """The steady state of ``circuit``.

    Args:
        circuit: to be solved.
        conditions: condition to state; those not named are as at first.
        moment: to begin with; its states are put in from ``conditions``.

    Raises:
        CircuitError: a condition without a state, a loop of sources without resistance, or a
            relay that cannot settle.
    """
    moment = replace(moment or Circumstances({}), states=circuit.states(conditions))
    seen = set()
    found = None
    for _ in range(_MOST_CHANGES):
        found = solved_at(circuit, moment, None if found is None else found.rows)
        change = _next(found)
        if change is None:
            return found
        seen.add((moment.pulled, moment.blown))
        moment = change
        if (moment.pulled, moment.blown) in seen:
            break
    assert found is not None  # solved once at least
    restless = ", ".join(sorted(found.moment.pulled ^ moment.pulled)) or "a relay"
    raise CircuitError(
        f"{restless!r} chatters: it pulls in, takes its own voltage away, and drops out again",
        remedy="feed its coil before the joint that its load flows through",
    )


def solved_at(circuit: Circuit, moment: Circumstances, start: Floats | None = None) -> Solution:
    """``circuit`` at one ``moment``: relays and fuses stay in the states that it tells.

    Args:
        circuit: to be solved.
        moment: with a state for every condition that a part goes by.
        start: the rows of a solution of the same form to go on from; None for none.

    Raises:
        CircuitError: a condition without a state, or a loop of sources without resistance.
    """
    joined = tuple(_wired(circuit, moment))
    network = network_of(joined, circuit.earth)
    return Solution(circuit, moment, joined, network, solve(network, start))


def _wired(circuit: Circuit, moment: Circumstances) -> Iterator[Wired]:
    for part in circuit.parts.values():
        ends = part.terminals
        for element in elements_of(part, moment):
            if isinstance(element, Drive):
                command = ends[element.command]
                yield wired_to(element, ends["feed"], ends["earth"], command, ends["output"])
            else:
                yield wired_to(element, ends[element.a], ends[element.b])
    for pin, behind, plug, ohm in pins_of(circuit, moment.states):
        yield wired_to(Ohms(_PIN + plug, pin, behind, ohm), pin, behind)


def _next(found: Solution) -> Circumstances | None:
    """The state after the one relay or fuse most out of place has moved; None when all is well."""
    wants: list[tuple[float, Circumstances]] = []
    moment = found.moment
    loads = _fuse_currents(found)
    for name, part in found.circuit.parts.items():
        if isinstance(part, Relay) and part.stuck is None:
            volt = abs(_coil_volt(found, part))
            if name not in moment.pulled and volt >= part.pull_in:
                pulled = replace(moment, pulled=moment.pulled | {name})
                wants.append((volt / part.pull_in, pulled))
            elif name in moment.pulled and volt < part.drop_out:
                dropped = replace(moment, pulled=moment.pulled - {name})
                wants.append((part.drop_out / max(volt, 1e-9), dropped))
        elif isinstance(part, Fuse | Latch) and name not in moment.blown and _is_whole(part):
            load = loads[name] / part.ampere
            if load > (BLOWS_AT if isinstance(part, Fuse) else 1.0):
                wants.append((load, replace(moment, blown=moment.blown | {name})))
    return max(wants, key=lambda want: want[0])[1] if wants else None


def _is_whole(part: Part) -> bool:
    return not (part.blown if isinstance(part, Fuse) else isinstance(part, Latch) and part.tripped)


def _fuse_currents(found: Solution) -> dict[str, float]:
    """Each fuse and latch to the amperes it carries, all in one go."""
    parts = found.circuit.parts
    fuses = [name for name, part in parts.items() if isinstance(part, Fuse | Latch)]
    flows = found.flows(*fuses) if fuses else ()
    return {part: abs(flow) for part, terminal, _, flow in flows if terminal == "from"}


def _coil_volt(found: Solution, part: Relay) -> float:
    nodes, rows = found.network.layout.nodes, found.rows
    ends = part.terminals
    return float(rows[nodes[ends["pin-85"]]] - rows[nodes[ends["pin-86"]]])
