"""A drop that reads next to nothing: it does so without a load too, however bad the joint."""

from contextlib import suppress
from decimal import Decimal

from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.probe import shown
from voiceassist.errors import CircuitError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Step
from voiceassist.session.possible import abs_of, limit_or_none
from voiceassist.session.session import Result, Session, SessionSetup

#: A loaded wire or joint in good order does not lose less than one part in this of what those
#: of the circuit lose. Common practice, no source.
_TIMES = Decimal(10)
#: A drop of less may show as zero on a meter that shows hundredths of a volt.
_LEAST = Quantity.parse("5 mV")


def seems_unloaded(setup: SessionSetup, session: Session, result: Result) -> bool:
    """True for a drop of next to nothing, while nothing yet tells that the load is on."""
    step, circuit = setup.step(session), setup.procedure.circuit
    value = result.quantity
    if circuit is None or value is None or value.unit.quantity != "voltage" or not step.needs:
        return False
    limit = limit_or_none(setup, session, step)
    if limit is None or limit.low is not None or limit.high is None:
        return False
    tenfold = abs_of(value).times(_TIMES)
    if not result.passed or tenfold > limit.high or _by_current(session, step):
        return False
    states = dict(session.holding(step))
    usual = _usual(circuit, step.name, states)
    too_little = usual is not None and tenfold <= usual
    return too_little and not _is_shown_on(setup, session, step, states)


def has_lamp(setup: SessionSetup, step: Step) -> bool:
    """True where a test lamp is the load."""
    circuit = setup.procedure.circuit
    probe = circuit.probes.get(step.name) if circuit is not None else None
    return probe is not None and probe.lamp is not None


def _by_current(session: Session, step: Step) -> bool:
    """Whether the drop is judged by a current that was read."""
    read = [session.latest(name) for name in step.limit.names] if step.limit is not None else []
    return any(one is not None and _is_current(one) for one in read)


def _is_current(result: Result) -> bool:
    found = result.quantity
    return found is not None and found.unit.quantity == "current" and found.value != 0


def _usual(circuit: Circuit, name: str, states: dict[str, str]) -> Quantity | None:
    """The drop that the circuit has in these states where nothing is wrong; None for none."""
    probe = circuit.probes.get(name)
    if probe is None:
        return None
    followed = {one: states.get(one, first) for one, first in circuit.at_first.items()}
    with suppress(CircuitError):
        found = shown(circuit, followed, probe).value
        is_drop = found is not None and found.unit.quantity == "voltage"
        return found if found is not None and is_drop and abs_of(found) >= _LEAST else None
    return None


def _is_shown_on(setup: SessionSetup, session: Session, step: Step, states: dict[str, str]) -> bool:
    """Whether a result since the last change tells that the load is on, or he was asked then."""
    circuit = setup.procedure.circuit
    assert circuit is not None
    probe = circuit.probes[step.name]
    for result in reversed(session.ledger):
        then = dict(result.conditions)
        if any(then.get(one) != states.get(one) for one in circuit.at_first):
            return False
        other = circuit.probes.get(result.step)
        if other is not None and not result.superseded and _tells(setup, probe, other, result):
            return True
    return False


def _tells(setup: SessionSetup, probe: Probe, other: Probe, result: Result) -> bool:
    if probe.lamp is not None and result.quantity is None:
        lit = result.outcome not in {"off", "skipped"}
        return lit and {other.red, other.black} == set(probe.lamp)
    if other.lamp != probe.lamp or result.quantity is None:
        return False
    return _is_current(result) or _drops(setup, result)


def _drops(setup: SessionSetup, result: Result) -> bool:
    """Whether ``result`` is of a drop that would be asked about if it were next to nothing."""
    step, circuit = setup.procedure.step(result.step), setup.procedure.circuit
    is_drop = step.limit is not None and step.limit.low is None
    usual = _usual(circuit, step.name, dict(result.conditions)) if circuit and is_drop else None
    return usual is not None
