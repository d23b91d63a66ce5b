"""The words a step has of its own for its verdicts: "no change, so not this fuse"."""

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Step


def own_words(step: Step, *outcomes: str) -> str:
    """The step's sentence for the first of ``outcomes`` that it has words for; empty without."""
    words = next((step.says[outcome] for outcome in outcomes if step.says.get(outcome)), "")
    return f"{capitalised(words)}." if words else ""
