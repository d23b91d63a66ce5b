"""What each test of a rehearsal was worth when it was made."""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.reason.adviser import Adviser
from voiceassist.reason.belief import Suspects
from voiceassist.reason.infer import Seen
from voiceassist.reason.next_test import NOTHING_TOLD
from voiceassist.rehearse.acts import Act, Test
from voiceassist.rehearse.tested import seen_in
from voiceassist.rehearse.wishes import Verb

#: Likeliest findings that the strip tells after each test.
_TOLD = 3
#: How the procedure's own tests are made where it leads.
_AS_LED = frozenset({Verb.READ, Verb.ASK, Verb.LOOK})


@dataclass(frozen=True, slots=True)
class Looked:
    """One test, and what it was worth.

    Parts:
        test: what was held where, and what was seen.
        bits: what it could tell on average at that time; None where the table has no such test.
        best, best_bits: the step that would have told most for its minutes then, and how much.
        belief: how likely each finding was after it.
        minutes: about how long it takes.
        led: the procedure asked for it.
    """

    test: Test
    bits: float | None
    best: str
    best_bits: float
    belief: Suspects
    minutes: float
    led: bool = False

    @property
    def idle(self) -> bool:
        """It could tell nothing when it was made."""
        return self.bits is not None and self.bits < NOTHING_TOLD

    @property
    def likely(self) -> Sequence[tuple[str, float]]:
        """The likeliest findings after it."""
        return self.belief.ranked[:_TOLD]


def looked_at(adviser: Adviser, acts: Sequence[Act], *, led: bool) -> list[Looked]:
    """Every test with what it was worth, each with what was known before it."""
    seen: list[Seen] = []
    found: list[Looked] = []
    steps = tuple(adviser.setup.procedure.steps)
    for act in acts:
        test = act.test
        if test is None:
            continue
        worths = {w.place: w for w in adviser.next_tests(seen, steps)}
        best = max(worths.values(), key=lambda worth: worth.rate, default=None)
        place = adviser.samples.at(test.step, test.states) if test.step else None
        again = place is not None and any(one.place == place for one in seen)
        bits = None if place is None else 0.0 if again else adviser.bits(seen, place)
        if not again and (one := seen_in(adviser, act)) is not None:
            seen.append(one)
        found.append(
            Looked(
                test,
                bits,
                adviser.samples.places[best.place].step if best else "",
                best.bits if best else 0.0,
                adviser.belief(seen),
                act.minutes,
                led and act.wish.verb in _AS_LED,
            )
        )
    return found
