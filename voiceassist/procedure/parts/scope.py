"""What the parts of a procedure file can refer to."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import Caution, Hold, Need, Point, Source
from voiceassist.procedure.shape.procedure import ProcedureShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


@dataclass(frozen=True, slots=True)
class Scope:
    """The names there are, and who takes the blame for others.

    Parts:
        shape: the file.
        blame: takes what is wrong.
        source: where limits come from that do not tell.
        cautions: its own and the built-in ones.
        steps: names of all steps, those of used files too.
        uses: names of the steps whose place used files take; they can be gone to.
        repairs, findings, facts: likewise.
        answers: name of each question to the names of its answers.
        values: names that limits and formulas can use.
        broken: names of steps that use a file with faults; what they hold is not known.
        reserved: tells whether a phrase already means something in the language.
        states: each condition's states, with the words that bring them about.
        points: test points by name.
        held: condition and state of what holds only while one reads, and how.
    """

    shape: ProcedureShape
    blame: FaultCollector
    source: Source
    cautions: Mapping[str, Caution]
    steps: Sequence[str]
    uses: Sequence[str]
    repairs: Sequence[str]
    findings: Sequence[str]
    facts: Sequence[str]
    answers: Mapping[str, Sequence[str]]
    values: Sequence[str]
    broken: Sequence[str]
    reserved: Callable[[str], bool]
    states: Mapping[str, Mapping[str, str]]
    points: Mapping[str, Point]
    held: Mapping[tuple[str, str], Hold]

    def check_target(self, path: Path, name: str) -> None:
        """Report ``path`` unless ``name`` is a step or finding that may be gone to."""
        if name in self.facts and name not in self.steps:
            message = f"{name!r} is a fact, which is asked for at the start; name a step"
            self.blame.error(path, message)
        else:
            known = [*self.steps, *self.uses, *self.findings]
            self.check_known(path, "step or finding", name, known)

    def check_known(self, path: Path, kind: str, name: str, known: Sequence[str]) -> bool:
        """Report ``path`` unless ``name`` is among ``known``; True when it is.

        Nothing is blamed for what a broken file may hold.
        """
        if name in known:
            return True
        if not self.may_be_broken(name):
            self.blame.error(path, f"there is no {kind} {name!r}" + did_you_mean(name, known))
        return False

    def may_be_broken(self, name: str) -> bool:
        """True when ``name`` may be that of a part of a used file with faults."""
        return any(name.startswith(f"{used}-") for used in self.broken)

    def needs(self, path: Path, needs: Mapping[str, str]) -> tuple[Need, ...]:
        """The states in ``needs`` with the words that bring them about."""
        found = (self._need((*path, name), name, state) for name, state in needs.items())
        return tuple(need for need in found if need is not None)

    def _need(self, path: Path, name: str, state: str) -> Need | None:
        if not self.check_condition(path, name):
            return None
        states = self.states[name]
        if state not in states:
            known = did_you_mean(state, list(states))
            self.blame.error(path, f"{name!r} has no state {state!r}{known}")
            return None
        return Need(name, state, states[state], self.held.get((name, state)))

    def check_condition(self, path: Path, name: str) -> bool:
        """Report ``path`` unless ``name`` is a condition; True when it is."""
        known = list(self.states)
        if name not in known and not self.blame.blamed(("conditions", name)):
            hint = did_you_mean(name, known) or "; add it under 'conditions:'"
            self.blame.error(path, f"there is no condition {name!r}{hint}")
        return name in known
