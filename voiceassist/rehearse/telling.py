"""The mark of a rehearsal in sentences."""

from collections.abc import Iterator

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.model import Procedure
from voiceassist.rehearse.marks import Mark
from voiceassist.session.shown import spoken_name

#: So many steps of the quickest way are named aloud.
_MOST_NAMED = 4


def sentences(mark: Mark, procedure: Procedure, book: Phrasebook) -> Iterator[str]:
    """What is said of it, the fault first, the points last."""
    yield book("rehearse.fault", fault=spoken_name(mark.fault) or book.plain("rehearse.none"))
    yield from _of_the_finding(mark, procedure, book)
    yield book(
        "rehearse.took", tests=_counted(len(mark.looked), book), minutes=f"{mark.minutes:.0f}"
    )
    yield from _of_the_tests(mark, book)
    yield from mark.misread
    for slip in dict.fromkeys(mark.slips):
        yield book("rehearse.slip", slip=slip)
    yield book("rehearse.points", points=mark.points)
    if mark.off:
        off = [book.plain(f"rehearse.off-{reason}", points=many) for reason, many in mark.off]
        yield book("rehearse.off", off=book.join("list.and", off))


def _of_the_finding(mark: Mark, procedure: Procedure, book: Phrasebook) -> Iterator[str]:
    if mark.found:
        yield book("rehearse.found")
    elif mark.named:
        yield book("rehearse.wrong", named=procedure.findings[mark.named].cause)
    else:
        yield book("rehearse.not-named")
    for part in mark.condemned:
        yield book("rehearse.condemned", part=part)


def _of_the_tests(mark: Mark, book: Phrasebook) -> Iterator[str]:
    ways = [spoken_name(step) for step in mark.quickest.steps]
    if ways and len(ways) < len(mark.looked):
        named = book.join("list.then", ways[:_MOST_NAMED])
        yield book("rehearse.quickest", tests=_counted(len(ways), book), named=named)
    for led, key in ((False, "rehearse.idle"), (True, "rehearse.idle-led")):
        idle = dict.fromkeys(spoken_name(one.test.step) for one in mark.idle if one.led is led)
        if idle:
            yield book(key, named=book.join("list.and", idle))


def _counted(tests: int, book: Phrasebook) -> str:
    return book.plain("rehearse.test" if tests == 1 else "rehearse.tests", count=tests)
