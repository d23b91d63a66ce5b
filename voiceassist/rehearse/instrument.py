"""The instrument in a trainee's hands: what it shows, and what comes of one that is set wrongly."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from voiceassist.circuit.model import Probe, Shows
from voiceassist.circuit.probe import Shown, shown
from voiceassist.language.meanings import Lamp, Meaning, OverRange, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Step
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.samples import Sight
from voiceassist.reason.sampling import sight_of
from voiceassist.rehearse.dial import DIALS, LIVE_V, Dial
from voiceassist.session.session import SessionSetup


@dataclass(frozen=True, slots=True)
class Held:
    """What came of an instrument that was held to the vehicle.

    Parts:
        text: in sentences.
        slips: what was not safe about it, or did damage, each in a sentence.
        sight: what it let one see; None for nothing.
        figures: the same as the display has it.
    """

    text: str
    slips: tuple[str, ...] = ()
    sight: Sight | None = None
    figures: str = ""


@dataclass(slots=True)
class BenchMeter:
    """A meter, and how it is set.

    Parts:
        setup: of the procedure, whose book has the sentences.
        hand: the meter with its errors.
        dial: how it is set.
        display: what it showed when it was held last.
        probe: how it was held last; None as long as it was not.
    """

    setup: SessionSetup
    hand: MeterInUse
    dial: Dial = field(default_factory=Dial)
    display: tuple[Meaning, ...] = ()
    probe: Probe | None = None

    @property
    def setting(self) -> str:
        """What the dial is turned to, in words."""
        return str(self.dial.top or self.setup.book.plain(f"rehearse.dial-{self.dial.kind}"))

    def held(self, vehicle: Vehicle, probe: Probe, step: Step | None) -> Held:
        """Hold it to ``vehicle`` as ``probe`` has it, set as for ``step``.

        Raises:
            CircuitError: the vehicle cannot be solved so.
        """
        if probe.shows in {Shows.VOLTAGE, Shows.RESISTANCE} and self._is_in_line(vehicle):
            return self._joined(vehicle, probe)
        if (unfit := self._unfit(vehicle, probe)) is not None:
            return unfit
        self.probe = probe
        shows = shown(vehicle.circuit, vehicle.conditions, probe)
        if shows.invalid:
            return self._slip("ohms-live", why=shows.invalid)
        return self.read(vehicle, shows, probe, step)

    def read(self, vehicle: Vehicle, shows: Shown, probe: Probe, step: Step | None) -> Held:
        """What the display has of what ``probe`` ``shows``; the meter may be damaged by it."""
        seen = self._displayed(vehicle, shows, probe, step)
        if isinstance(seen, str):
            return Held(seen, (seen,), sight_of(shows))
        self.display += (seen,)
        return Held(self._told(seen), (), sight_of(shows), self._figures(seen))

    def otherwise(self, told: Quantity | OverRange | Lamp, seen: Sequence[Meaning]) -> str:
        """What was ``seen`` last, where ``told`` is none of that to the last digit told."""
        if not seen or any(_agrees(told, each) for each in seen):
            return ""
        over = seen[-1] == OverRange()
        return self.setup.book.plain("rehearse.over-range") if over else self._figures(seen[-1])

    def _unfit(self, vehicle: Vehicle, probe: Probe) -> Held | None:
        """What comes of a dial that does not fit; None where it does."""
        if probe.shows not in DIALS or not self.dial.kind:
            return None
        fits = self.dial.fits(probe.shows)
        place = probe if fits else replace(probe, shows=Shows.VOLTAGE)
        value = shown(vehicle.circuit, vehicle.conditions, place).value
        if not fits:
            right = self.setup.book.plain(f"rehearse.dial-{DIALS[probe.shows]}")
            ohms = self.dial.kind == DIALS[Shows.RESISTANCE]
            if ohms and value is not None and abs(value.in_base) >= LIVE_V:
                return self._slip("dial-live", right=right, range=self.setting)
            return Held(self._say("dial-wrong", right=right, range=self.setting))
        if value is None or not self.dial.is_beyond(value):
            return None
        over = self._slip("dial-over", range=self.setting)
        return over if probe.shows is Shows.VOLTAGE else Held(over.text)

    def _is_in_line(self, vehicle: Vehicle) -> bool:
        """The red lead stands in the current socket, as a step that reads a current has it."""
        if self.dial.in_current:
            return True
        reading = (s for s in self.setup.procedure.steps.values() if s.meter is not None)
        return any(
            need.state == str(step.meter) and vehicle.conditions.get(need.condition) == need.state
            for step in reading
            if step.meter is not None and step.meter.unit.quantity == "current"
            for need in step.needs
        )

    def _joined(self, vehicle: Vehicle, probe: Probe) -> Held:
        """An ammeter held like a voltmeter joins both places like a wire."""
        meter = replace(probe, shows=Shows.CURRENT, clamp=False)
        shows = shown(vehicle.circuit, vehicle.conditions, meter)
        seen = self._displayed(vehicle, shows, meter, None)
        return self._slip("in-line", shows=seen if isinstance(seen, str) else self._told(seen))

    def _displayed(
        self, vehicle: Vehicle, shows: Shown, probe: Probe, step: Step | None
    ) -> Meaning | str:
        """What the display shows; a sentence where the meter is damaged."""
        if shows.lamp:
            return Lamp(shows.lamp)
        if shows.value is not None:
            return self.hand.read(shows.value, self._set_to(probe, step))
        if probe.shows is Shows.CURRENT:
            return self._say("meter-fuse", limit=f"{vehicle.circuit.instruments.ammeter_limit:g} A")
        return OverRange()

    def _set_to(self, probe: Probe, step: Step | None) -> Quantity | None:
        """The range or socket that the meter is set to; a clamp stands on that for the limit."""
        if self.dial.top is not None and DIALS.get(probe.shows) == self.dial.kind:
            return self.dial.top
        if step is None or not probe.clamp or step.meter is not None:
            return step.meter if step is not None else None
        limit = step.limit.fill({}) if step.limit is not None and not step.limit.names else None
        ends = [end for end in (limit.low, limit.high) if end is not None] if limit else []
        return self.hand.top_for(max(ends)) if ends else None

    # --- words ---

    def _slip(self, key: str, **words: str) -> Held:
        text = self._say(key, **words)
        return Held(text, (text,))

    def _told(self, seen: Meaning) -> str:
        if isinstance(seen, OverRange):
            return self._say("over")
        key = "reads" if isinstance(seen, Reading) else "lamp"
        return self._say(key, shown=self._figures(seen))

    def _figures(self, seen: Meaning) -> str:
        if isinstance(seen, Reading):
            return f"{seen.value:f} {seen.unit}" if seen.unit else f"{seen.value:f}"
        return self.setup.book.say(seen)

    def _say(self, key: str, **words: str) -> str:
        return self.setup.book(f"rehearse.{key}", **words)


def _agrees(told: Quantity | OverRange | Lamp, seen: Meaning) -> bool:
    """Whether ``told`` is what was seen, to the last digit that was told."""
    if not isinstance(told, Quantity) or not isinstance(seen, Reading) or seen.unit is None:
        return told == seen
    off = Quantity(seen.value, seen.unit).in_base - told.in_base
    return abs(off) <= told.unit.size_to_base(told.step)
