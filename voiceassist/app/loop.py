"""The loop of a session: hear, decide, keep, answer. It decides nothing itself."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol

from voiceassist.app.ahead import likely
from voiceassist.app.cutting import Pending, unheard_cautions
from voiceassist.app.ears import Ears, Elapsed, News, NewsKind, Utterance
from voiceassist.app.heard import about, decided_event, heard_line, typed_event
from voiceassist.app.mouth import Mouth
from voiceassist.app.replay import Replayed
from voiceassist.app.timeline import Timeline
from voiceassist.app.trouble import Trouble
from voiceassist.app.turn import Spoken
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.record.sound import SoundKind
from voiceassist.session.actions.waiting import left_s
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard, NoReply, Returned, TimeUp
from voiceassist.session.leads import leads
from voiceassist.session.outputs import Ended, Listen, NoteTaken, Output, VoiceAdjusted
from voiceassist.session.session import Session, Turn
from voiceassist.session.states import State
from voiceassist.sound.clip import Clip
from voiceassist.sound.tones import Tone

Line = Mapping[str, object]
Show = Callable[[Line], None]

#: After a cut: when nothing sensible was said for so long, it was a cough, and we go on.
_COUGH_S = 4.0
#: A disk that refused is tried again after so long, when nobody says anything.
_RETRY_S = 5.0


class Keeper(Protocol):
    """Keeps lines safe; ``record.Journal`` does it on disk."""

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Keep ``lines`` and return them as kept, when they are safe."""
        ...

    def keep_sound(self, kind: SoundKind, start_s: float, clip: Clip) -> Line:
        """Keep a stretch of sound, if such is kept; what its line tells of it."""
        ...

    def news(self) -> Sequence[Line]:
        """Lines, to be kept and spoken, about what befell the record since the last call."""
        ...

    @property
    def durable(self) -> bool:
        """Every line is safe; if not, ``keep`` with or without lines tries again."""
        ...


@dataclass(frozen=True, slots=True)
class Parts:
    """What the loop joins.

    Parts:
        engine: decides.
        language: grammar for what comes next.
        ears, mouth: hear and speak.
        keeper: keeps every line before it is spoken.
        timeline: the session's clock.
        show: gets each line kept, for screen or standard output.
        record: how the record is called, for the last line.
        attended: a technician is there and time passes: silence is answered after a while.
    """

    engine: Engine
    language: Language
    ears: Ears
    mouth: Mouth
    keeper: Keeper
    timeline: Timeline
    show: Show
    record: str = ""
    attended: bool = False


