"""What was said, once a reader knows what it means."""

from voiceassist.language.meanings import Meaning
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard


def as_told(event: Heard, meaning: Meaning) -> Heard:
    """``event`` as ``meaning`` and nothing else: no guess, and nothing that is for others."""
    return replace(event, meanings=(meaning,), guess=None, guessed=False, let_pass=False)
