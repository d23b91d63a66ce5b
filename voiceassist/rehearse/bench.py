"""The simulated vehicle under a trainee's hands: what is wished comes about, and is told."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.circuit.model import Probe, Shows
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.leads import LEADS, VOLTS
from voiceassist.prove.file_answer import Stuck, told
from voiceassist.prove.technician import WATCH_S, is_watched
from voiceassist.reason.sampling import sight, sight_of
from voiceassist.rehearse.acts import Act, Test
from voiceassist.rehearse.dial import turned
from voiceassist.rehearse.eyes import views
from voiceassist.rehearse.moving import MOVE_S, WAIT_S, WARM_S, Noticed, moved, warmed, watched
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.rehearse.worktop import Worktop
from voiceassist.session.shown import show

_SHOWS = MappingProxyType(
    {Verb.VOLTS: Shows.VOLTAGE, Verb.OHMS: Shows.RESISTANCE, Verb.LAMP: Shows.LAMP}
)


@dataclass(slots=True)
class Bench(Worktop):
    """One vehicle under a trainee's hands."""

    def do(self, wish: Wish, step: Step | None = None) -> Act:
        """Let ``wish`` come about; ``step`` is the one that the procedure is at, if it leads.

        What the circuit cannot do is told in a sentence and changes nothing.
        """
        before, self.meter.display = self.meter.display, ()
        try:
            act = self._done(wish, step)
        except (CircuitError, Stuck) as error:
            why = error.found if isinstance(error, CircuitError) else str(error)
            act = self._tells(wish, "cannot", why=why)
        self.meter.display = self.meter.display or before
        self.acts.append(act)
        return act

    def is_done(self, step: Step) -> None:
        """A step of the procedure was told as done, and leaves the vehicle so."""
        for condition, state in step.sets:
            self.vehicle.change(condition, state)

    def is_put_right(self, finding: str) -> None:
        """What was found was put right, as the procedure has it."""
        if finding not in self.put_right:
            self.put_right.append(finding)
        if finding in self.right and self.vehicle is not self.mended:
            self._make_good()

    # --- what can be wished ---

    def _done(self, wish: Wish, step: Step | None) -> Act:
        if wish.verb is Verb.READ:
            return self._read(wish, step)
        if wish.verb is Verb.LOOK and step is not None and step.kind is Kind.ASK:
            return self._ask(replace(wish, one=step.name))
        return {
            Verb.AMPS: self._through,
            Verb.BRING: self._bring,
            Verb.LOOK: self._look,
            Verb.ASK: self._ask,
            Verb.CHANGE: self._change,
            Verb.MEND: self._mend,
            Verb.WAIT: self._wait,
            Verb.WIGGLE: self._wiggle,
            Verb.WARM: self._warm,
            Verb.DIAL: self._turn,
            Verb.TO_CURRENT: self._plug,
            Verb.TO_VOLTS: self._plug,
        }.get(wish.verb, self._between)(wish)

    def _bring(self, wish: Wish) -> Act:
        condition, state = wish.one, wish.other
        if self.vehicle.conditions.get(condition) == state:
            return replace(
                self._tells(wish, "already", state=self._state(condition, state)), minutes=0
            )
        slips = list(self._too_early(condition, state))
        blown = self._blown()
        self.vehicle.change(condition, state)
        self.vehicle.passes(1)
        self.vehicle.settle()
        slips += [self._say("fuse", fuse=fuse) for fuse in sorted(self._blown() - blown)]
        told = " ".join([self._say("done", state=self._state(condition, state)), *slips])
        return replace(self._act(wish, told), slips=tuple(slips))

    def _too_early(self, condition: str, state: str) -> Iterator[str]:
        """What had to be so before ``condition`` is changed, and is not."""
        for need in self.setup.procedure.before_changing.get(condition, ()):
            if need.condition == condition and need.state == state:
                continue
            if self.vehicle.conditions.get(need.condition) != need.state:
                yield self._say("too-early", condition=condition, instruction=need.instruction)

    def _read(self, wish: Wish, step: Step | None) -> Act:
        """As the step at hand has it, with what is held only meanwhile."""
        if step is None or (probe := self.vehicle.circuit.probes.get(step.name)) is None:
            if step is None:
                return replace(self._tells(wish, "hold-it-first"), minutes=0)
            return self._ask(replace(wish, one=step.name))
        before = dict(self.vehicle.conditions)
        for need in step.needs:
            if need.momentary:
                self.vehicle.change(need.condition, need.state)
        self._look_on(step)
        act = self._held(wish, probe, step)
        self.vehicle.conditions.clear()
        self.vehicle.conditions.update(before)
        return act

    def _look_on(self, step: Step) -> None:
        """Let a second pass; where one watches, more, until a fault that comes and goes shows."""
        self.vehicle.passes(1)
        if not (is_watched(step) and self.vehicle.moves):
            return
        self.vehicle.forget_showing()
        for _ in range(WATCH_S):
            self.vehicle.shows(step.name)
            if self.vehicle.has_shown:
                return
            self.vehicle.passes(1)

    def _between(self, wish: Wish) -> Act:
        self.vehicle.passes(1)
        probe = Probe(_SHOWS[wish.verb], red=wish.one, black=wish.other)
        return self._held(wish, probe, self._like(probe))

    def _through(self, wish: Wish) -> Act:
        self.vehicle.passes(1)
        circuit = self.vehicle.circuit
        probes = [p for p in circuit.probes.values() if p.through == wish.one]
        return self._held(wish, probes[0], self._like(probes[0]))

    def _look(self, wish: Wish) -> Act:
        told = self._looks(views(self.vehicle.circuit, self.vehicle.conditions))
        return self._act(wish, told or self._say("nothing-to-see"))

    # --- what makes a fault come ---

    def _wait(self, wish: Wish) -> Act:
        change = watched(self.vehicle, WAIT_S, self.meter.probe)
        if change is None:
            return self._tells(wish, "nothing-changes")
        text = self._say("after", seconds=str(change.second), looks=self._seen(change))
        return self._act(wish, text)

    def _wiggle(self, wish: Wish) -> Act:
        """Each place that can be moved by hand is moved, and let go again."""
        places = moved(self.setup.procedure)
        if not places:
            return self._tells(wish, "nothing-moves")
        found = [one for place in places if (one := self._moved(*place)) is not None]
        said = " ".join(text for text, _ in found) or self._say("nothing-changes")
        test = next((test for _, test in found if test is not None), None)
        return replace(self._act(wish, said), test=test)

    def _moved(self, condition: str, state: str) -> tuple[str, Test | None] | None:
        """What comes of one place moved: its words, and what the instrument let one see."""
        before = self.vehicle.conditions.get(condition, "")
        self.vehicle.change(condition, state)
        change = watched(self.vehicle, MOVE_S, self.meter.probe)
        test = self._test(change) if change is not None else None
        do = self.setup.procedure.conditions[condition][state]
        said = self._say("when-moved", do=do, looks=self._seen(change)) if change else ""
        self.vehicle.change(condition, before)
        self.vehicle.passes(1)
        return (said, test) if change is not None else None

    def _test(self, change: Noticed) -> Test | None:
        if change.shows is None or self.meter.probe is None:
            return None
        step = self._like(self.meter.probe)
        return self._tested(step, self.meter.probe, sight_of(change.shows))

    def _warm(self, wish: Wish) -> Act:
        """What is not warm yet gets so, and stays so."""
        said: list[str] = []
        for condition, state in warmed(self.setup.procedure):
            self.vehicle.change(condition, state)
            change = watched(self.vehicle, WARM_S, self.meter.probe)
            said.append(self._say("done", state=self._state(condition, state)))
            said.append(self._seen(change) if change else self._say("nothing-changes"))
        return self._act(wish, " ".join(said) or self._say("nothing-moves"))

    def _ask(self, wish: Wish) -> Act:
        self.vehicle.passes(1)
        asked = self.setup.procedure.step(wish.one)
        meaning = told(asked, self.vehicle.told(asked.name))
        found = show(meaning, asked, self.setup.book)
        test = Test(asked.name, None, self._states(), sight(meaning), found)
        act = self._tells(wish, "answer", shown=found)
        return replace(act, test=test, minutes=self._minutes(wish, asked))

    def _change(self, wish: Wish) -> Act:
        findings = self.setup.procedure.findings
        bad = {findings[name].condemns for name in self.right}
        if wish.one in bad and self.vehicle is not self.mended:
            self._make_good()
        return replace(self._act(wish, self._of_part("changed", wish.one)), condemned=wish.one)

    def _mend(self, wish: Wish) -> Act:
        """What was named is put right, whether it was the fault or not."""
        if not self.named:
            return replace(self._tells(wish, "name-it-first"), minutes=0)
        self.is_put_right(self.named)
        return self._tells(wish, "mended")

    def _make_good(self) -> None:
        self.mended.conditions.update(self.vehicle.conditions)
        self.vehicle, self.many = self.mended, len(self.acts)

    # --- the meter's own settings ---

    def _turn(self, wish: Wish) -> Act:
        kind, top = turned(wish.one)
        self.meter.dial = replace(self.meter.dial, kind=kind, top=top)
        return self._tells(wish, "dial-set", range=self.meter.setting)

    def _plug(self, wish: Wish) -> Act:
        """The red lead goes to another socket: as the procedure has it, where it has any."""
        amps = wish.verb is Verb.TO_CURRENT
        sockets = self.setup.procedure.conditions.get(LEADS, {})
        state = next((s for s in sockets if (s != VOLTS) is amps), "")
        text = self._say("socket-current" if amps else "socket-volts")
        if state:
            act = self._bring(Wish(Verb.BRING, LEADS, state))
            return replace(act, wish=wish, told=" ".join([text, *act.slips]))
        self.meter.dial = replace(self.meter.dial, in_current=amps)
        return self._act(wish, text)
