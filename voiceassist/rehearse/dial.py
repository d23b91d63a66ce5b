"""The dial and the sockets of the meter, where nobody leads and the trainee sets them himself."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from voiceassist.circuit.model import Shows
from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.session.session import SessionSetup

#: What the dial can be turned to, by what an instrument shows there.
DIALS: Final[Mapping[Shows, str]] = MappingProxyType(
    {Shows.VOLTAGE: "voltage", Shows.RESISTANCE: "resistance"}
)
#: From so many volts on, a place is live for a meter set to ohms. Common practice, no source.
LIVE_V: Final = 1


@dataclass(frozen=True, slots=True)
class Dial:
    """How the meter is set.

    Parts:
        kind: the quantity it is turned to; empty as long as the meter chooses itself.
        top: of the range that is held; None while it chooses that itself.
        in_current: the red lead is in the current socket.
    """

    kind: str = ""
    top: Quantity | None = None
    in_current: bool = False

    def fits(self, shows: Shows) -> bool:
        """Whether what ``shows`` names can be read with it."""
        return not self.kind or DIALS.get(shows, self.kind) == self.kind

    def is_beyond(self, value: Quantity) -> bool:
        """Whether ``value`` is more than its range holds."""
        if self.top is None or self.top.unit.quantity != value.unit.quantity:
            return False
        return abs(value.in_base) > self.top.in_base


def ranges(setup: SessionSetup) -> Mapping[str, str]:
    """What the dial can be set to, and how each is said: a quantity, or the top of a range."""
    whole = {kind: setup.book.plain(f"rehearse.dial-{kind}") for kind in DIALS.values()}
    meter = setup.meter.ranges if setup.meter is not None else ()
    tops = [each.top for each in meter if each.quantity in whole]
    return {**whole, **{str(top): setup.book.say(Reading(top.value, top.unit)) for top in tops}}


def turned(name: str) -> tuple[str, Quantity | None]:
    """The quantity and the range of what the dial is set to, called as in ``ranges``."""
    if name in DIALS.values():
        return name, None
    top = Quantity.parse(name)
    return top.unit.quantity, top
