"""What is heard right after words that were not understood: others may be talking."""

from voiceassist.app.live.doubting import moves
from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session


def amid_talk(event: Heard, grammar: StepGrammar, session: Session) -> Heard:
    """``event``, doubtful where it moves the job in loose words, or in one word for a number.

    Who talks to others says such words by the way. In the step's own words it is as good as ever,
    and so is whatever is typed.
    """
    settled = event.certain or event.doubtful or len(event.meanings) != 1
    if settled or not session.misses:
        return event
    meaning = event.meanings[0]
    bare = isinstance(meaning, Reading) and meaning.unit is None and len(event.words.split()) == 1
    loose = not grammar.parse_strictly(event.words).meanings
    if bare or (loose and moves(meaning)):
        return replace(event, doubtful=True, guessed=False)
    return event
