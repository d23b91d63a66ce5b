"""The simulated vehicle with a meter held to it, and the words for what comes of that."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from voiceassist.circuit.model import Probe
from voiceassist.circuit.parts import Fuse
from voiceassist.language.meanings import Lamp, Meaning, OverRange
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Step
from voiceassist.procedure.parts.asking import is_plural
from voiceassist.prove.vehicle import States, Vehicle
from voiceassist.reason.places import followed
from voiceassist.reason.samples import Sight
from voiceassist.rehearse.acts import MINUTES, Act, Test
from voiceassist.rehearse.eyes import Sighting
from voiceassist.rehearse.instrument import BenchMeter
from voiceassist.rehearse.moving import Noticed
from voiceassist.rehearse.wishes import Wish
from voiceassist.session.session import Result, SessionSetup


@dataclass(slots=True)
class Worktop:
    """A vehicle, a meter that is held to it, and all that was done, told in sentences.

    Parts:
        setup: of the procedure, whose book has the sentences.
        vehicle: with the fault in it.
        meter: that is held to it.
        mended: the same vehicle without its fault.
        right: findings that name the fault.
        named: the finding that was reached; empty for none.
        acts: what was done, in order.
        put_right: findings that were put right, in order.
        many: so many acts were done when the vehicle became good; None while it is not.
    """

    setup: SessionSetup
    vehicle: Vehicle
    meter: BenchMeter
    mended: Vehicle
    right: tuple[str, ...]
    named: str = ""
    acts: list[Act] = field(default_factory=list)
    put_right: list[str] = field(default_factory=list)
    many: int | None = None

    def shown_at(self, step: str) -> tuple[Meaning, ...]:
        """What the instrument showed at ``step``; empty where it was held elsewhere since."""
        last = next((act.test for act in reversed(self.acts) if act.test is not None), None)
        own = self.vehicle.circuit.probes.get(step)
        at_it = last is not None and (last.step == step or (own is not None and last.probe == own))
        return self.meter.display if at_it else ()

    def misread(self, result: Result) -> str:
        """What the instrument showed where ``result`` tells something else; else empty."""
        told = result.quantity or result.meaning
        if not isinstance(told, Quantity | OverRange | Lamp):
            return ""
        return self.meter.otherwise(told, self.shown_at(result.step))

    def _held(self, wish: Wish, probe: Probe, step: Step | None) -> Act:
        """The instrument is held as ``probe`` has it, as ``step`` would have it held."""
        held = self.meter.held(self.vehicle, probe, step)
        act = replace(self._act(wish, held.text), slips=held.slips)
        if held.sight is None:
            return act
        test = self._tested(step, probe, held.sight, held.figures)
        return replace(act, test=test, minutes=self._minutes(wish, step))

    def _tested(self, step: Step | None, probe: Probe, seen: Sight, figures: str = "") -> Test:
        return Test(step.name if step is not None else "", probe, self._states(), seen, figures)

    def _like(self, probe: Probe) -> Step | None:
        """The step that is read with just this probe; of several, the one in these states."""
        steps = self.setup.procedure.steps
        own = [
            steps[n] for n, p in self.vehicle.circuit.probes.items() if p == probe and n in steps
        ]
        return max(own, key=self._holding, default=None)

    def _holding(self, step: Step) -> int:
        """How many of the states that ``step`` needs hold, less those that do not."""
        now = self.vehicle.conditions
        return sum(1 if now.get(need.condition) == need.state else -1 for need in step.needs)

    def _looks(self, seen: Iterable[Sighting]) -> str:
        return " ".join(self._of_part(f"look-{view.look}", view.part) for view in seen)

    def _of_part(self, key: str, part: str) -> str:
        return self._say(f"{key}-many" if is_plural(part) else key, part=part)

    def _seen(self, change: Noticed) -> str:
        """What looks otherwise, and what the instrument shows then."""
        looks = self._looks(change.looks)
        if change.shows is None or self.meter.probe is None:
            return looks
        step = self._like(self.meter.probe)
        shows = self.meter.read(self.vehicle, change.shows, self.meter.probe, step)
        return f"{looks} {shows.text}".strip()

    def _tells(self, wish: Wish, key: str, **words: str) -> Act:
        return self._act(wish, self._say(key, **words))

    def _act(self, wish: Wish, text: str) -> Act:
        return Act(wish, text, MINUTES[wish.verb])

    def _minutes(self, wish: Wish, step: Step | None) -> float:
        """About how long a test takes: as the file tells of the step that makes it, where it does.

        What has to be opened for it is opened once.
        """
        told = step.details.effort_s if step is not None else None
        done = step is not None and any(a.test and a.test.step == step.name for a in self.acts)
        return MINUTES[wish.verb] if step is None or told is None or done else told / 60

    def _say(self, key: str, **words: str) -> str:
        return self.setup.book(f"rehearse.{key}", **words)

    def _state(self, condition: str, state: str) -> str:
        wording = self.setup.procedure.wordings.get(condition, {}).get(state)
        return wording.holds if wording is not None else f"{condition} {state}"

    def _states(self) -> States:
        return followed(self.vehicle.circuit, self.vehicle.conditions)

    def _blown(self) -> set[str]:
        parts = self.vehicle.circuit.parts.items()
        return {name for name, part in parts if isinstance(part, Fuse) and part.blown}
