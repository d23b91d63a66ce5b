"""A simulated trainee at the bench, who does as the file leads or as the advice tells."""

from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType

import numpy as np

from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.walk import walk
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.order import advised
from voiceassist.reason.samples import Place, Sight
from voiceassist.reason.sampling import NOTHING
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.wishes import Verb, Wish


class Leader(StrEnum):
    """What a simulated trainee follows."""

    FILE = "file"
    ADVICE = "advice"


def by_file(adviser: Adviser, bench: Bench, same: Vehicle, seed: int) -> str:
    """Make the tests that the procedure asks for; the finding that it names, empty for none.

    Args:
        adviser: whose procedure it is.
        bench: where they are made.
        same: the vehicle on the bench once more, to find the way.
        seed: of the meter on that way.
    """
    hand = MeterInUse(bench.setup.meter, np.random.default_rng(seed))
    way = walk(adviser.setup, Technician(adviser.setup, same, hand))
    for step, states in same.looked:
        _seen(bench, Place(step, states))
    return way.finding


def by_advice(adviser: Adviser, bench: Bench, same: Vehicle, seed: int) -> str:
    """Make the test that tells most, again and again; the finding that is sure or likeliest then.

    Args:
        adviser: tells which test.
        bench: where it is made.
        same, seed: not needed here.
    """
    procedure = bench.setup.procedure
    course = advised(adviser, tuple(procedure.steps), lambda place: _seen(bench, place))
    return course.finding if course.finding in procedure.findings else ""


#: How each leads a trainee.
LED: Mapping[Leader, Callable[[Adviser, Bench, Vehicle, int], str]] = MappingProxyType(
    {Leader.FILE: by_file, Leader.ADVICE: by_advice}
)


def _seen(bench: Bench, place: Place) -> Sight:
    """What is seen at ``place``, with the vehicle brought into its states before."""
    step = bench.setup.procedure.step(place.step)
    held = {need.condition for need in step.held}
    for condition, state in place.states:
        if condition not in held:
            _bring(bench, condition, state)
    for need in step.needs:
        if need.condition not in held:
            _bring(bench, need.condition, need.state)
    test = bench.do(Wish(Verb.READ), step).test
    return test.sight if test is not None else Sight(word=NOTHING)


def _bring(bench: Bench, condition: str, state: str) -> None:
    """Bring about ``state``, after what has to be so while it is changed."""
    now = bench.vehicle.conditions
    if now.get(condition) == state:
        return
    for need in bench.setup.procedure.before_changing.get(condition, ()):
        if need.condition != condition and now.get(need.condition) != need.state:
            bench.do(Wish(Verb.BRING, need.condition, need.state))
    bench.do(Wish(Verb.BRING, condition, state))
