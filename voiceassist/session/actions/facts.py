"""Numbers of the job, said by voice and read back."""

from collections.abc import Sequence

from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import Identifier, Meaning
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.outputs import FactTaken
from voiceassist.session.session import Session, SessionSetup, Turn


def fact_taken(setup: SessionSetup, session: Session, said: Identifier) -> FactTaken:
    """The fact in ``said``, read back, with a warning when its check digit does not fit."""
    name = setup.book.plain(f"identifier.{said.name}")
    text = setup.book("fact.taken", name=name, said=setup.book.say(said))
    doubtful = said.name == "vin" and not passes_check(said.text)
    warning = setup.book("fact.check_digit") if doubtful else ""
    return FactTaken(
        step=session.step,
        text=f"{text} {warning}".strip(),
        name=said.name.replace("-", " "),
        value=said.text,
        warning=warning,
    )


def take_fact(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A fact of the job, said at some step: keep it, read it back, move nothing."""
    meaning = meaning_of(event)
    assert isinstance(meaning, Identifier)
    fact = fact_taken(setup, session, meaning)
    return Turn(session.with_fact(fact.name, fact.value), (fact,))


def likelier_vin(meanings: Sequence[Meaning]) -> Identifier | None:
    """The one vehicle number among several whose check digit fits; None when not just one."""
    numbers = [m for m in meanings if isinstance(m, Identifier) and m.name == "vin"]
    fitting = [number for number in numbers if passes_check(number.text)]
    return fitting[0] if len(fitting) == 1 and len(numbers) == len(meanings) else None
