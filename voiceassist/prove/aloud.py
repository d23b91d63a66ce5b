"""Every sentence that a procedure can speak, for a writer to read aloud."""

from collections.abc import Iterator
from dataclasses import dataclass

from voiceassist.errors import MeasureError
from voiceassist.language.phrasebook import Phrasebook, capitalised
from voiceassist.procedure.model import Caution, Finding, Kind, Step
from voiceassist.session.actions.needed import without
from voiceassist.session.details import TOPICS
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.shown import spoken_name
from voiceassist.session.spans import show_time
from voiceassist.session.worded import how_text, limit_text, states_text, step_text


@dataclass(frozen=True, slots=True)
class Sentence:
    """What is spoken in one breath or a few.

    Parts:
        place: the part of the file it comes from: "steps.feed".
        kind: what it is of that part: "asked", "why", "caution in short".
        text: as spoken, figures still as figures.
    """

    place: str
    kind: str
    text: str


def sentences(setup: SessionSetup) -> Iterator[Sentence]:
    """The sentences of the procedure at ``setup``, in the order of the file; none comes twice."""
    told: set[str] = set()
    for each in _all(setup):
        if each.text and each.text not in told:
            told.add(each.text)
            yield each


def _all(setup: SessionSetup) -> Iterator[Sentence]:
    book, procedure = setup.book, setup.procedure
    opening = book("start.title", title=procedure.title, subject=procedure.subject)
    yield Sentence("title", "opening", opening)
    yield from _conditions(setup)
    for place, steps in (("steps", procedure.steps), ("repairs", procedure.repairs)):
        for step in steps.values():
            for caution in step.cautions:
                yield from _caution(book, caution)
            yield from _step(setup, f"{place}.{step.name}", step)
    for finding in procedure.findings.values():
        yield from _finding(book, finding)


def _conditions(setup: SessionSetup) -> Iterator[Sentence]:
    procedure = setup.procedure
    for name, states in procedure.conditions.items():
        for state, instruction in states.items():
            place = f"conditions.{name}.{state}"
            change = setup.book("condition.change", instruction=instruction)
            yield Sentence(place, "change", change)
            words = procedure.wordings.get(name, {}).get(state)
            if words is not None:
                yield Sentence(place, "asked when forgotten", f"{capitalised(words.ask)}?")
                denied = setup.book("forgotten.refused", denied=words.denied)
                yield Sentence(place, "told when forgotten", denied)


def _caution(book: Phrasebook, caution: Caution) -> Iterator[Sentence]:
    place = f"cautions.{caution.name}"
    key = "caution.authorised" if caution.only_authorised else "caution.text"
    signal, avoid = caution.signal.value, capitalised(caution.avoid)
    full = book(key, signal=signal, hazard=caution.hazard, avoid=avoid)
    yield Sentence(place, "caution", full)
    if caution.short:
        yield Sentence(place, "caution in short", f"{signal}: {caution.short}.")


def _step(setup: SessionSetup, place: str, step: Step) -> Iterator[Sentence]:
    session = Session(step=step.name)
    yield Sentence(place, "asked", step_text(setup, session, step))
    yield from _changing(setup, step)
    yield Sentence(place, "how", how_text(setup, step))
    yield Sentence(place, "how", states_text(setup, step))
    for need in step.needs:
        yield Sentence(place, "without", without(setup, session, need))
    if step.why:
        yield Sentence(place, "why", setup.book("inform.why", why=step.why))
    if step.when_close:
        yield Sentence(place, "too close", setup.book("advice.own", text=step.when_close))
    yield Sentence(place, "limit", _limit(setup, session, step))
    for topic, told in TOPICS.items():
        yield Sentence(place, topic, " ".join(told(setup, step)))
    if step.only_if:
        left_out = setup.book("skip.left_out", step=spoken_name(step.name))
        yield Sentence(place, "left out", left_out)
    for outcome, words in step.says.items():
        yield Sentence(place, f"says {outcome}", f"{capitalised(words)}.")


def _changing(setup: SessionSetup, step: Step) -> Iterator[Sentence]:
    """What is said ahead of its changes, and of what it holds only for a moment."""
    if step.before:
        before = setup.book("step.before", text=step.before)
        yield Sentence(f"steps.{step.name}", "before", before)
    for need in step.held:
        place = f"conditions.{need.condition}.{need.state}"
        if need.hold and need.hold.let_go:
            told = setup.book("hold.release", instruction=need.hold.let_go)
            yield Sentence(place, "let go", told)
        if need.hold and need.hold.rest_s:
            time = show_time(setup, need.hold.rest_s)
            yield Sentence(place, "rest", setup.book("hold.rest", time=time))


def _limit(setup: SessionSetup, session: Session, step: Step) -> str:
    """The limit in words; empty when it has none, or hangs on readings still to be taken."""
    try:
        limit = limit_text(setup, session, step)
    except MeasureError:
        return ""
    key = "limit.should" if step.kind in {Kind.LAMP, Kind.SWEEP} else "limit.say"
    return setup.book(key, limit=limit) if limit else ""


def _finding(book: Phrasebook, finding: Finding) -> Iterator[Sentence]:
    place = f"findings.{finding.name}"
    yield Sentence(place, "cause", book("finding.cause", cause=finding.cause))
    correction = book("finding.correction", correction=finding.correction)
    yield Sentence(place, "what to do", correction)
