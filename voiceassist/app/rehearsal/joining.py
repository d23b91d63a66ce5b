"""How a session becomes a rehearsal: because it is asked for, or because it was one."""

from collections.abc import Mapping, Sequence

from voiceassist.app.build import Components, Written
from voiceassist.app.kept_files import Folder, kept_procedure
from voiceassist.app.progress import Progress
from voiceassist.app.rehearsal.asked import Asked, Mode, Settled
from voiceassist.app.rehearsal.beginning import as_led, begin
from voiceassist.app.rehearsal.rehearsal import PRACTISED, Rehearsal
from voiceassist.record.lines import Line
from voiceassist.session.session import SessionSetup


def as_asked(
    asked: Asked,
    setup: SessionSetup,
    written: Written,
    shop: Components,
    progress: Progress,
) -> tuple[Rehearsal, Written]:
    """The rehearsal that is asked for, and what its session goes by."""
    settled = asked.settled(written.procedure)
    return begin(settled, setup, written, shop, progress), as_led(settled, written)


def practised_then(kept: Mapping[str, object], led_by: Written, folder: Folder) -> Written:
    """The procedure that was practised, in a session ``led_by`` that or by a question alone."""
    free = Settled.from_json(kept).mode is Mode.FREE
    return kept_procedure(folder, PRACTISED) if free else led_by


def as_before(
    kept: Mapping[str, object],
    setup: SessionSetup,
    written: Written,
    shop: Components,
    progress: Progress,
    lines: Sequence[Line],
) -> Rehearsal:
    """The rehearsal that a session was, with all done again that its ``lines`` tell of."""
    practised = begin(Settled.from_json(kept), setup, written, shop, progress)
    practised.replay(lines)
    return practised
