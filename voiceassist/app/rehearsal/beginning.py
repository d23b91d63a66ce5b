"""A rehearsal about to begin, and the procedure that it goes by."""

from dataclasses import replace

from voiceassist.app.build import Components, Written
from voiceassist.app.progress import Progress
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.rehearsal import PRACTISED, WAYS, Rehearsal
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.app.rehearsal.vehicle import bench_of
from voiceassist.procedure.read import read_procedure
from voiceassist.rehearse.dial import ranges
from voiceassist.rehearse.free import free_text
from voiceassist.rehearse.wishes import choices, read_ways
from voiceassist.session.session import SessionSetup


def begin(
    settled: Settled, setup: SessionSetup, written: Written, shop: Components, progress: Progress
) -> Rehearsal:
    """A rehearsal about to begin.

    Args:
        settled: what is practised.
        setup: of the procedure that is practised.
        written: its files.
        shop: gives the language.
        progress: told while the table is made.

    Raises:
        LanguageError: the language has no ways to say a wish.
    """
    ways = read_ways(shop.files.get(WAYS, ""), WAYS)
    free = settled.mode is Mode.FREE
    return Rehearsal(
        settled=settled,
        setup=setup,
        adviser=adviser_of(setup, written, progress),
        bench=bench_of(settled, setup),
        ways=ways,
        choices=choices(setup.procedure, ways, ranges(setup) if free else {}),
        files={PRACTISED: written.text} if free else {},
    )


def as_led(settled: Settled, written: Written) -> Written:
    """The procedure that the session goes by: the one practised, or a question alone."""
    if settled.mode is Mode.LED:
        return written
    text = free_text(written.procedure)
    return replace(written, procedure=read_procedure(text, PRACTISED), text=text)
