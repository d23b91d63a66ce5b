"""From an utterance to the session's event, and to the line that keeps it."""

from collections.abc import Iterator, Mapping

from voiceassist.app.ears.base import Utterance
from voiceassist.app.ears.judgement import Judgement, decided_at
from voiceassist.app.live.guessing import with_guess
from voiceassist.app.live.parts import Parts
from voiceassist.doubt.policy import Accept, AskAmong, Decision, Reject
from voiceassist.language.codec import to_json
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.language.step import StepGrammar
from voiceassist.record import lines
from voiceassist.record.fields import Part
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.expect import of_step
from voiceassist.session.guessing import HARMLESS, QUESTIONS
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: Candidates that a line keeps, the likeliest first.
_KEPT = 5


class Understanding:
    """Makes the session's event of what was said, by the grammar of what can come next.

    Args:
        parts: of the loop; engine, language, guesser and beside are used.

    Parts:
        expectation: what the session waits for.
    """

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._grammars: dict[Expectation, StepGrammar] = {}
        self._weighed: StepGrammar | None = None  # the last, with what is likely beside the job
        self.expectation = Expectation()

    def grammar(self, session: Session) -> StepGrammar:
        """The grammar of what can come next; the same again costs a listener nothing."""
        expectation, beside = self.expectation, self._parts.beside
        if expectation not in self._grammars:
            more = beside.choices if beside is not None else ()
            whole = replace(expectation, choices=(*expectation.choices, *more))
            self._grammars[expectation] = self._parts.language.compose(whole)
        found = self._grammars[expectation]
        if beside is None:
            return found
        expected = beside.expects(found.expectation, session)
        if self._weighed is None or self._weighed.expectation != expected:
            self._weighed = replace(found, expectation=expected)
        return self._weighed

    def coming(self) -> Iterator[StepGrammar]:
        """The grammars of the procedure's steps."""
        for step in self._parts.engine.setup.procedure.steps.values():
            yield self._parts.language.compose(of_step(step))

    def heard(
        self, said: Utterance, session: Session, *, soon: bool = False
    ) -> tuple[Heard, lines.Heard]:
        """What the session gets of something said, ``soon`` or not, and the line that keeps it."""
        setup, grammar = self._parts.engine.at(session), self.grammar(session)
        judgement, faithful = said.judgement, 1.0
        wordings: Mapping[str, float] = {}
        doubt: Part = {}
        if judgement is None:
            event = typed_event(said, noting=session.state is State.NOTE)
        else:
            decision = decided_at(judgement, setup, session)
            event, doubt = decided_event(said, decision), about(judgement, decision)
            faithful, wordings = judgement.faithful, judgement.wordings
        guesser = self._parts.guesser
        event = with_guess(event, grammar, setup, session, guesser, faithful, wordings)
        if self._parts.called:
            event = replace(event, let_pass=False)
        event = replace(event, soon=soon)
        return event, heard_line(said, event, doubt, session.step)

    def wish(self, event: Heard) -> str:
        """The name of what was said beside the job; empty when it is the session's."""
        beside, first = self._parts.beside, next(iter(event.meanings), None)
        is_wish = beside is not None and isinstance(first, Answer) and beside.takes(first.name)
        return first.name if is_wish and isinstance(first, Answer) else ""

    def instead(self, event: Heard, session: Session) -> str:
        """What is said beside the job to words that are for its vehicle, but cannot be."""
        beside = self._parts.beside
        if beside is None or not event.words:
            return ""
        grammar = self.grammar(session)

        def understood(words: str) -> bool:
            return bool(grammar.parse_strictly(words).meanings)

        if understood(event.words):
            return ""
        text = beside.instead(event.words, understood)
        return text or ("" if event.meanings else beside.unknown(event.words))


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
        case Accept(key, _, sure):
            words = judgement.words_for(key)
            vetted = judgement.alike is not None
            return Heard(words, key, noisy=noisy, at_s=at_s, vetted=vetted, sure=sure)
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
        **({"let_pass": True} if event.let_pass else {}),
        **({"soon": True} if event.soon else {}),
        noisy=event.noisy,
        vetted=event.vetted,
        sure=event.sure,
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
