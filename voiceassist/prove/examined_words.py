"""Words that the tables of an examination and its failures share."""

from voiceassist.prove.blind import BlindRange
from voiceassist.prove.vehicle import States


def with_states(states: States) -> str:
    """The states of the vehicle that a step was read in: " with lights off, key run"."""
    told = ", ".join(f"{name} {state}" for name, state in states)
    return f" with {told}" if told else ""


def plain(answer: str) -> str:
    """An answer's name as it is said."""
    return answer.replace("-", " ")


def range_of(stretch: BlindRange, unit: str) -> str:
    """The sizes of a stretch, from the least to the most."""
    least, most = size(stretch.least, unit), size(stretch.most, unit)
    return least if least == most else f"{least} to {most}"


def size(value: float, unit: str) -> str:
    """A number with two figures and the prefix that fits it."""
    for factor, prefix in ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m")):
        if value >= factor:
            return f"{float(f'{value / factor:.2g}'):g} {prefix}{unit}"
    return f"{value:.2g} {unit}"
