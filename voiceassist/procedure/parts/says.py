"""A step's own words for its verdicts: "no change, so it is not this fuse"."""

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import ANSWERS, FAIL, HIGH, LAMP_STATES, LOW, OVER, PASS
from voiceassist.procedure.parts.accept import Accepted
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.step import StepShape
from voiceassist.procedure.text.tree import Path


def says_of(path: Path, body: StepShape, accepted: Accepted, scope: Scope) -> dict[str, str]:
    """Outcome to its words, without a full stop; ``fail`` stands for each outcome that fails."""
    outcomes = _outcomes(body, accepted)
    known = [*outcomes, FAIL] if body.ask is None else outcomes
    for key in body.says:
        if key not in known:
            hint = did_you_mean(key, known)
            scope.blame.error((*path, "says", key), f"this step has no outcome {key!r}{hint}")
    words_of = {key: words.rstrip(". ") for key, words in body.says.items() if key in known}
    passing = (PASS, *accepted.bright_enough)
    failing = [key for key in outcomes if key not in passing] if FAIL in words_of else []
    whole = {**dict.fromkeys(failing, words_of.get(FAIL, "")), **words_of}
    return {ANSWERS.get(key, key): words for key, words in whole.items()}


def _outcomes(body: StepShape, accepted: Accepted) -> list[str]:
    if body.ask is not None:
        return list(body.answers or {})
    if body.lamp is not None:
        return [PASS, *LAMP_STATES]
    return [PASS, LOW, HIGH, OVER]