class Loop:
    """Runs one session to its end, or to the end of what there is to hear."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._expectation = Expectation()
        self._grammars: dict[Expectation, StepGrammar] = {}
        self._timer: tuple[tuple[str, float], float] | None = None  # of which wait, and its end
        self._prompt_at_s: float | None = None
        self._retry_at_s = 0.0
        self._cut: Pending | None = None
        self._trouble = Trouble(parts.engine.desk.book)
        self.session = Session()
        self.outcome = ""

    @property
    def spoken(self) -> Sequence[Spoken]:
        """Every sentence spoken so far, as sound."""
        return self._parts.mouth.spoken

    def begin(self, facts: Mapping[str, str]) -> None:
        """Open the job."""
        self._answer(Begin(tuple(facts.items())), [])

    def announce(self, line: Line) -> None:
        """Keep and speak a line that is not of the engine; its ``text`` is spoken."""
        spoken = self._parts.mouth.prepare([str(line["text"])])
        self._keep([self._placed({"step": self.session.step, **line}, spoken[0])])
        self._parts.mouth.speak(spoken)

    def resume(self, back: Replayed, away_s: float) -> None:
        """Go on with a session read back from its journal.

        What the journal was cut off before is given first.

        Args:
            back: what the journal gives back.
            away_s: how long the session was away, in seconds.
        """
        self.session = back.session
        for change in back.voice:
            self._parts.mouth.adjust(change)
        if back.unkept:
            self._deliver(Turn(back.session, back.unkept), [])
        self._settle_cut()
        if not self.outcome:
            away_s, at_s = round(away_s, 3), self._now_s()
            detail = self._parts.engine.desk.detail.value
            line = self._unspoken("returned", at_s) | {"away_s": away_s, "detail": detail}
            self._answer(Returned(away_s, at_s), [line])

    def run(self) -> str:
        """Go on until the session ends.

        Returns:
            The outcome; empty when the input ended first and the session can be resumed.
        """
        while not self.outcome:
            said = self._parts.ears.listen(self._grammar(), self._until_s())
            if said is None:
                break
            if isinstance(said, Elapsed):
                self._elapsed()
            elif isinstance(said, News):
                self._tell(said.kind)
            else:
                self._settle_cut()
                event, line = self._heard(said)
                self._answer(event, [line], said)
        self._settle_cut()
        return self.outcome

    def _now_s(self) -> float:
        return round(self._parts.timeline.now_s(), 3)

    def _unspoken(self, event: str, at_s: float) -> dict[str, object]:
        """The line of an event that nobody spoke."""
        return {"event": event, "step": self.session.step, "text": "", "at_s": at_s}

    def _keep(self, lines: Sequence[Line]) -> None:
        for line in self._parts.keeper.keep(lines):
            self._parts.show(line)

    def _tell_of_the_record(self) -> float:
        """A disk that refuses lines, or takes them again, is spoken of; how long that took, s."""
        began_s = self._parts.timeline.now_s()
        for line in self._parts.keeper.news():
            text = self._parts.engine.desk.book(f"record.{line['state']}", found=line["found"])
            self.announce({**line, "text": text, "at_s": self._now_s()})
            self._retry_at_s = self._parts.timeline.now_s() + _RETRY_S
        return self._parts.timeline.now_s() - began_s

    # --- what is heard ---

    def _heard(self, said: Utterance) -> tuple[Heard, Line]:
        """What the session gets of something said, and the line that keeps it."""
        step = self.session.step
        if said.judgement is None:
            return typed_event(said), heard_line(said, typed_event(said), {}, step)
        desk, at = self._parts.engine.desk, self.session
        decision = said.judgement.decided(lambda key: leads(desk, at, key))
        event = decided_event(said, decision)
        return event, heard_line(said, event, about(said.judgement, decision), step)

    def _grammar(self) -> StepGrammar:
        """The grammar of what can come next; the same again costs a listener nothing."""
        if self._expectation not in self._grammars:
            self._grammars[self._expectation] = self._parts.language.compose(self._expectation)
        return self._grammars[self._expectation]

    # --- time ---

    def _deadlines(self) -> list[tuple[float, Callable[[], None]]]:
        """What happens by itself, and when."""
        found: list[tuple[float, Callable[[], None]]] = []
        if self._cut is not None:
            found.append((self._cut.at_s + _COUGH_S, self._go_on_speaking))
        if self._timer is not None:
            found.append((self._timer[1], self._time_up))
        if self._prompt_at_s is not None and not self._trouble.deaf:
            found.append((self._prompt_at_s, self._no_reply))
        if self._parts.attended and not self._parts.keeper.durable:
            found.append((self._retry_at_s, self._retry))
        return found

    def _until_s(self) -> float | None:
        return min((at_s for at_s, _ in self._deadlines()), default=None)

    def _elapsed(self) -> None:
        _, happens = min(self._deadlines(), key=lambda deadline: deadline[0])
        happens()

    def _time_up(self) -> None:
        self._timer = None
        self._settle_cut()
        at_s = self._now_s()
        self._answer(TimeUp(at_s), [self._unspoken("time-up", at_s)])

    def _no_reply(self) -> None:
        self._prompt_at_s = None
        self._settle_cut()
        at_s = self._now_s()
        self._answer(NoReply(at_s), [self._unspoken("no-reply", at_s)])

    def _retry(self) -> None:
        """Nobody says anything, but the disk may be back."""
        self._retry_at_s = self._parts.timeline.now_s() + _RETRY_S
        self._keep([])
        self._tell_of_the_record()

    # --- cutting in ---

    def _go_on_speaking(self) -> None:
        """Nobody said anything: what was cut is spoken from the cut sentence on."""
        cut, self._cut = self._cut, None
        assert cut is not None
        self._keep([cut.line(self._unspoken("interrupted", cut.at_s), went_on=True)])
        self._speak(cut.outputs[cut.cut.index :])

    def _settle_cut(self) -> None:
        """Tell the session, and the record, what was not heard."""
        cut, self._cut = self._cut, None
        if cut is None:
            return
        if not self.outcome:
            self.session = self._parts.engine.handle(self.session, cut.event()).session
        self._keep([cut.line(self._unspoken("interrupted", cut.at_s), went_on=False)])

    # --- news of the ears ---

    def _tell(self, kind: NewsKind) -> None:
        """The ears are in trouble, or well again: it is kept, and spoken of."""
        line = self._trouble.line(kind, self.session, self._now_s())
        prepared = self._parts.mouth.prepare([str(line["text"])])
        self._keep([self._placed(line, prepared[0])])
        self._parts.mouth.speak(prepared, last=self._last_tone())
        if kind in {NewsKind.LOST, NewsKind.BACK}:  # silence counts anew, or not at all
            self._set_prompt(self._parts.engine.listen(self.session))

    # --- what is answered ---

    def _answer(
        self, event: Event, before: Sequence[Line], said: Utterance | None = None
    ) -> None:
        turn = self._parts.engine.handle(self.session, event)
        self.session = turn.session
        if said is not None and said.clip is not None:
            note = any(isinstance(output, NoteTaken) for output in turn.outputs)
            kind = SoundKind.NOTE if note else SoundKind.HEARD
            start_s = said.start_s - said.lead_s
            before = [{**before[0], **self._parts.keeper.keep_sound(kind, start_s, said.clip)}]
        self._deliver(turn, before, _first_tone(event, turn))

    def _deliver(self, turn: Turn, before: Sequence[Line], first: Tone | None = None) -> None:
        """Have the lines of a turn kept, then speak it; a disk that refuses is told of first."""
        for output in turn.outputs:
            self._note(output)
        given = [output for output in turn.outputs if not isinstance(output, Listen)]
        self._speak(given, before, first)
        for output in turn.outputs[-1:]:  # a timer runs from the end of its announcement
            if isinstance(output, Listen):
                self._set_timer(output)
                self._set_prompt(output)
                self._parts.mouth.expect(partial(likely, self._parts.engine, self.session))

    def _speak(
        self,
        given: Sequence[Output],
        before: Sequence[Line] | None = None,
        first: Tone | None = None,
    ) -> None:
        """Speak outputs; with ``before``, their lines are kept behind these first."""
        prepared = self._parts.mouth.prepare([output.text for output in given])
        if before is not None:
            pairs = zip(given, prepared, strict=True)
            self._keep([*before, *(self._placed(self._line(o), s) for o, s in pairs)])
            prepared = _later(prepared, self._tell_of_the_record())
        cut = self._parts.mouth.speak(prepared, first=first, last=self._last_tone())
        if cut is not None:
            unheard = unheard_cautions(given, cut)
            self._cut = Pending(tuple(given), cut, unheard, self._now_s())

    def _last_tone(self) -> Tone | None:
        waits = (
            not self.outcome and self.session.state is not State.STAND_BY and not self._trouble.deaf
        )
        return Tone.LISTENING if waits else None

    def _note(self, output: Output) -> None:
        if isinstance(output, Listen):
            self._expectation = output.expectation
        elif isinstance(output, VoiceAdjusted):
            self._parts.mouth.adjust(output.change)
        elif isinstance(output, Ended):
            self.outcome = output.outcome

    def _set_timer(self, listen: Listen) -> None:
        """A timer begins when its step is first waited at, and runs on through questions."""
        at_step = self.session.at_step
        wait = (at_step.step, at_step.since_s)
        if not listen.wait_s or at_step.over:
            self._timer = None
        elif self._timer is None or self._timer[0] != wait:
            left = left_s(self._parts.engine.desk, at_step)
            self._timer = (wait, self._parts.timeline.now_s() + left)

    def _set_prompt(self, listen: Listen) -> None:
        """Silence counts from the end of what was spoken."""
        due = self._parts.attended and listen.prompt_s
        self._prompt_at_s = self._parts.timeline.now_s() + listen.prompt_s if due else None

    def _line(self, output: Output) -> dict[str, object]:
        line = output.to_json()
        if isinstance(output, Ended):
            line["record"] = self._parts.record
        return line

    def _placed(self, line: Line, spoken: Spoken | None) -> Line:
        """``line`` with its place in the session and its sound, when it is spoken."""
        if spoken is None:
            return line
        place = {"start_s": round(spoken.start_s, 3), "end_s": round(spoken.end_s, 3)}
        kept = self._parts.keeper.keep_sound(SoundKind.SAID, spoken.start_s, spoken.clip)
        return {**line, **place, **kept}


def _later(prepared: Sequence[Spoken | None], seconds: float) -> list[Spoken | None]:
    """What was prepared, to be spoken so much later."""
    return [s and replace(s, start_s=s.start_s + seconds) for s in prepared]


def _first_tone(event: Event, turn: Turn) -> Tone | None:
    """The tone before an answer: none for words, which say it themselves, but for a refusal."""
    if not isinstance(event, Heard) or turn.session.state is State.STAND_BY:
        return None
    missed = turn.session.misses > 0
    return Tone.NOT_UNDERSTOOD if missed else None
