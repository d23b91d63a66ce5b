"""Tries whether a circuit can be solved, whatever state the vehicle is in."""

from collections.abc import Collection, Mapping
from itertools import islice, product

from voiceassist.circuit.following import followed
from voiceassist.circuit.loop import LoopError
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.reading import FaultSink, Path
from voiceassist.circuit.solve import solved
from voiceassist.circuit.values import States
from voiceassist.errors import CircuitError

#: States of all conditions together that a circuit is tried in.
_MOST_TRIED = 64
_HERE: Path = ("circuit",)


def try_circuit(
    circuit: Circuit, conditions: Mapping[str, Collection[str]], blame: FaultSink
) -> None:
    """Blame ``circuit`` when it cannot be solved in some states of its conditions.

    Args:
        circuit: as ``read_circuit`` gives it.
        conditions: to their states.
        blame: takes what is wrong.
    """
    names = followed(circuit)
    rows = product(*(conditions[name] for name in names))
    for row in islice(rows, _MOST_TRIED):
        states: States = dict(zip(names, row, strict=True))
        try:
            solved(circuit, states)
        except LoopError as error:
            part = error.part if error.part in circuit.parts else ""
            blame.error((*_HERE, "parts", part) if part else _HERE, str(error))
            return
        except CircuitError as error:
            shown_states = ", ".join(f"{name}: {state}" for name, state in states.items())
            blame.error(_HERE, f"with {shown_states or 'no conditions'}: {error}")
            return
