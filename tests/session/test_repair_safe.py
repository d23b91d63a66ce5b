"""What was switched off on the way to a repair is not switched on again for it."""

from itertools import combinations, product

import pytest
from benchmarks.technicians import setup_named
from whole_jobs import whole_job

from voiceassist import resources
from voiceassist.session.actions.enter import open_needs
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Session

SHIPPED = sorted(path.stem for path in resources.folder("procedures").glob("*.yaml"))


def test_lamps_and_blower_stay_off_while_the_minus_clamp_comes_off() -> None:
    done = whole_job(setup_named("no-charging"), "charge-joint-burnt")
    repair = [
        (o.name, o.state)
        for turn in done.turns
        for o in turn.outputs
        if isinstance(o, ConditionChange) and not o.met and o.step == "off-battery"
    ]
    assert repair == [("loads", "off"), ("engine", "off")]


@pytest.mark.parametrize("name", SHIPPED)
def test_no_repair_asks_for_a_state_that_neither_it_needs_nor_rest_nor_safety(name: str) -> None:
    """However any two conditions were left by the last measurement."""
    setup = setup_named(name)
    procedure = setup.procedure
    safe = {(n.condition, n.state) for needs in procedure.before_changing.values() for n in needs}
    fine = safe | set(procedure.at_rest.items())
    states = [[(c, state) for state in told] for c, told in procedure.conditions.items()]
    for step in procedure.repairs.values():
        needed = {(need.condition, need.state) for need in step.needs} | fine
        for left in (known for two in combinations(states, 2) for known in product(*two)):
            changes = open_needs(setup, Session(step=step.name, conditions=left))
            assert {(n.condition, n.state) for n in changes} <= needed, (step.name, left)


@pytest.mark.parametrize("name", ["no-charging", "charging-by-module", "no-crank"])
def test_the_minus_clamp_comes_off_with_no_load_on(name: str) -> None:
    """Clamps are parted without current, for the spark at a gassing battery: common practice."""
    procedure = setup_named(name).procedure
    loads = {(c, "off") for c in ("loads", "headlamps") if c in procedure.conditions}
    off = [step for step in procedure.repairs.values() if "minus clamp off" in step.text]
    assert off
    for step in off:
        assert loads <= {(need.condition, need.state) for need in step.needs}, step.name
