"""Questions and remarks that a trainee makes in many words: known by a few of them."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Command, CommandName, Note
from voiceassist.language.step import StepGrammar
from voiceassist.language.told_phrases import is_told
from voiceassist.session.events import Heard
from voiceassist.session.naming import ALONE, ASKED, DROPPED
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: By which of our phrases what is meant; the first that is told counts.
_MEANT = (
    ("alone.asked", Command(CommandName.HOW, about=f"{ASKED}{ALONE}")),
    ("asked.dropped_words", Command(CommandName.HOW, about=f"{ASKED}{DROPPED}")),
    ("asked.what_words", Command(CommandName.REPEAT)),
    ("asked.vague_words", Command(CommandName.NOT_SURE)),
)
_FORGOT = Command(CommandName.FORGOT)
_PRESSING = frozenset({CommandName.DANGER, CommandName.UNSAFE, CommandName.STAND_BY})


def with_asides(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as the question that its words ask, or as a note of what is told by the way."""
    if not _is_free(event, grammar, session):
        return event
    book = setup.book
    meant = next((one for key, one in _MEANT if is_told(book.plain(key), event.words)), None)
    if meant is not None:
        return as_told(event, meant)
    aside = is_told(book.plain("asked.aside_words"), event.words)
    if event.let_pass and not is_told(book.plain("asked.news_words"), event.words):
        return event
    return as_told(event, Note(event.words)) if aside and _is_news(event, grammar) else event


def _is_news(event: Heard, grammar: StepGrammar) -> bool:
    """Whether it is of no reading, and understood as nothing."""
    forgot = event.guessed and event.meanings == (_FORGOT,)
    nothing = not (event.meanings or event.guess)
    return forgot or (nothing and not grammar.numbers.told_in(event.words))


def _is_free(event: Heard, grammar: StepGrammar, session: Session) -> bool:
    """Whether nothing plain is understood, nor anything pressing."""
    first = event.meanings[0] if event.meanings else event.guess
    if isinstance(first, Command) and first.name in _PRESSING:
        return False
    plain = bool(event.meanings) and bool(grammar.parse_strictly(event.words).meanings)
    return session.state not in {State.NOTE, State.STAND_BY} and not plain
