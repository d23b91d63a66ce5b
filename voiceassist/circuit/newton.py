"""Solves a network whose elements stay in their states: straight, or by Newton's method."""

from dataclasses import dataclass

import numpy as np

from voiceassist.circuit.elements import Curve, Drive
from voiceassist.circuit.laws import Junction, Target
from voiceassist.circuit.network import Floats, Indices, Network
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
#: Conductance of a driver's output where it gives nothing.
_LEAK = 1e-9
#: A sinking output needs about this supply to conduct at all; common practice, no source.
_WAKING_VOLT = 1.0


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
    return np.append(found, 0.0)


def _newton(network: Network, start: Floats, siemens: float) -> Floats | None:
    """The solution with ``siemens`` from every node to earth; None when it is not reached."""
    layout = network.layout
    base = network.matrix.copy()
    inner = np.arange(layout.first_branch)
    base[inner, inner] += siemens
    curves, drives = layout.curves, layout.drives
    volts: list[float] = (start[curves[:, 0]] - start[curves[:, 1]]).tolist()
    around = start[drives]
    off_before = np.inf
    for turn in range(_ROUNDS):
        matrix, right = base.copy(), network.right.copy()
        laws = [one.law(volt) for one, volt in zip(network.curves, volts, strict=True)]
        flows = [driven(one.target, at) for one, at in zip(network.drives, around, strict=True)]
        for law, volt, ends in zip(laws, volts, curves.tolist(), strict=True):
            _stamp_curve(matrix, right, law, volt, ends)
        for flow, at, rows in zip(flows, around, drives, strict=True):
            _stamp_drive(matrix, right, flow, at, rows)
        found = _linear(matrix, right)
        new = (found[curves[:, 0]] - found[curves[:, 1]]).tolist()
        curves_off = map(_curve_off, network.curves, laws, volts, new)
        drives_off = map(_drive_off, network.drives, flows, around, found[drives])
        off = max((*curves_off, *drives_off), default=0.0)
        if off <= _SHARP_VOLT or max(off, off_before) <= _ROUNDED_VOLT:
            return found
        off_before = off
        part = _PARTS[turn // _PATIENCE % len(_PARTS)]
        goals = map(_limited, network.curves, new, volts)
        volts = [old + part * (goal - old) for goal, old in zip(goals, volts, strict=True)]
        aims = list(map(_within, network.drives, found[drives], around))
        around = around + part * (np.array(aims).reshape(around.shape) - around)
    return None


# A step fits when the straight lines it went by tell the current that the laws do. Voltages alone
# are no measure of that, for behind an open contact they hang on next to nothing; but no current
# can be told closer than the voltages that it is worked out from. So what is off is told as the
# voltage that would explain it.


def _curve_off(curve: Curve, law: tuple[float, float], before: float, now: float) -> float:
    current, slope = curve.law(now)
    return _off(law[0] + law[1] * (now - before), current, slope)


def _drive_off(drive: Drive, flow: "Flow", before: Floats, now: Floats) -> float:
    then = driven(drive.target, now)
    straight = flow.current + float(flow.slopes @ (now - before))
    share = flow.share + float(flow.share_slopes @ (now - before))
    return max(_off(straight, then.current, 1 / drive.target.ohm), abs(share - then.share))


def _off(one: float, other: float, slope: float) -> float:
    beyond = abs(one - other) - _ABSOLUTE - _RELATIVE * abs(other)
    if beyond <= 0:
        return 0.0
    return beyond / slope if slope > 0 else np.inf


def _limited(curve: Curve, now: float, before: float) -> float:
    return curve.law.limited(now, before) if isinstance(curve.law, Junction) else now


def _within(drive: Drive, now: Floats, before: Floats) -> Floats:
    """Voltages to go on from: a step from one flat end of the law to the other stops between."""
    target = drive.target
    half = target.limit / 2
    if not np.isfinite(half) or target.sink:
        return now
    then, was = driven(target, now).current, driven(target, before).current
    if abs(then - was) < target.limit * 0.99:
        return now
    middle = now.copy()
    # from there the law is a straight line of the output's resistance
    middle[3] = now[1] + _aim(target, now) - half * target.ohm
    return middle


def _stamp_curve(
    matrix: Floats, right: Floats, law: tuple[float, float], volt: float, ends: list[int]
) -> None:
    current, slope = law
    a, b = ends
    matrix[a, a] += slope
    matrix[b, b] += slope
    matrix[a, b] -= slope
    matrix[b, a] -= slope
    rest = current - slope * volt
    right[a] -= rest
    right[b] += rest


def _stamp_drive(matrix: Floats, right: Floats, flow: "Flow", at: Floats, rows: Indices) -> None:
    feed, earth, _, output = rows.tolist()
    shared = flow.share * flow.slopes + flow.current * flow.share_slopes
    for row, current, slopes in (
        (feed, flow.share * flow.current, shared),
        (earth, (1 - flow.share) * flow.current, flow.slopes - shared),
        (output, -flow.current, -flow.slopes),
    ):
        np.add.at(matrix[row], rows, slopes)
        right[row] -= current - float(slopes @ at)


@dataclass(frozen=True, slots=True)
class Flow:
    """What a driver gives at its output.

    Parts:
        current: in A, out of the output.
        slopes: its change with the voltages of feed, earth, command and output.
        share: of the current that comes from the feed; the rest comes from earth.
        share_slopes: its change with the same.
    """

    current: float
    slopes: Floats
    share: float
    share_slopes: Floats


def _aim(target: Target, at: Floats) -> float:
    """The voltage over earth that a driver aims at."""
    supply = max(float(at[0] - at[1]), 0.0)
    if target.volt is not None:
        return min(target.volt, supply)
    return target.share(float(at[2] - at[1]))[0] * supply


def driven(target: Target, at: Floats) -> Flow:
    """The flow of a driver at the voltages of its feed, earth, command and output."""
    feed, earth, command, output = at.tolist()
    supply, live = max(feed - earth, 0.0), float(feed > earth)
    share, bend = target.share(command - earth)
    bends = np.array([0.0, -bend, bend, 0.0])
    if target.volt is None:
        slopes = np.array([share * live, -share * live, 0.0, 0.0]) + supply * bends
    else:
        reach = live if supply < target.volt else 0.0
        slopes = np.array([reach, -reach, 0.0, 0.0])
    awake = min(supply / _WAKING_VOLT, 1.0) if target.sink else 1.0
    siemens = awake / target.ohm
    missing = earth + _aim(target, at) - output
    current = siemens * missing
    slopes = siemens * (slopes + np.array([0.0, 1.0, 0.0, -1.0]))
    if target.sink and 0 < supply < _WAKING_VOLT:
        waking = missing / (target.ohm * _WAKING_VOLT)
        slopes = slopes + np.array([waking, -waking, 0.0, 0.0])
    wrong_way = current > 0 if target.sink else current < 0
    if wrong_way:
        current, slopes = 0.0, np.zeros(4)
    elif abs(current) > target.limit:
        current, slopes = float(np.copysign(target.limit, current)), np.zeros(4)
    current += _LEAK * missing
    slopes = slopes + _LEAK * np.array([0.0, 1.0, 0.0, -1.0])
    if target.pulsed:
        return Flow(current, slopes, share, bends)
    return Flow(current, slopes, 0.0 if target.sink else 1.0, np.zeros(4))
