"""Do the units of every limit go together, and is each name in it measured?"""

from collections.abc import Mapping
from functools import partial

from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit
from voiceassist.procedure.blame import Blame
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.tree import Path


def units_of_steps(steps: Mapping[Path, Step], blame: Blame) -> dict[Path, Unit]:
    """Find the unit of each measurement, blaming limits whose names or units do not fit.

    Limits are tried with one unit of each earlier reading, as soon as all their names are known.
    """
    ones = {p[-1]: _one(s.unit) for p, s in steps.items() if s.limit is None and s.unit}
    found = {p: s.unit for p, s in steps.items() if s.limit is None and s.unit}
    waiting = {p: s for p, s in steps.items() if s.limit is not None}
    while ready := {p: s for p, s in waiting.items() if s.limit and s.limit.names <= ones.keys()}:
        for path, step in ready.items():
            del waiting[path]
            its_unit = _unit_of(path, step, ones, blame)
            if its_unit is not None:
                found[path] = its_unit
                ones[path[-1]] = _one(its_unit)
    for path, step in waiting.items():
        _blame_names(path, step, steps, ones, blame)
    return found


def _one(of: Unit) -> Quantity:
    return Quantity.parse(f"1 {of}")


def _unit_of(
    path: Path, step: Step, ones: Mapping[str | int, Quantity], blame: Blame
) -> Unit | None:
    assert step.limit is not None
    place = (*path, "accept")
    values = {str(name): one for name, one in ones.items()}
    ends = [
        blame.attempt(place, partial(end.compute, values))
        for end in (step.limit.low, step.limit.high)
        if end
    ]
    known = [end for end in ends if end is not None]
    if not step.limit.names:
        blame.attempt(place, partial(step.limit.fill, {}))
    elif len(known) == 2:  # their order is known only when the readings are
        blame.attempt(place, partial(known[0].to, known[1].unit))
    return known[0].unit if known else None


def _blame_names(
    path: Path,
    step: Step,
    steps: Mapping[Path, Step],
    ones: Mapping[str | int, Quantity],
    blame: Blame,
) -> None:
    assert step.limit is not None
    measured = [str(p[-1]) for p, s in steps.items() if s.kind is Kind.MEASURE]
    for name in sorted(step.limit.names - {str(one) for one in ones}):
        if name in measured:
            message = f"{name!r} in the limit has no unit yet; mend its own limit first"
        else:
            message = f"{name!r} in the limit is not measured by any step"
            message += did_you_mean(name, measured)
        blame.error((*path, "accept"), message)
