"""What the listener of today makes of a kept session, phrase by phrase."""

from dataclasses import dataclass

from voiceassist.app.live.replay import ReplayedEvent, is_beside
from voiceassist.doubt.same import settled
from voiceassist.language.codec import to_json
from voiceassist.language.expectation import Expectation
from voiceassist.record.said import meaning_words
from voiceassist.session.events import Heard
from voiceassist.session.outputs import VerdictGiven


@dataclass(frozen=True, slots=True)
class TakenPhrase:
    """How a phrase was taken, and what came of it.

    Parts:
        words: as they were heard.
        how: "understood", "asked about", "offered" or "not understood".
        meaning: in words, with figures; empty for none.
        verdict: on what was read: "pass", "low" and so on; empty for none.
        leads: the step, or the finding, that the job was at after it.
    """

    words: str
    how: str
    meaning: str
    verdict: str
    leads: str


@dataclass(frozen=True, slots=True)
class Phrase:
    """One phrase that was heard again.

    Parts:
        seq: number of its line.
        step: where the job was.
        then, now: how it was taken. What comes of both is told by the engine of today.
        judged_then: the verdict of the journal itself.
        sound_s, hearing_s: how long it lasts, and how long the listener took for it.
    """

    seq: int
    step: str
    then: TakenPhrase
    now: TakenPhrase
    judged_then: str
    sound_s: float
    hearing_s: float

    @property
    def otherwise(self) -> bool:
        """It is taken for something else."""
        return (self.then.how, self.then.meaning) != (self.now.how, self.now.meaning)

    @property
    def verdict_differs(self) -> bool:
        """What was heard leads to another verdict, or to none."""
        return self.then.verdict != self.now.verdict

    @property
    def leads_elsewhere(self) -> bool:
        """What was heard leads to another step or finding."""
        return self.then.leads != self.now.leads


@dataclass(frozen=True, slots=True)
class Unheard:
    """A phrase that could not be heard again: the number of its line, the step, and why."""

    seq: int
    step: str
    why: str


@dataclass(frozen=True, slots=True)
class SessionAgain:
    """A session, heard again.

    Parts:
        session, procedure, began: of its record.
        listener_then, version_then: who heard it on the job, and the program's version.
        listener_now: who heard it again.
        phrases: that were heard again, in order.
        unheard: that could not be.
        typed: lines that were typed, and have no sound.
        why_not: why none of it could be heard again; empty when it could.
        notes: what else there is to say.
    """

    session: str
    procedure: str = ""
    began: str = ""
    listener_then: str = ""
    version_then: str = ""
    listener_now: str = ""
    phrases: tuple[Phrase, ...] = ()
    unheard: tuple[Unheard, ...] = ()
    typed: int = 0
    why_not: str = ""
    notes: tuple[str, ...] = ()


def taken_phrase(event: Heard, moment: ReplayedEvent, expected: Expectation) -> TakenPhrase:
    """What ``event`` means, and what comes of it where the job was."""
    meanings = settled(event.meanings, expected)
    how = "understood" if meanings else "not understood"
    if meanings and event.doubtful:
        how = "asked about"
    elif event.guess is not None and not meanings:
        how, meanings = "offered", (event.guess,)
    turn = None if is_beside(event) else moment.engine.handle(moment.before, event)
    after = turn.session if turn is not None else moment.before
    verdicts = [o.verdict for o in turn.outputs if isinstance(o, VerdictGiven)] if turn else []
    return TakenPhrase(
        event.words,
        how,
        " or ".join(meaning_words(to_json(meaning)) for meaning in meanings),
        ", ".join(verdicts),
        after.finding or after.step,
    )
