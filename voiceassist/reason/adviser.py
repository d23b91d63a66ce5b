"""How sure the findings of a job are, which test would tell most, and what speaks against one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

import numpy as np

from voiceassist.circuit.model import Shows
from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Reading, Spread
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import base_unit
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import GOOD
from voiceassist.reason.belief import Suspects
from voiceassist.reason.infer import UNLISTED, Seen, Shares, after, belief, likelihood, prior
from voiceassist.reason.next_test import NOTHING_TOLD, Worth, worths
from voiceassist.reason.paths import ground_of
from voiceassist.reason.places import followed
from voiceassist.reason.samples import Place, Samples, Sight
from voiceassist.reason.sampling import NOTHING, sampled, sight
from voiceassist.session.session import Result, SessionSetup, Stage
from voiceassist.session.to_come import of_steps
from voiceassist.session.values import estimate

#: What a good vehicle is called where the procedure has no finding for it.
NO_FAULT = "no-fault"
#: No test takes less, in minutes.
_LEAST_MINUTES = 0.25


@dataclass(frozen=True)
class Adviser:
    """Knows what the vehicles of a procedure show.

    Parts:
        setup: of a procedure with a circuit; its meter tells the doubt of readings.
        samples: the table of them.
    """

    setup: SessionSetup
    samples: Samples

    def belief(self, seen: Sequence[Seen]) -> Suspects:
        """How likely each finding is the right one."""
        return belief(self.samples, after(self.samples, seen), self.finding_of)

    def next_tests(self, seen: Sequence[Seen], steps: Iterable[str]) -> list[Worth]:
        """What each of ``steps`` is worth; those that tell nothing left out, the best first."""
        places = self.samples.places
        made = [places[one.place].step for one in seen]
        tests = [(place, self.takes(places[place].step, made)) for place in self._first_of(steps)]
        shares = after(self.samples, seen)
        found = worths(self.samples, shares, tests, self.finding_of, self._doubt)
        return [worth for worth in found if worth.bits >= NOTHING_TOLD]

    def takes(self, step: str, made: Iterable[str]) -> float:
        """About how long ``step`` takes after the steps ``made``, in minutes.

        The waits and works that come ahead of it whichever way one comes, and did not come ahead
        of what was made, count too.
        """
        nothing = frozenset[str]()
        done = nothing.union(*(self._ground.get(one, nothing) for one in made))
        first = self._ground.get(step, nothing) - done
        return sum(minutes(self.setup.procedure, one) for one in (step, *sorted(first)))

    @cached_property
    def _ground(self) -> Mapping[str, frozenset[str]]:
        return ground_of(self.setup.procedure)

    def knowing(self, places: Iterable[Place]) -> "Adviser":
        """The same with ``places`` in its table; each that is new takes a part of a second."""
        new = tuple(dict.fromkeys(p for p in places if p not in self.samples.places))
        if not new:
            return self
        likely = dict(zip(self.samples.causes, self.samples.likely, strict=True))
        more = sampled(self.setup.procedure, new, likely, self.samples.vehicles)
        return replace(self, samples=self.samples.with_more(more))

    def bits(self, seen: Sequence[Seen], place: int) -> float:
        """What the test of a place would tell on average."""
        shares = after(self.samples, seen)
        return worths(self.samples, shares, [(place, 1.0)], self.finding_of, self._doubt)[0].bits

    def seen(self, results: Iterable[Result]) -> list[Seen]:
        """What ``results`` of a session tell of the vehicle as it was met.

        What no vehicle shows is left out, and of a test that was made again all but the last.
        """
        met = (Stage.DIAGNOSE, Stage.BEFORE_FITTING)
        counting = [r for r in results if r.stage in met and not r.superseded]
        found = [one for one in map(self._seen, counting) if one is not None]
        return list({one.place: one for one in found}.values())

    def seen_at(self, place: int, what: Sight) -> Seen:
        """``what`` as seen at a place of the table, with the doubt of the meter."""
        doubt = 0.0 if what.number is None else self._doubt(place, what.number)
        return Seen(place, what, doubt)

    def against(self, seen: Sequence[Seen], finding: str) -> Seen | None:
        """The one of ``seen`` that speaks most against ``finding``; None when none does.

        That is the one which, with what was known before it, was least likely to be seen if
        the finding were right, compared with how likely it was if it were not.
        """
        shares = prior(self.samples)
        causes = (*self.samples.causes, UNLISTED)
        mine = np.array([self.finding_of(cause) == finding for cause in causes])
        strongest, most = None, 0.0
        for one in seen:
            likely = likelihood(self.samples, one)
            speaks = _bits(shares, likely, ~mine) - _bits(shares, likely, mine)
            if speaks > most:
                strongest, most = one, speaks
            shares = after(self.samples, [one], shares)
        return strongest

    def finding_of(self, cause: str) -> str:
        """The finding that ``cause`` is to lead to."""
        procedure = self.setup.procedure
        if cause == GOOD:
            return next((n for n, f in procedure.findings.items() if f.no_fault), NO_FAULT)
        if cause == UNLISTED:
            return UNLISTED
        return (procedure.faults[cause].found_as or (cause,))[0]

    def first(self, step: str) -> int | None:
        """The place that ``step`` is met at most often; None when it sees nothing."""
        names = [place.step for place in self.samples.places]
        return names.index(step) if step in names else None

    def _first_of(self, steps: Iterable[str]) -> list[int]:
        found = (self.first(step) for step in steps)
        return [place for place in found if place is not None]

    def _seen(self, result: Result) -> Seen | None:
        circuit = self.setup.procedure.circuit
        if circuit is None or result.meaning is None:
            return None
        place = self.samples.at(result.step, followed(circuit, dict(result.conditions)))
        what = _sight(result)
        if place is None or what.word == NOTHING:
            return None
        return Seen(place, what, self._doubt_of(result) if what.number is not None else 0.0)

    def _doubt_of(self, result: Result) -> float:
        assert result.quantity is not None
        return float(estimate(self.setup, result.step, result.quantity, result.wander).standard)

    def _doubt(self, place: int, number: float) -> float:
        step = self.samples.places[place].step
        kind = _kind_of(self.setup.procedure, step)
        if kind is None:
            return 0.0
        read = Quantity(Decimal(f"{number:.4g}"), base_unit(kind))
        try:
            return float(estimate(self.setup, step, read).standard)
        except MeasureError:
            return 0.0


def _sight(result: Result) -> Sight:
    if result.quantity is not None and isinstance(result.meaning, Reading | Spread):
        return Sight(float(result.quantity.in_base))
    return sight(result.meaning) if result.meaning is not None else Sight(word=NOTHING)


def _bits(
    shares: Shares, likely: Shares, rows: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> float:
    """How likely it was to be seen with the causes in ``rows``, as a logarithm."""
    total = float(shares[rows].sum())
    if not total:
        return 0.0
    return float(np.log2((shares[rows] * likely[rows]).sum() / total + np.finfo(float).tiny))


def minutes(procedure: Procedure, step: str) -> float:
    """About how long ``step`` takes."""
    return max(_LEAST_MINUTES, of_steps(procedure, [step]).time_s / 60)


def _kind_of(procedure: Procedure, test: str) -> str | None:
    """What a test measures; None when it is no measurement."""
    probes = procedure.circuit.probes if procedure.circuit is not None else {}
    if test in probes and probes[test].shows is not Shows.LAMP:
        return probes[test].shows.value
    unit = procedure.steps[test].unit if test in procedure.steps else None
    return unit.quantity if unit is not None else None
