"""Solves a network whose elements stay in their states: straight, or by Newton's method."""

import math
from collections.abc import Sequence
from operator import sub

import numpy as np

from voiceassist.circuit.driven import Flow, Four, _aim, driven
from voiceassist.circuit.elements import Curve, Drive
from voiceassist.circuit.laws import Junction
from voiceassist.circuit.network import Floats, Network
from voiceassist.errors import CircuitError

_ROUNDS = 108
#: Shares of a step that are gone, each for so many rounds, then over again: laws with corners can
#: send whole steps to and fro between two sides.
_PARTS, _PATIENCE = (1.0, 0.5, 0.25), 12
#: Currents are told to this many amperes, or to this share of them.
_ABSOLUTE, _RELATIVE = 1e-10, 1e-9
#: What rounding does to most voltages, and what it may do to some. A step that fits only by the
#: second is followed by one more, so that what flows into a node flows out of it.
_SHARP_VOLT, _ROUNDED_VOLT = 1e-12, 1e-9
#: Conductances from every node to earth, tried one after another when plain steps fail.
_HELPS = tuple(10.0**-power for power in range(2, 13))


def solve(network: Network, near: Floats | None = None) -> Floats:
    """Voltages of the nodes and currents of the branches, in the rows of the layout; earth is 0.

    Args:
        network: to be solved.
        near: the solution of a network of the same form to go on from; None for nothing known.

    Raises:
        CircuitError: the equations have no solution that can be found.
    """
    if not network.curves and not network.drives:
        return _linear(network.matrix, network.right)
    start = np.zeros(network.layout.size)
    found = _newton(network, start if near is None else near, 0.0)
    if found is not None:
        return found
    for siemens in (*_HELPS, 0.0):
        found = _newton(network, start, siemens)
        start = start if found is None else found
    if found is None:
        raise CircuitError(
            "the currents of this circuit do not settle", remedy="check the values of its parts"
        )
    return found


def _linear(matrix: Floats, right: Floats) -> Floats:
    try:
        found = np.linalg.solve(matrix[:-1, :-1], right[:-1])
    except np.linalg.LinAlgError as error:
        raise CircuitError(
            "this circuit has no single solution", remedy="look for sources that oppose each other"
        ) from error
    rows = np.zeros(len(right))
    rows[:-1] = found
    return rows


