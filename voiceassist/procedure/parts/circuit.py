"""The circuit that a procedure is proved on: what its steps ask of it, and what they can answer."""

from collections.abc import Iterator, Mapping

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.model import Circuit, Shows
from voiceassist.circuit.read import Probed, read_circuit
from voiceassist.circuit.reading import CircuitReader, KnownNames
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import IN_DOUBT, Kind, Step, written
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.text.tree import Path


def circuit_of(
    steps: Mapping[str, Step],
    conditions: Mapping[str, Mapping[str, str]],
    own: Mapping[str, Path],
    scope: Scope,
) -> tuple[Circuit | None, dict[str, CircuitFault]]:
    """The circuit of the file and its faults; None when there is none or it cannot be used.

    Args:
        steps: all of them, those of used files too.
        conditions: to their states.
        own: where the steps of this file stand.
        scope: its names, and who takes the blame.
    """
    shape = scope.shape
    if shape.circuit is None:
        if shape.faults and not scope.blame.written((), "circuit"):
            scope.blame.error(("faults",), "there is no circuit to be faulty; add 'circuit:'")
        return None, {}
    replies = {name: tuple(_answers(step)) for name, step in steps.items()}
    known = KnownNames(
        conditions={name: list(states) for name, states in conditions.items()},
        steps=replies,
        findings=scope.findings,
        hint=did_you_mean,
    )
    asked = list(_asked(steps, own, scope))
    return read_circuit(shape.circuit, shape.faults, asked, CircuitReader(known, scope.blame))


def _answers(step: Step) -> Iterator[str]:
    """What a question can be answered, doubtful answers that lead somewhere too."""
    yield from (written(reply.name) for reply in step.replies)
    if step.replies:
        yield from (key for key in IN_DOUBT if key in step.routes)


def _asked(steps: Mapping[str, Step], own: Mapping[str, Path], scope: Scope) -> Iterator[Probed]:
    """Steps whose readings are electrical."""
    for name, step in steps.items():
        shows = _shows(step)
        if shows is not None:
            used = next((use for use in scope.uses if name.startswith(f"{use}-")), name)
            yield Probed(name, step.text, shows, own.get(name, ("steps", used)))


def _shows(step: Step) -> Shows | None:
    """The instrument of ``step``; None when the circuit has nothing to do with it."""
    if step.kind is Kind.LAMP:
        return Shows.LAMP
    if step.fact or step.kind not in {Kind.MEASURE, Kind.SWEEP} or step.unit is None:
        return None
    if step.unit.quantity == Shows.DUTY and "duty" not in step.text:
        return None
    return next((shows for shows in Shows if shows == step.unit.quantity), None)
