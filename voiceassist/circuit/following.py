"""Which conditions of the vehicle a circuit goes by."""

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Potentiometer, Pulses, Switch
from voiceassist.circuit.values import ByState


def followed(circuit: Circuit) -> list[str]:
    """The conditions that parts and plugs go by."""
    found: list[str] = []
    for part in circuit.parts.values():
        values = [getattr(part, part.MAIN)] if part.MAIN else []
        if isinstance(part, Potentiometer):
            values.append(part.turned)
        if isinstance(part, Pulses):
            values.append(part.duty)
        found += [value.condition for value in values if isinstance(value, ByState)]
        found += part.closed_when if isinstance(part, Switch) else ()
    for plug in circuit.plugs.values():
        found += plug.closed_when
    return list(dict.fromkeys(found))
