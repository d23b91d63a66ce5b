"""What an examiner found, in words: what fails a proof, the tables, and the JSON object."""

from collections import Counter
from collections.abc import Iterator

from voiceassist.prove import told_ways
from voiceassist.prove.after import After, Ending
from voiceassist.prove.blind import Blind, BlindRange
from voiceassist.prove.examine import Examined
from voiceassist.prove.failure import Failure, how
from voiceassist.prove.idle import IdleProof
from voiceassist.prove.in_doubt import Doubted
from voiceassist.prove.limits import Limits
from voiceassist.prove.pairs import Pair, PairEnd, Pairs
from voiceassist.prove.stray import Stray
from voiceassist.prove.vehicle import State

#: An end is tight when the nearest reading that passes is nearer to it than this share of it.
_TIGHT = 0.02


_PASSES = (
    "the limit of {step!r} cannot be failed: with any part open or bridged, and any wire on earth "
    "or supply, the step passes{states}; tell what a good one reads, or the states that it needs"
)


def failures(found: Examined) -> Iterator[Failure]:
    """Good parts condemned, pairs called no fault, and what comes after the finding."""
    for blind in found.blind:
        for stretch in blind.stretches:
            for part, stray, many in stretch.condemned:
                yield _condemned(blind, stretch, part, stray, many)
    for pair in found.pairs.condemned:
        yield _by_two(pair)
    for pair in found.pairs.no_fault:
        yield _not_seen(pair)
    for idle in found.idle:
        yield _idle(idle)
    for doubted in found.doubted:
        yield from _doubted(doubted)
    for one in found.unfailing:
        states = told_states(one.states[0]) if len(one.states) == 1 else ""
        yield Failure("", one.step, _PASSES.format(step=one.step, states=states))
    yield from told_ways.failures(found)
    yield from _after(found.after)
    for hazard in found.hazards:
        yield Failure("", hazard.step, f"{hazard.danger}: {hazard.message}")


def _condemned(blind: Blind, stretch: BlindRange, part: str, stray: Stray, many: int) -> Failure:
    message = (
        f"the fault {blind.fault!r} of {_range(stretch, blind.unit)} condemns the good {part!r} "
        f"in {many} of {stretch.walks} draws: {how(stray)}; lead milder faults elsewhere"
    )
    return Failure(blind.fault, stray.step, message)


def _by_two(pair: Pair) -> Failure:
    one, other = pair.faults
    message = (
        f"the faults {one!r} and {other!r} together condemn the good {pair.part!r}{_once(pair)}: "
        f"{how(pair.stray)}; prove what it gets before it is condemned"
    )
    return Failure(one, pair.stray.step, message)


def _not_seen(pair: Pair) -> Failure:
    one, other = pair.faults
    message = (
        f"the faults {one!r} and {other!r} together are called {pair.finding!r}, as if nothing "
        f"were wrong: {how(pair.stray)}; add a step that one of them fails beside the other"
    )
    if pair.first:
        message = (
            f"of the faults {one!r} and {other!r} one is left{_once(pair)}, and the way on ends as "
            f"if nothing were wrong: {how(pair.stray)}; go on at an earlier step"
        )
    return Failure(one, pair.stray.step, message, only_warns=True)


def _once(pair: Pair) -> str:
    return f" once {pair.first!r} is put right" if pair.first else ""


def _idle(idle: IdleProof) -> Failure:
    message = (
        f"{idle.finding!r} condemns the {idle.part!r}, proved by the drop {idle.step!r}, which was "
        f"read with no current flowing (fault {idle.fault!r}, {idle.walks} draws) and proves "
        "nothing; prove it by a voltage or a lamp under load"
    )
    return Failure(idle.fault, idle.step, message)


def _doubted(doubted: Doubted) -> Iterator[Failure]:
    for fault, part, stray in doubted.condemned:
        which = f"with the fault {fault!r}" if fault else "on a good vehicle"
        message = (
            f"the answer {_plain(doubted.answer)!r} at {doubted.step!r} condemns the good {part!r} "
            f"{which}: {how(stray)}; lead it to a step that proves more"
        )
        yield Failure(fault, doubted.step, message)


def told_states(states: State) -> str:
    """The states of the vehicle that a step was read in: " with lights off, key run"."""
    told = ", ".join(f"{name} {state}" for name, state in states)
    return f" with {told}" if told else ""


def _plain(answer: str) -> str:
    return answer.replace("-", " ")


