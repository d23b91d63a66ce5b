"""How much a fault takes from the parts that do the work of a circuit."""

from collections.abc import Iterable, Iterator, Mapping

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Bulb, Motor, Part, Pulses, Resistor
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import States, numbers_of
from voiceassist.errors import CircuitError

#: A part that loses more than this share of what it should get works visibly worse: a filament
#: lamp gives about a sixth less light. Common practice, no source.
WORSE = 0.05
#: A part that gets less than this share of the strongest source is not at work.
_AT_WORK = 0.1

#: Part and terminals to the volts between them.
_Volts = Mapping[tuple[str, str], float]


class Effect:
    """Compares circuits with a good one.

    Args:
        good: the circuit without a fault.
        states: in which it is looked at.
    """

    def __init__(self, good: Circuit, states: Iterable[States]) -> None:
        least = _AT_WORK * _strongest(good)
        self._good: list[tuple[States, _Volts]] = []
        for one in states:
            volts = _volts(good, one)
            work = {key: volt for key, volt in volts.items() if abs(volt) > least}
            if work:
                self._good.append((one, work))

    def of(self, faulty: Circuit) -> float:
        """The largest share that a part at work gets too little or too much in ``faulty``.

        A circuit that cannot be solved so counts as wholly changed.
        """
        return max((self._in(faulty, *one) for one in self._good), default=0.0)

    def is_felt(self, faulty: Circuit) -> bool:
        """True when a part works visibly worse."""
        return any(self._in(faulty, *one) > WORSE for one in self._good)

    def _in(self, faulty: Circuit, states: States, work: _Volts) -> float:
        volts = _volts(faulty, states)
        if not volts:
            return 1.0
        return max(abs(volts.get(key, 0.0) - volt) / abs(volt) for key, volt in work.items())


def _strongest(circuit: Circuit) -> float:
    """The highest voltage that a source of ``circuit`` gives: of a small supply, its own."""
    parts = circuit.parts.values()
    regulators: list[Part] = [part for part in parts if isinstance(part, Regulator)]
    sources = regulators or [part for part in parts if isinstance(part, Battery | Pulses)]
    return max((max(numbers_of(getattr(source, source.MAIN))) for source in sources), default=0.0)


def _volts(circuit: Circuit, states: States) -> dict[tuple[str, str], float]:
    """What each working part gets; nothing when that cannot be told."""
    try:
        found = solved(circuit, states)
    except CircuitError:
        return {}
    volts = {}
    for part in circuit.parts.values():
        for ends in _working(part):
            volts[part.name, ends[0]] = _between(found, part, ends)
    return volts


def _working(part: Part) -> Iterator[tuple[str, str]]:
    """The terminals between which a part does its work."""
    if isinstance(part, Bulb | Motor) or (isinstance(part, Resistor) and part.sort == "resistor"):
        yield "from", "to"
    elif isinstance(part, Module | Regulator):
        yield "feed", "earth"
        if isinstance(part, Regulator):
            yield "output", "earth"


def _between(found: Solution, part: Part, ends: tuple[str, str]) -> float:
    nodes, rows = found.network.layout.nodes, found.rows
    a, b = (nodes[part.terminals[end]] for end in ends)
    return float(rows[a] - rows[b])
