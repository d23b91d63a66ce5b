"""What is to be changed does not give: how it is brought off, and what may be done instead."""

from collections.abc import Iterator

from voiceassist.session.actions.enter import asked, open_changes
from voiceassist.session.details import opens
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.skipping import why_not_skip
from voiceassist.session.states import State
from voiceassist.session.worded import states_text

#: Kinds of things that may be stuck, each with a sentence and the words it is known by.
_KINDS = ("start", "plug", "clamp", "fuse", "bolt", "cover")


def stuck(setup: SessionSetup, session: Session, heard: Event) -> Turn:
    """How it is brought off, what is in the way, and that the step may be left out."""
    words = heard.words if isinstance(heard, Heard) else ""
    step = setup.step(session)
    told = (*_tips(setup, session, words), *opens(setup, step), states_text(setup, step))
    text = " ".join(filter(None, (*told, _instead(setup, session))))
    return Turn(session, (Say(step=session.step, text=text),))


def _tips(setup: SessionSetup, session: Session, words: str) -> Iterator[str]:
    """The advice for what ``words`` name; where they name nothing, for what is to be changed."""
    changes = " ".join(change.text for change in open_changes(setup, session))
    work = setup.step(session).text if session.state is State.DO else ""
    for text in (words, f"{changes} {work}"):
        said = set(text.lower().replace(",", " ").replace(".", " ").replace("'s", "").split())
        if text == words and _goes_in(setup, said):
            yield setup.book("stuck.in")
            return
        kinds = [k for k in _KINDS if said & set(setup.book.plain(f"stuck.{k}_words").split())]
        if kinds:
            yield setup.book(f"stuck.{kinds[0]}")
            return


def _goes_in(setup: SessionSetup, said: set[str]) -> bool:
    """Whether it is something that is to go in, which needs no pulling."""
    ways, comes = (set(setup.book.plain(f"stuck.{n}_words").split()) for n in ("in", "out"))
    return bool(said & ways) and not said & comes


def _instead(setup: SessionSetup, session: Session) -> str:
    """What may be said instead: that it is done all the same, or that it is left out."""
    if why_not_skip(setup, session):
        return setup.book("stuck.stay")
    if session.state in {State.CONDITION, State.DO} or open_changes(setup, session):
        return setup.book("unsure.not_yet")
    return setup.book("stuck.leave", prompt=asked(session))