def _after(after: After) -> Iterator[Failure]:
    for end in after.unprovable:
        why = end.why or f"step {end.step!r} does not pass{told_states(end.states)}"
        message = (
            f"the fault {end.fault!r} is mended, and its repair cannot be proved: after "
            f"{end.finding!r}, {why}; mend 'prove-with:' or the states that it needs"
        )
        yield Failure(end.fault, end.step, message)
    for end in after.passed:
        message = (
            f"nothing was done about the fault {end.fault!r}, and the repair of {end.finding!r} is "
            "told as proved; prove it with a step that fails while the fault is there"
        )
        yield Failure(end.fault, "", message)
    for end in after.misled:
        message = (
            f"after a repair of {end.finding!r} that was not done, the way on condemns a good part "
            f"(fault {end.fault!r})"
        )
        yield Failure(end.fault, end.step, message)
    for name in after.unproved:
        message = f"{name!r} condemns a part, and nothing proves its repair; add 'prove-with:'"
        yield Failure("", "", message, only_warns=True)
    for step in after.dead:
        message = f"no fault leads to the repair step {step!r}; name a fault for it, or take it out"
        yield Failure("", step, message, only_warns=True)


# --- for people ---


def lines(found: Examined) -> Iterator[str]:
    """The tables."""
    if found.blind:
        yield "sizes at which a fault is felt and not always found (and what it is called then):"
    for blind in found.blind:
        for stretch in blind.stretches:
            yield f"  {blind.fault} {_range(stretch, blind.unit)}: {_called(stretch)}"
    yield from _pairs(found.pairs)
    yield (
        f"after the finding: {_many(found.after.tried, 'repair')} gone through, "
        f"{len(found.after.unprovable)} not provable, {len(found.after.passed)} proved undone"
    )
    if found.doubted:
        yield "answers in doubt (found, called otherwise, open):"
    for one in found.doubted:
        ends = f"{one.found}, {one.wrong}, {one.open} of {one.walks}"
        yield f"  {one.step} {_plain(one.answer)}: {ends}"
    yield f"safety: {_many(len(found.hazards), 'danger')}"
    yield from _limits(found.limits)


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _limits(limits: Limits) -> Iterator[str]:
    if limits.unneeded:
        ends = ", ".join(f"{step} {side}" for step, side in limits.unneeded)
        yield f"ends of limits that no fault needs: {ends}"
    tight = sorted((r for r in limits.rooms if r.share < _TIGHT), key=lambda room: room.share)
    if tight:
        yield "limits that readings which pass come within 2 % of (room that is left):"
    for room in tight:
        yield f"  {room.end[0]} {room.end[1]}: {_size(room.inside or 0, room.unit)}"


def _called(stretch: BlindRange) -> str:
    called = ", ".join(f"{name or 'none'} {many}" for name, many in stretch.findings.items())
    return f"{called} of {stretch.walks}"


def _pairs(pairs: Pairs) -> Iterator[str]:
    if not pairs.walks:
        return
    yield f"two faults at once, {_many(pairs.walks, 'pair')}: {_ends(pairs.ends)}"
    if pairs.after:
        many = _many(pairs.after.total(), "pair")
        yield f"  gone on with, the first put right, {many}: {_ends(pairs.after)}"


def _ends(count: Counter[PairEnd]) -> str:
    return ", ".join(f"{end} {count[end]}" for end in PairEnd if count[end])


def _range(stretch: BlindRange, unit: str) -> str:
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
            "went_on": {end.value.replace(" ", "_"): found.pairs.after[end] for end in PairEnd},
            "condemned_by": [
                {"faults": list(pair.faults), "part": pair.part} for pair in found.pairs.condemned
            ],
            "no_fault_by": [list(pair.faults) for pair in found.pairs.no_fault],
        },
        "unfailing": [one.step for one in found.unfailing],
        "idle_proofs": [
            {"finding": i.finding, "part": i.part, "step": i.step, "fault": i.fault}
            for i in found.idle
        ],
        "after": {
            "repairs": found.after.tried,
            "unprovable": [_ending(end) for end in found.after.unprovable],
            "proved_undone": [_ending(end) for end in found.after.passed],
            "misled": [_ending(end) for end in found.after.misled],
            "unproved": list(found.after.unproved),
            "dead": list(found.after.dead),
        },
        "limits": {
            "unneeded": [{"step": step, "end": side} for step, side in found.limits.unneeded],
            "room": [
                {
                    "step": room.end[0],
                    "end": room.end[1],
                    "inside": room.inside,
                    "outside": room.outside,
                    "unit": room.unit,
                }
                for room in found.limits.rooms
            ],
        },
        "doubted": [
            {
                "step": one.step,
                "answer": one.answer,
                "walks": one.walks,
                "found": one.found,
                "wrong": one.wrong,
                "open": one.open,
                "condemned": [part for _, part, _ in one.condemned],
            }
            for one in found.doubted
        ],
        "safety": [
            {"danger": h.danger, "step": h.step, "message": h.message} for h in found.hazards
        ],
        **told_ways.to_json(found),
    }


def _ending(end: Ending) -> dict[str, object]:
    return {"fault": end.fault, "finding": end.finding, "step": end.step}
