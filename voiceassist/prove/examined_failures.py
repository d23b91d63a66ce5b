"""What an examiner found that fails a proof."""

from collections.abc import Iterator

from voiceassist.prove.after import After
from voiceassist.prove.blind import Blind, BlindRange
from voiceassist.prove.contrary import Contrary
from voiceassist.prove.examine import Examined
from voiceassist.prove.examined_words import plain, range_of, with_states
from voiceassist.prove.failure import Failure, how
from voiceassist.prove.idle import IdleProof
from voiceassist.prove.in_doubt import Doubted
from voiceassist.prove.pairs import Pair
from voiceassist.prove.stray import Stray
from voiceassist.prove.unloaded import Unloaded
from voiceassist.prove.untold import Untold, Way

_PASSES = (
    "the limit of {step!r} cannot be failed: with any part open, bridged or held, and any wire on "
    "earth or supply, the step passes{states}; tell what a good one reads, or the states that it "
    "needs"
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
        states = with_states(one.states[0]) if len(one.states) == 1 else ""
        yield Failure("", one.step, _PASSES.format(step=one.step, states=states))
    yield from map(_contrary, found.contrary)
    yield from map(_unloaded, found.unloaded)
    yield from map(_untold, found.untold)
    yield from map(_untaken, found.untaken)
    yield from (Failure("", slip.step, slip.message) for slip in found.slips)
    yield from _after(found.after)
    for hazard in found.hazards:
        yield Failure("", hazard.step, f"{hazard.danger}: {hazard.message}")


def _condemned(blind: Blind, stretch: BlindRange, part: str, stray: Stray, many: int) -> Failure:
    message = (
        f"the fault {blind.fault!r} of {range_of(stretch, blind.unit)} condemns the good {part!r} "
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
            f"the answer {plain(doubted.answer)!r} at {doubted.step!r} condemns the good {part!r} "
            f"{which}: {how(stray)}; lead it to a step that proves more"
        )
        yield Failure(fault, doubted.step, message)


def _contrary(one: Contrary) -> Failure:
    message = (
        f"{one.passes!r} calls {one.reading} good, and {one.fails!r}, which reads the same on a "
        f"good vehicle, calls it {one.side} (fault {one.fault!r}); give both the same limit"
    )
    return Failure(one.fault, one.passes, message)


def _unloaded(one: Unloaded) -> Failure:
    message = (
        f"{one.finding!r} condemns the {one.part!r}, proved by {one.step!r}, where nothing draws "
        f"current: with the fault {one.fault!r} on its way it passes too; load it with a test "
        "lamp, or read the drop while the load is at work"
    )
    return Failure(one.fault, one.step, message)


def _untold(one: Untold) -> Failure:
    message = (
        f"'{one.fault}', which no fault of the file tells, condemns the good {one.part!r}: "
        f"{how(one.stray)}; tell it under 'faults:' and find it before, or as this very finding "
        "where it belongs to that part"
    )
    return Failure("", one.stray.step, message)


def _untaken(way: Way) -> Failure:
    step, finding = way
    message = (
        f"{step!r} leads straight to {finding!r}, which condemns a part, and with no single fault "
        "of the file does it so; tell a fault that reads so, or lead to a step that proves it"
    )
    return Failure("", step, message)


def _after(after: After) -> Iterator[Failure]:
    for end in after.unprovable:
        why = end.why or f"step {end.step!r} does not pass{with_states(end.states)}"
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
