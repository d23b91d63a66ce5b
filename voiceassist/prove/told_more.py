"""What an examiner found, in words: what fails a proof, the tables, and the JSON object."""

from collections.abc import Iterator

from voiceassist.prove.blind import Blind, Stretch
from voiceassist.prove.examine import Examined
from voiceassist.prove.failure import Failure, how
from voiceassist.prove.idle import IdleProof
from voiceassist.prove.pairs import Pair, PairEnd, Pairs
from voiceassist.prove.stray import Stray


def failures(found: Examined) -> Iterator[Failure]:
    """Good parts condemned, and parts condemned by a drop that proves nothing."""
    for blind in found.blind:
        for stretch in blind.stretches:
            for part, stray, many in stretch.condemned:
                yield _condemned(blind, stretch, part, stray, many)
    for pair in found.pairs.condemned:
        yield _by_two(pair)
    for idle in found.idle:
        yield _idle(idle)


def _condemned(blind: Blind, stretch: Stretch, part: str, stray: Stray, many: int) -> Failure:
    message = (
        f"the fault {blind.fault!r} of {_range(stretch, blind.unit)} condemns the good {part!r} "
        f"in {many} of {stretch.walks} draws: {how(stray)}; lead milder faults elsewhere"
    )
    return Failure(blind.fault, stray.step, message)


def _by_two(pair: Pair) -> Failure:
    one, other = pair.faults
    message = (
        f"the faults {one!r} and {other!r} together condemn the good {pair.part!r}: "
        f"{how(pair.stray)}; prove what it gets before it is condemned"
    )
    return Failure(one, pair.stray.step, message)


def _idle(idle: IdleProof) -> Failure:
    message = (
        f"{idle.finding!r} condemns the {idle.part!r}, proved by the drop {idle.step!r}, which was "
        f"read with no current flowing (fault {idle.fault!r}, {idle.walks} draws) and proves "
        "nothing; prove it by a voltage or a lamp under load"
    )
    return Failure(idle.fault, idle.step, message)


# --- for people ---


def lines(found: Examined) -> Iterator[str]:
    """The tables."""
    if found.blind:
        yield "sizes at which a fault is felt and not always found (and what it is called then):"
    for blind in found.blind:
        for stretch in blind.stretches:
            yield f"  {blind.fault} {_range(stretch, blind.unit)}: {_called(stretch)}"
    yield from _pairs(found.pairs)


def _called(stretch: Stretch) -> str:
    called = ", ".join(f"{name or 'none'} {many}" for name, many in stretch.findings.items())
    return f"{called} of {stretch.walks}"


def _pairs(pairs: Pairs) -> Iterator[str]:
    if not pairs.walks:
        return
    ends = ", ".join(f"{end} {pairs.ends[end]}" for end in PairEnd if pairs.ends[end])
    many = "1 pair" if pairs.walks == 1 else f"{pairs.walks} pairs"
    yield f"two faults at once, {many}: {ends}"
    for pair in pairs.no_fault:
        yield f"  {' and '.join(pair.faults)}: called {pair.finding}"


def _range(stretch: Stretch, unit: str) -> str:
    least, most = _size(stretch.least, unit), _size(stretch.most, unit)
    return least if least == most else f"{least} to {most}"


def _size(value: float, unit: str) -> str:
    for factor, prefix in ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m")):
        if value >= factor:
            return f"{float(f'{value / factor:.2g}'):g} {prefix}{unit}"
    return f"{value:.2g} {unit}"


# --- for programs ---


def to_json(found: Examined) -> dict[str, object]:
    """Parts of the JSON object of a proof."""
    return {
        "blind": [
            {
                "fault": blind.fault,
                "unit": blind.unit,
                "least": stretch.least,
                "most": stretch.most,
                "walks": stretch.walks,
                "findings": dict(stretch.findings),
                "condemned": {part: many for part, _, many in stretch.condemned},
            }
            for blind in found.blind
            for stretch in blind.stretches
        ],
        "pairs": {
            "walks": found.pairs.walks,
            **{end.value.replace(" ", "_"): found.pairs.ends[end] for end in PairEnd},
            "condemned_by": [
                {"faults": list(pair.faults), "part": pair.part} for pair in found.pairs.condemned
            ],
            "no_fault_by": [list(pair.faults) for pair in found.pairs.no_fault],
        },
        "idle_proofs": [
            {"finding": i.finding, "part": i.part, "step": i.step, "fault": i.fault}
            for i in found.idle
        ],
    }
