"""What was found of ways and limits that no fault of the file shows, in words."""

from collections.abc import Iterator

from voiceassist.prove.contrary import Contrary
from voiceassist.prove.examine import Examined
from voiceassist.prove.failure import Failure, how
from voiceassist.prove.unloaded import Unloaded
from voiceassist.prove.untold import Untold, Way


def failures(found: Examined) -> Iterator[Failure]:
    """Good parts condemned, or condemned on what proves nothing."""
    yield from map(_contrary, found.contrary)
    yield from map(_unloaded, found.unloaded)
    yield from map(_untold, found.untold)
    yield from map(_untaken, found.untaken)
    yield from (Failure("", slip.step, slip.message) for slip in found.slips)


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
