"""Which readings can be at all at a step, where its file does not tell."""

import re
from contextlib import suppress
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import base_unit
from voiceassist.procedure.model import Step
from voiceassist.session.limits import limit_now
from voiceassist.session.on_range import OVER_TOP
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.values import facts

#: What procedures call the two ends of the battery, and what parts the place from the load.
_BATTERY, _UNDER = "battery posts", re.compile(r",| while ")
#: Less than any battery gives that gave its voltage a while ago, even as it cranks.
_NOTHING = Quantity.parse("1 V")
Bounds = tuple[Quantity, Quantity]

#: Charging, a second battery in series and a start by a charger lift the supply to twice the
#: highest voltage that is spoken of at the most, and none of a lorry beyond two of its own in
#: series. Common practice, no source.
_TIMES, _TWO_OF_A_LORRY = Decimal(2), Quantity.parse("48 V")
#: A limit from here on speaks of the supply, and not only of a drop or of a sensor.
_SUPPLY = Quantity.parse("9 V")
#: So no voltage up to here is out of the question.
_ALWAYS = _SUPPLY.times(_TIMES)
#: Voltage class A of road vehicles ends here, for direct current (ISO 6469-3, from memory).
_LOW_VOLTAGE = Quantity.parse("60 V")
#: A starter motor draws hundreds of amps; nothing in a vehicle's low supply draws more than this.
#: Common practice, no source.
_MOST_CURRENT = Quantity.parse("3000 A")
#: More than any hand meter shows.
_MOST_RESISTANCE = Quantity.parse("10 GΩ")


def bounds(setup: SessionSetup, session: Session, step: Step) -> Bounds | None:
    """The least and the most that can be read at ``step``; None when nothing tells.

    Where the step has no plausible values of its own, a voltage is held against the highest one
    that the procedure speaks of, since no part of a vehicle has many times its supply.
    """
    if step.plausible is not None or step.unit is None or step.fact:
        return step.plausible
    if step.unit.quantity == "voltage":
        highest = _highest(setup, session, step)
        most = highest.times(_TIMES)
        most = min(most, _TWO_OF_A_LORRY) if highest < _TWO_OF_A_LORRY else most
        return _either_way(most if highest >= _SUPPLY else _LOW_VOLTAGE)
    if step.unit.quantity == "current":
        return _either_way(step.meter.times(OVER_TOP) if step.meter else _MOST_CURRENT)
    if step.unit.quantity == "resistance":
        return Quantity(Decimal(0), _MOST_RESISTANCE.unit), _MOST_RESISTANCE
    return None


def possible(setup: SessionSetup, session: Session, step: Step, value: Quantity) -> bool:
    """True when ``value`` can be read at ``step``."""
    if step.plausible is None and value.unit.quantity == "voltage" and abs_of(value) <= _ALWAYS:
        return True  # as most are; the bounds need every limit of the procedure
    found = bounds(setup, session, step)
    return found is None or found[0] <= value <= found[1]


def has_no_contact(setup: SessionSetup, session: Session, step: Step, value: Quantity) -> bool:
    """True for next to nothing where a lead is rather off than the supply.

    Across a battery that read as one before; and where a supply is wanted, while no reading has
    shown yet that meter and leads show any.
    """
    if value.unit.quantity != "voltage" or abs_of(value) >= _NOTHING:
        return False
    volts = [
        (result.step, abs_of(result.quantity))
        for result in session.ledger
        if result.quantity is not None
        and not result.superseded
        and result.quantity.unit.quantity == "voltage"
    ]
    if _BATTERY not in step.text:
        shown = any(quantity >= _NOTHING for _, quantity in volts)
        return not shown and _wants_supply(setup, session, step)
    places = {name: _place(setup.procedure.step(name).text) for name, _ in volts}
    here = [quantity for name, quantity in volts if places[name] == _place(step.text)]
    return not volts or any(quantity >= _SUPPLY for quantity in here)


def _wants_supply(setup: SessionSetup, session: Session, step: Step) -> bool:
    limit = limit_or_none(setup, session, step)
    low = limit.low if limit is not None else None
    return low is not None and low.unit.quantity == "voltage" and low >= _SUPPLY


def _place(text: str) -> str:
    """Where it is measured, without the load it is measured under."""
    return _UNDER.split(text, maxsplit=1)[0]


def limit_or_none(setup: SessionSetup, session: Session, step: Step) -> Limit | None:
    """The limit of ``step`` as it stands; None when it has none, or none that can be told yet."""
    with suppress(MeasureError):
        filled = limit_now(setup, session, step)
        return filled.limit if filled is not None else None
    return None


def _either_way(most: Quantity) -> Bounds:
    return -most, most


def _highest(setup: SessionSetup, session: Session, step: Step) -> Quantity:
    """The highest voltage of facts, of limits that hang on nothing, and of the step's own."""
    volt = base_unit("voltage")
    found = [value for value in facts(setup, session).values() if value.unit.quantity == "voltage"]
    for other in setup.procedure.steps.values():
        if other.limit is not None and not other.limit.names:
            found += _ends(other.limit.fill({}))
    found += _ends(limit_or_none(setup, session, step))
    volts = (abs_of(v.to(volt)) for v in found if v.unit.quantity == "voltage")
    return max(volts, default=Quantity(Decimal(0), volt))


def abs_of(value: Quantity) -> Quantity:
    """``value`` without its sign."""
    return Quantity(abs(value.value), value.unit)


def _ends(limit: Limit | None) -> list[Quantity]:
    return [end for end in (limit.low, limit.high) if end is not None] if limit else []