def _newton(network: Network, start: Floats, siemens: float) -> Floats | None:
    """The solution with ``siemens`` from every node to earth; None when it is not reached."""
    step = _Step(network, siemens)
    volts, around = step.across(start.tolist())
    off_before = np.inf
    for turn in range(_ROUNDS):
        laws = [one.law(volt) for one, volt in zip(network.curves, volts, strict=True)]
        flows = [driven(one.target, at) for one, at in zip(network.drives, around, strict=True)]
        found = step.solved(laws, volts, flows, around)
        new, now = step.across(found.tolist())
        then = [driven(one.target, at) for one, at in zip(network.drives, now, strict=True)]
        curves_off = map(_curve_off, network.curves, laws, volts, new)
        drives_off = map(_drive_off, network.drives, flows, around, then, now)
        off = max((*curves_off, *drives_off), default=0.0)
        if off <= _SHARP_VOLT or max(off, off_before) <= _ROUNDED_VOLT:
            return found
        off_before = off
        part = _PARTS[turn // _PATIENCE % len(_PARTS)]
        goals = map(_limited, network.curves, new, volts)
        volts = [_gone(part, old, goal) for goal, old in zip(goals, volts, strict=True)]
        aims = map(_within, network.drives, flows, then, now)
        around = [
            tuple(_gone(part, old, goal) for goal, old in zip(aim, at, strict=True))
            for aim, at in zip(aims, around, strict=True)
        ]
    return None


def _gone(part: float, old: float, goal: float) -> float:
    return old + part * (goal - old)


class _Step:
    """The linear equations of a network about some voltages."""

    def __init__(self, network: Network, siemens: float) -> None:
        layout = network.layout
        self._right = network.right
        self._base = network.matrix.copy() if siemens else network.matrix
        if siemens:
            inner = np.arange(layout.first_branch)
            self._base[inner, inner] += siemens
        self._curves = layout.curves
        self._drives = layout.drives
        self._bends = layout.bends

    def across(self, rows: list[float]) -> tuple[list[float], list[Four]]:
        """The voltage across each curve, and at the terminals of each driver."""
        volts = [rows[a] - rows[b] for a, b in self._curves]
        return volts, [tuple(rows[row] for row in four) for four in self._drives]

    def solved(
        self,
        laws: list[tuple[float, float]],
        volts: list[float],
        flows: list["Flow"],
        around: list[Four],
    ) -> Floats:
        """Where the straight lines lead that the laws and flows are about ``volts`` and so on."""
        right: list[float] = self._right.tolist()
        added: list[float] = []
        for (current, slope), volt, (a, b) in zip(laws, volts, self._curves, strict=True):
            added += (slope, -slope, -slope, slope)
            right[a] -= current - slope * volt
            right[b] += current - slope * volt
        for flow, at, (feed, earth, _, output) in zip(flows, around, self._drives, strict=True):
            for row, current, slopes in _ends(flow, feed, earth, output):
                added += slopes
                right[row] -= current - _along(slopes, at)
        matrix = self._base.copy()
        flat = matrix.ravel()
        for place, slope in zip(self._bends, added, strict=True):
            flat[place] += slope
        return _linear(matrix, np.array(right))


def _ends(
    flow: "Flow", feed: int, earth: int, output: int
) -> tuple[tuple[int, float, list[float]], ...]:
    """Row, current into the driver there and its slopes, for each end that carries some."""
    pairs = zip(flow.slopes, flow.share_slopes, strict=True)
    shared = [flow.share * slope + flow.current * bend for slope, bend in pairs]
    rest = [slope - part for slope, part in zip(flow.slopes, shared, strict=True)]
    return (
        (feed, flow.share * flow.current, shared),
        (earth, (1 - flow.share) * flow.current, rest),
        (output, -flow.current, [-slope for slope in flow.slopes]),
    )


def _along(slopes: Sequence[float], way: Sequence[float]) -> float:
    """What a straight line with ``slopes`` adds on the ``way``."""
    return sum(slope * gone for slope, gone in zip(slopes, way, strict=True))


# A step fits when the straight lines it went by tell the current that the laws do. Voltages alone
# are no measure of that, for behind an open contact they hang on next to nothing; but no current
# can be told closer than the voltages that it is worked out from. So what is off is told as the
# voltage that would explain it.


def _curve_off(curve: Curve, law: tuple[float, float], before: float, now: float) -> float:
    current, slope = curve.law(now)
    return _off(law[0] + law[1] * (now - before), current, slope)


def _drive_off(drive: Drive, flow: "Flow", before: Four, then: "Flow", now: Four) -> float:
    way = tuple(map(sub, now, before))
    straight = flow.current + _along(flow.slopes, way)
    share = flow.share + _along(flow.share_slopes, way)
    return max(_off(straight, then.current, 1 / drive.target.ohm), abs(share - then.share))


def _off(one: float, other: float, slope: float) -> float:
    beyond = abs(one - other) - _ABSOLUTE - _RELATIVE * abs(other)
    if beyond <= 0:
        return 0.0
    return beyond / slope if slope > 0 else np.inf


def _limited(curve: Curve, now: float, before: float) -> float:
    return curve.law.limited(now, before) if isinstance(curve.law, Junction) else now


def _within(drive: Drive, flow: "Flow", then: "Flow", now: Four) -> Four:
    """Voltages to go on from: a step from one flat end of the law to the other stops between."""
    target = drive.target
    if math.isinf(target.limit) or target.sink:
        return now
    if abs(then.current - flow.current) < target.limit * 0.99:
        return now
    # from the middle the law is a straight line of the output's resistance
    output = now[1] + _aim(target, now) - target.limit / 2 * target.ohm
    return (*now[:3], output)
