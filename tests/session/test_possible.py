"""A voltage that no bounds can rule out is let through without working them out."""

from decimal import Decimal

import pytest
from lines import Lines

from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.session.next_action import next_action
from voiceassist.session.possible import bounds, possible

NO_CHARGING = {
    "hybrid": "petrol",
    "told": "no such wire",
    "belt": "good belt",
    "battery": "12.5 volts",
}


@pytest.mark.parametrize("name", ["heater-fan-module", "dim-headlamp", "relay-and-socket"])
@pytest.mark.parametrize(
    "value",
    ["-40 V", "-18 V", "0 V", "12.6 V", "17999 mV", "18 V", "18.1 V", "27.1 V", "45 V", "126 V"],
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


@pytest.mark.parametrize(("value", "can_be"), [("14.2", True), ("28.8", True), ("40.2", False)])
def test_where_fifteen_volts_are_spoken_of_thirty_can_be_and_forty_cannot(
    value: str, can_be: bool
) -> None:
    """Fourteen and forty sound alike, and while it charges nobody is asked which it was."""
    bench = Lines("no-charging").walk("idle-volts", **NO_CHARGING)
    meant = (Reading(Decimal(value), unit("V")),)
    led = next_action(bench.engine.setup, bench.session, meant)
    assert (led != "not here") is can_be
