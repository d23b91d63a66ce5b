"""What is made of words that no grammar understands."""

from collections.abc import Callable

from voiceassist.language.guess import OTHER, Guesser
from voiceassist.language.words import cut
from voiceassist.recognise.base import Nothing
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.guessing import HARMLESS, likely
from voiceassist.session.session import Desk, Session

#: As likely as this, what is harmless is done. Of phrases that no grammar knew, left out of the
#: training, three in four are named rightly then; one in fifty is not for the assistant at all.
DONE = 0.45
#: As likely as this, anything is offered.
OFFERED = 0.4
#: More words are seldom for the assistant, and a guess at them says little.
_MOST_WORDS = 14
#: Of these a listener tells that there were no words to guess at.
_NO_WORDS = frozenset({Nothing.NO_SPEECH, Nothing.TOO_NOISY, Nothing.FAILED})

LoadGuesser = Callable[[], Guesser | None]


def with_guess(event: Heard, desk: Desk, session: Session, load: LoadGuesser) -> Heard:
    """``event`` with what it is likely for, when nothing in it was understood."""
    words = [] if event.meanings or event.reason in _NO_WORDS else cut(event.words, frozenset())
    if not 0 < len(words) <= _MOST_WORDS:
        return event
    options = likely(desk, session, event.words)
    guesser = load() if options else None
    if guesser is None:
        return event
    guess = guesser.guess(words, options)
    if guess.intent == OTHER or guess.probability < OFFERED:
        return event
    meaning = options[guess.intent]
    if guess.probability >= DONE and guess.intent in HARMLESS:
        return replace(event, meanings=(meaning,), guessed=True)
    return replace(event, guess=meaning)
