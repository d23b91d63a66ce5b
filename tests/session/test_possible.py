"""A voltage that no bounds can rule out is let through without working them out."""

import pytest
from lines import Lines

from voiceassist.measure.quantity import Quantity
from voiceassist.session.possible import bounds, possible


@pytest.mark.parametrize("name", ["heater-fan-module", "dim-headlamp", "relay-and-socket"])
@pytest.mark.parametrize(
    "value", ["-40 V", "-27 V", "0 V", "12.6 V", "26999 mV", "27 V", "27.1 V", "45 V", "126 V"]
)
def test_what_is_possible_is_what_lies_within_the_bounds(name: str, value: str) -> None:
    bench = Lines(name)
    read = Quantity.parse(value)
    voltages = 0
    for step in bench.engine.setup.procedure.steps.values():
        found = bounds(bench.engine.setup, bench.session, step)
        if found is not None and step.unit is not None and step.unit.quantity == "voltage":
            voltages += 1
            within = found[0] <= read <= found[1]
            assert possible(bench.engine.setup, bench.session, step, read) is within
    assert voltages > 1
