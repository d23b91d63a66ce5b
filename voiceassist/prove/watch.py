"""Looks over the technician's shoulder: is what the session asks for safe on this circuit?

All is judged on the circuit as it would be without a fault, in the very states that the session
brought about: what is safe only because something is broken is not safe. What hangs on the way
of the session is kept here; what one moment tells is judged in ``watch_reading.py``,
``watch_changing.py`` and ``watch_repair.py``.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from voiceassist.circuit.model import Probe, Shows
from voiceassist.circuit.parts import Plug
from voiceassist.circuit.solve import Solution
from voiceassist.procedure.model import Caution, Procedure, Step
from voiceassist.prove import watch_changing, watch_reading, watch_repair
from voiceassist.prove.hazard import Danger, Hazard, Topic, is_told
from voiceassist.prove.live import burning, solved_or_none, turning
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.watch_repair import CLAMP_OFF, CLAMP_ON

#: A hand is put to what may turn.
_BY_HAND = re.compile(r"\bby hand\b|\b(?:turns?|moves?) freely\b")
_ENGINE = re.compile(r"start the engine|engine .*idle|(?<!the )\bcrank\b")


class Watch:
    """What was seen in one session.

    Args:
        procedure: that is followed.
    """

    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._cautions: list[Caution] = []
        self._turning: frozenset[str] = frozenset()
        self._lit: set[str] = set()
        self._moved: set[str] = set()
        self._in_line = ""
        self._clamp_is_off = False
        self.hazards: dict[Hazard, None] = {}

    def _note(self, found: Iterable[Hazard]) -> None:
        self.hazards.update(dict.fromkeys(found))

    # --- an instrument, or a look ---

    def reads(self, step: Step, vehicle: Vehicle) -> None:
        """``step`` is read or answered in the vehicle's states now."""
        self._cautions += step.cautions
        good = solved_or_none(vehicle.good, vehicle.conditions)
        if good is None:
            return
        self._note(self._motors(step, good))
        self._note(_engine(step, vehicle.conditions))
        self._lit |= set(burning(good))
        probe = vehicle.circuit.probes.get(step.name)
        if probe is not None:
            self._note(watch_reading.to_the_meter(step, probe, vehicle))
            self._note(self._leads(step, probe))
            self._note(watch_reading.to_electronics(step, probe, vehicle))
            self._note(watch_reading.untold_touches(step, probe, vehicle.good, self._cautions))

    def _motors(self, step: Step, good: Solution) -> Iterator[Hazard]:
        """A caution that is missing about a motor that begins to turn."""
        now = frozenset(turning(good))
        if now and _BY_HAND.search(step.text):
            finding = f"a hand is put to it while {min(now)!r} runs; name what is off in 'needs:'"
            yield Hazard(Danger.TOUCHED, step.name, finding)
        fresh = sorted(now - self._turning)
        self._turning = now
        if fresh and not is_told(Topic.MOVING, step.cautions):
            finding = (
                f"{fresh[0]!r} begins to turn here, and no caution tells of what moves; add one"
            )
            yield Hazard(Danger.CAUTION, step.name, finding)

    def _leads(self, step: Step, probe: Probe) -> Iterator[Hazard]:
        """The red lead left in the current socket by a step before."""
        if watch_reading.is_in_line(probe):
            self._in_line = "" if step.meter is not None else step.name
        elif self._in_line and probe.shows is not Shows.LAMP and not probe.clamp:
            finding = f"the red lead still stands in the current socket after {self._in_line!r}"
            finding = f"{finding}; tell the range there with 'meter:'"
            self._in_line = ""
            yield Hazard(Danger.LEADS, step.name, finding)

    # --- a change to the vehicle ---

    def changes(self, step: Step, condition: str, state: str, vehicle: Vehicle) -> None:
        """``condition`` is about to be brought to ``state`` for ``step``."""
        self._cautions += step.cautions
        words = self._procedure.conditions.get(condition, {}).get(state, "")
        first = condition not in self._moved and vehicle.conditions.get(condition) != state
        if first:
            self._moved.add(condition)
        needed = any(n.condition == condition and n.state == state for n in step.needs)
        if first and needed:
            self._note(watch_changing.untold_places(step, words, self._cautions))
        for plug in _moved_by(condition, vehicle):
            self._note(watch_changing.sparks(step, plug, condition, state, vehicle))
            self._note(watch_changing.untold_heat(step, plug, condition, state, vehicle, self._lit))

    # --- a piece of work ---

    def works(self, step: Step, following: Sequence[Step], vehicle: Vehicle, finding: str) -> None:
        """``step`` of the repair of ``finding`` is done; ``following`` come after it."""
        self._cautions += step.cautions
        self._clamp_is_off |= CLAMP_OFF.search(step.text) is not None
        self._note(watch_repair.untold_heat(step))
        if not self._is_dead(vehicle):
            self._note(watch_repair.unfused(step, vehicle, self._procedure, finding))
        self._clamp_is_off &= CLAMP_ON.search(step.text) is None
        if step.fuse is not None:
            self._note(watch_repair.wrong_fuse(step, vehicle))
            self._note(watch_repair.early_fuse(step, following, vehicle, self._procedure))
        self._note(watch_repair.live_work(step, vehicle))

    def _is_dead(self, vehicle: Vehicle) -> bool:
        """True when the minus clamp was taken off, in a repair or as a state of the vehicle."""
        states = vehicle.conditions.items()
        words = (self._procedure.conditions.get(name, {}).get(state, "") for name, state in states)
        lifted = (text for text in words if CLAMP_OFF.search(text) and not CLAMP_ON.search(text))
        return self._clamp_is_off or any("ammeter" not in text for text in lifted)


def _engine(step: Step, states: Mapping[str, str]) -> Iterator[Hazard]:
    """A caution that is missing about an engine that runs."""
    runs = any(
        _ENGINE.search(need.instruction) and states.get(need.condition) == need.state
        for need in step.needs
    )
    if runs and not is_told(Topic.MOVING, step.cautions):
        finding = "the engine turns here, and no caution tells of belt and fan; add one"
        yield Hazard(Danger.CAUTION, step.name, finding)


def _moved_by(condition: str, vehicle: Vehicle) -> list[Plug]:
    return [plug for plug in vehicle.good.plugs.values() if condition in plug.closed_when]
