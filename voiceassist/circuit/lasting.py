"""What a circuit keeps from one moment to the next: fuses, latches and timers.

Between two changes the circuit is taken as at rest: no transient is worked out.
"""

from collections.abc import Iterator
from dataclasses import replace

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Fuse, Latch, Part, Switch, is_closed
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import States

#: A latch lets go when less than this voltage is left at its feed; common practice, no source.
LETS_GO_VOLT = 1.0


def lasting(circuit: Circuit, conditions: States) -> Circuit:
    """``circuit`` after it was under ``conditions``.

    Fuses that blew stay blown. Latches that tripped stay tripped, until nothing feeds them.

    Raises:
        CircuitError: as ``solved``.
    """
    found = solved(circuit, conditions)
    moved = [*_opened(circuit, found), *_let_go(circuit, found)]
    return circuit.with_parts(*moved) if moved else circuit


def passed(circuit: Circuit, conditions: States, seconds: float) -> Circuit:
    """``circuit`` after ``seconds`` under ``conditions``: its timers went on or begin anew."""
    states = circuit.states(conditions)
    after = [replace(timer, ran_s=_ran(timer, states, seconds)) for timer in timers(circuit)]
    moved = [timer for timer in after if timer != circuit.parts[timer.name]]
    return circuit.with_parts(*moved) if moved else circuit


def timers(circuit: Circuit) -> Iterator[Switch]:
    """The switches of ``circuit`` that lapse."""
    for part in circuit.parts.values():
        if isinstance(part, Switch) and part.lapses_s is not None:
            yield part


def remembering(circuit: Circuit, of: Circuit) -> Circuit:
    """``circuit`` with what the same parts in ``of`` have kept."""
    kept = {part.name: part for part in of.parts.values()}
    fresh = [_like(part, kept[name]) for name, part in circuit.parts.items() if name in kept]
    moved = [part for part in fresh if part != circuit.parts[part.name]]
    return circuit.with_parts(*moved) if moved else circuit


def _like(part: Part, kept: Part) -> Part:
    if isinstance(part, Fuse) and isinstance(kept, Fuse):
        return replace(part, blown=part.blown or kept.blown)
    if isinstance(part, Latch) and isinstance(kept, Latch):
        return replace(part, tripped=kept.tripped)
    if isinstance(part, Switch) and isinstance(kept, Switch):
        return replace(part, ran_s=kept.ran_s)
    return part


def _ran(timer: Switch, states: States, seconds: float) -> float:
    """How long its conditions have held; no longer than it takes to lapse."""
    assert timer.lapses_s is not None
    if not is_closed(timer.closed_when, states):
        return 0.0
    return min(timer.ran_s + seconds, timer.lapses_s)


def _opened(circuit: Circuit, found: Solution) -> Iterator[Part]:
    for name in sorted(found.blown):
        part = circuit.parts[name]
        if isinstance(part, Fuse):
            yield replace(part, blown=True)
        elif isinstance(part, Latch):
            yield replace(part, tripped=True)


def _let_go(circuit: Circuit, found: Solution) -> Iterator[Part]:
    nodes, rows = found.network.layout.nodes, found.rows
    for part in circuit.parts.values():
        if isinstance(part, Latch) and part.tripped:
            feed = rows[nodes[part.terminals["from"]]] - rows[nodes[circuit.earth]]
            if abs(float(feed)) < LETS_GO_VOLT:
                yield replace(part, tripped=False)
