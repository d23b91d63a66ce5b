"""From an utterance to the session's event, and to the line that keeps it."""

from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.judgement import Judgement
from voiceassist.doubt.policy import Accept, AskAmong, Decision, Reject
from voiceassist.language.codec import to_json
from voiceassist.language.meanings import (
    Command,
    Correction,
    Lamp,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.record import lines
from voiceassist.record.fields import Part
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.guessing import HARMLESS, QUESTIONS

#: Candidates that a line keeps, the likeliest first.
_KEPT = 5


def typed_event(said: Utterance, *, noting: bool) -> Heard:
    """What the session gets of a typed line; any words will do while we are ``noting``."""
    at_s = round(said.end_s, 3)
    if noting and said.words and not said.meanings:
        return Heard(said.words, (Note(said.words),), said.certain, at_s=at_s)
    return Heard(said.words, said.meanings, said.certain, said.reason, at_s=at_s)


def decided_event(said: Utterance, decision: Decision) -> Heard:
    """What the session gets of something heard.

    One understanding that was accepted comes as it is, one that is to be asked about as
    doubtful, two to be told apart as both; what is let pass comes with its reason.
    """
    judgement = said.judgement
    assert judgement is not None
    at_s = round(said.end_s, 3)
    noisy = judgement.noisy
    match decision:
        case Accept(key):
            words = judgement.words_for(key)
            vetted = judgement.alike is not None
            return Heard(words, key, noisy=noisy, at_s=at_s, vetted=vetted)
        case AskAmong(keys):
            words = judgement.words_for(keys[0])
            meanings = tuple(dict.fromkeys(meaning for key in keys for meaning in key))
            return Heard(words, meanings, doubtful=True, noisy=noisy, at_s=at_s)
        case Reject():
            heard = Heard(said.words, reason=judgement.why_not, noisy=noisy, at_s=at_s)
            return _loosely(heard, judgement)


def _loosely(heard: Heard, judgement: Judgement) -> Heard:
    """``heard`` with what was written of it with no grammar, and what that may be meant for.

    Only what moves nothing is acted on. A value is asked about as any doubtful one is; all else is
    offered.
    """
    if not judgement.spelled:
        return heard
    heard = replace(heard, words=judgement.spelled)
    if not judgement.loose:
        return heard
    meaning = judgement.loose[0]
    if isinstance(meaning, Command) and meaning.name in HARMLESS | QUESTIONS:
        return replace(heard, meanings=(meaning,), guessed=True)
    if isinstance(meaning, Reading | OverRange | Lamp | Spread | Series | Correction):
        return replace(heard, meanings=judgement.loose, doubtful=True)
    return replace(heard, guess=meaning)


def about(judgement: Judgement, decision: Decision) -> Part:
    """What the line of something heard tells of the doubt."""
    likely = judgement.belief.likely[:_KEPT] if judgement.belief is not None else ()
    return {
        "decision": decision_name(decision),
        "probability": _probability(judgement, decision),
        "snr_db": round(judgement.snr_db, 1),
        "candidates": [
            {
                "words": judgement.words_for(key),
                "probability": round(probability, 4),
                "meanings": [to_json(meaning) for meaning in key],
            }
            for key, probability in likely
        ],
    }


def decision_name(decision: Decision) -> str:
    """ "accept", "ask" or "reject"."""
    return {Accept: "accept", AskAmong: "ask", Reject: "reject"}[type(decision)]


def _probability(judgement: Judgement, decision: Decision) -> float | None:
    if judgement.belief is None or isinstance(decision, Reject):
        return None
    return round(decision.probability, 4)


def heard_line(said: Utterance, event: Heard, doubt: Part, step: str) -> lines.Heard:
    """The journal line of something heard or typed."""
    return lines.Heard.made(
        step=step,
        text=event.words,
        words=event.words,
        meanings=[to_json(meaning) for meaning in event.meanings],
        certain=event.certain,
        reason=event.reason,
        doubtful=event.doubtful,
        **({"guess": to_json(event.guess)} if event.guess is not None else {}),
        **({"guessed": True} if event.guessed else {}),
        noisy=event.noisy,
        vetted=event.vetted,
        listener=said.listener,
        **_delays(said),
        **doubt,
        start_s=round(said.start_s, 3),
        end_s=round(said.end_s, 3),
    )


def _delays(said: Utterance) -> Part:
    """How long he waited to be understood, when he was there to wait."""
    if not said.taken_s:
        return {}
    return {
        "taken_s": round(said.taken_s, 3),
        "hearing_s": round(said.hearing_s, 3),
        "early": said.early,
    }
