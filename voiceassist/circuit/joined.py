"""Which points of a circuit are one conductor: joined by wires, joints, contacts and fuses."""

from voiceassist.circuit.elements import Ohms
from voiceassist.circuit.solve import Solution

#: A good wire, joint, contact or fuse has less; common practice, no source.
_CONDUCTOR_OHM = 1.0


def conductor(found: Solution, node: str) -> set[str]:
    """All points that are one conductor with ``node`` in the state of ``found``, itself too."""
    joints = [
        (one.a, one.b)
        for one in found.wired
        if isinstance(one.element, Ohms) and one.element.ohm < _CONDUCTOR_OHM
    ]
    reached, todo = {node}, [node]
    while todo:
        here = todo.pop()
        for a, b in joints:
            for one, other in ((a, b), (b, a)):
                if one == here and other not in reached:
                    reached.add(other)
                    todo.append(other)
    return reached
