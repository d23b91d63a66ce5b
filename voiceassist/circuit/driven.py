"""What flows from a driver, and how that changes with the voltages around it."""

import math
from typing import NamedTuple

from voiceassist.circuit.laws import Target

#: Conductance of a driver's output where it gives nothing.
_LEAK = 1e-9
#: A sinking output needs about this supply to conduct at all; common practice, no source.
_WAKING_VOLT = 1.0
#: Voltages of the feed, earth, command and output of a driver, or something for each of them.
Four = tuple[float, ...]


class Flow(NamedTuple):
    """What a driver gives at its output.

    Parts:
        current: in A, out of the output.
        slopes: its change with the voltages of feed, earth, command and output.
        share: of the current that comes from the feed; the rest comes from earth.
        share_slopes: its change with the same.
    """

    current: float
    slopes: Four
    share: float
    share_slopes: Four


_FLAT: Four = (0.0, 0.0, 0.0, 0.0)


def _aim(target: Target, at: Four) -> float:
    """The voltage over earth that a driver aims at."""
    supply = max(at[0] - at[1], 0.0)
    if target.volt is not None:
        return min(target.volt, supply)
    return target.share(at[2] - at[1])[0] * supply


def driven(target: Target, at: Four) -> Flow:
    """The flow of a driver at the voltages of its feed, earth, command and output."""
    feed, earth, command, output = at
    supply, live = max(feed - earth, 0.0), float(feed > earth)
    share, bend = target.share(command - earth)
    reach, bent = share * live, supply * bend
    if target.volt is not None:
        reach, bent = live if supply < target.volt else 0.0, 0.0
    awake = min(supply / _WAKING_VOLT, 1.0) if target.sink else 1.0
    siemens = awake / target.ohm
    missing = earth + _aim(target, at) - output
    current = siemens * missing
    waking = 0.0
    if target.sink and 0 < supply < _WAKING_VOLT:
        waking = missing / (target.ohm * _WAKING_VOLT)
    wrong_way = current > 0 if target.sink else current < 0
    if wrong_way:
        current, siemens, waking = 0.0, 0.0, 0.0
    elif abs(current) > target.limit:
        current, siemens, waking = math.copysign(target.limit, current), 0.0, 0.0
    slopes = (
        siemens * reach + waking,
        siemens * (1 - reach - bent) - waking + _LEAK,
        siemens * bent,
        -siemens - _LEAK,
    )
    current += _LEAK * missing
    if target.pulsed:
        return Flow(current, slopes, share, (0.0, -bend, bend, 0.0))
    return Flow(current, slopes, 0.0 if target.sink else 1.0, _FLAT)
