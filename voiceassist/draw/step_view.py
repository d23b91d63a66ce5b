"""What the picture of a step tells, as values: the drawing and the words are both made of these."""

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from voiceassist.circuit.model import Probe, Shows
from voiceassist.draw.chart import limit_text
from voiceassist.draw.instrument import held_nodes
from voiceassist.draw.look import Look, spoken
from voiceassist.draw.standing import look_of
from voiceassist.measure.scale import Scale
from voiceassist.procedure.checks.flow import targets
from voiceassist.procedure.model import Point, Procedure, Step

RED, BLACK, CLAMP, LAMP, METER = "red lead", "black lead", "clamp", "lamp", "meter"


@dataclass(frozen=True, slots=True)
class StepMoment:
    """What is known while a step is under way; the rest is as the file tells.

    Parts:
        conditions: of the vehicle, as they are now.
        reading: as it is shown; empty before there is one.
        verdict: of the reading; empty for none.
        limit: in figures; empty for the words of the step.
        scale: of limit and reading, for a bar; None for no bar.
    """

    conditions: Mapping[str, str] = field(default_factory=dict)
    reading: str = ""
    verdict: str = ""
    limit: str = ""
    scale: Scale | None = None


@dataclass(frozen=True, slots=True)
class LeadEnd:
    """One end of an instrument.

    Parts:
        end: which: RED, BLACK, CLAMP, LAMP or METER.
        name: of the point, wire or part that it is held to.
        point: what the file tells of it; None for nothing.
    """

    end: str
    name: str
    point: Point | None


@dataclass(frozen=True, slots=True)
class StepView:
    """A step as it is seen.

    Parts:
        procedure, step: which.
        moment: what is known now.
        states: of all conditions.
        probe: where the instrument is; None for a step without one.
        held: its ends.
        look: of a good vehicle; None without a circuit.
        limit: what the reading should be; empty for nothing.
    """

    procedure: Procedure
    step: Step
    moment: StepMoment
    states: Mapping[str, str]
    probe: Probe | None
    held: tuple[LeadEnd, ...]
    look: Look | None
    limit: str

    @property
    def needs(self) -> tuple[tuple[str, str], ...]:
        """The conditions that the step asks for, as they should be."""
        return tuple((need.condition, need.state) for need in self.step.needs)


def step_view(procedure: Procedure, name: str, moment: StepMoment) -> StepView:
    """What is seen at the step ``name``.

    Raises:
        KeyError: there is no such step.
    """
    step, circuit = procedure.step(name), procedure.circuit
    probe = circuit.probes.get(name) if circuit is not None else None
    needed = {need.condition: need.state for need in step.needs}
    first = circuit.at_first if circuit is not None else {}
    states = {**procedure.at_rest, **first, **_carried(procedure, name), **needed}
    states |= {k: v for k, v in moment.conditions.items() if k in procedure.conditions}
    look = look_of(circuit, states, probe) if circuit is not None else None
    if look is not None and circuit is not None:
        look = replace(look, named=_named(procedure, probe))
    held = tuple(_held(procedure, step, probe)) if probe is not None else ()
    limit = moment.limit or limit_text(step)
    return StepView(procedure, step, moment, states, probe, held, look, limit)


def _carried(procedure: Procedure, name: str) -> dict[str, str]:
    """The conditions that the steps before ``name`` leave, on a shortest way to it."""
    ways: dict[str, tuple[str, ...]] = {procedure.first: ()}
    waiting = deque(ways)
    while waiting and name not in ways:
        here = waiting.popleft()
        for target in targets(procedure.steps[here]):
            if target in procedure.steps and target not in ways:
                ways[target] = (*ways[here], here)
                waiting.append(target)
    states: dict[str, str] = {}
    for step in (procedure.steps[one] for one in ways.get(name, ())):
        states |= {need.condition: need.state for need in step.needs if not need.momentary}
        states |= dict(step.sets)
    return states


def _named(procedure: Procedure, probe: Probe | None) -> frozenset[str]:
    """The nodes that a technician has a name for: test points, and what is probed now."""
    assert procedure.circuit is not None
    held = held_nodes(probe) if probe is not None else ()
    spoken = (node for nodes in procedure.circuit.points.values() for node in nodes)
    return frozenset((*points_of(procedure), *spoken, *held))


def points_of(procedure: Procedure) -> dict[str, Point]:
    """Every test point that a step tells of, by name."""
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    return {point.name: point for step in steps for point in step.points}


def _held(procedure: Procedure, step: Step, probe: Probe) -> Iterator[LeadEnd]:
    known = {**points_of(procedure), **{point.name: point for point in step.points}}
    circuit = procedure.circuit
    for name, nodes in (circuit.points if circuit else {}).items():
        if len(nodes) == 1 and name in known:
            known.setdefault(nodes[0], known[name])

    def at(end: str, node: str) -> LeadEnd:
        return LeadEnd(end, spoken(node), known.get(node.partition(" behind ")[0]))

    if probe.lamp is not None:
        yield from (at(LAMP, node) for node in probe.lamp)
    if probe.red and probe.black:
        ends = (LAMP, LAMP) if probe.shows is Shows.LAMP else (RED, BLACK)
        yield from (at(e, node) for e, node in zip(ends, (probe.red, probe.black), strict=True))
    elif probe.through:
        yield at(CLAMP if probe.clamp else METER, probe.through)
