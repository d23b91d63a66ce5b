"""The loop of a session: hear, decide, keep, answer. It decides nothing itself."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.ears import Ears, Elapsed, Utterance
from voiceassist.app.heard import about, decided_event, heard_line, typed_event
from voiceassist.app.mouth import Mouth, Spoken
from voiceassist.app.replay import Replayed
from voiceassist.app.timeline import Timeline
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.waiting import left_s
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard, Returned, TimeUp
from voiceassist.session.leads import leads
from voiceassist.session.outputs import Ended, Listen, NoteTaken, Output, VoiceAdjusted
from voiceassist.session.session import Session, Turn
from voiceassist.sound.clip import Clip

Line = Mapping[str, object]
Show = Callable[[Line], None]


class Keeper(Protocol):
    """Keeps lines safe; ``record.Journal`` does it on disk."""

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Keep ``lines`` and return them as kept, when they are safe."""
        ...

    def keep_sound(self, name: str, clip: Clip) -> None:
        """Keep a stretch of sound under ``name``."""
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
    """

    engine: Engine
    language: Language
    ears: Ears
    mouth: Mouth
    keeper: Keeper
    timeline: Timeline
    show: Show
    record: str = ""


class Loop:
    """Runs one session to its end, or to the end of what there is to hear."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._expectation = Expectation()
        self._grammars: dict[Expectation, StepGrammar] = {}
        self._timer: tuple[tuple[str, float], float] | None = None  # of which wait, and its end
        self.session = Session()
        self.outcome = ""

    @property
    def spoken(self) -> Sequence[Spoken]:
        """Every sentence spoken so far, as sound."""
        return self._parts.mouth.spoken

    def begin(self, facts: Mapping[str, str]) -> None:
        """Open the job."""
        self._answer(Begin(tuple(facts.items())), [])

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
        if not self.outcome:
            away_s, at_s = round(away_s, 3), self._now_s()
            line = self._told("returned", at_s) | {"away_s": away_s}
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
                self._timer = None
                at_s = self._now_s()
                self._answer(TimeUp(at_s), [self._told("time-up", at_s)])
            else:
                event, line = self._heard(said)
                self._answer(event, [line], said.clip)
        return self.outcome

    def _now_s(self) -> float:
        return round(self._parts.timeline.now_s(), 3)

    def _told(self, event: str, at_s: float) -> dict[str, object]:
        """The line of an event that nobody spoke."""
        return {"event": event, "step": self.session.step, "text": "", "at_s": at_s}

    def _heard(self, said: Utterance) -> tuple[Heard, Line]:
        """What the session gets of something said, and the line that keeps it."""
        step = self.session.step
        if said.judgement is None:
            return typed_event(said), heard_line(said, typed_event(said), {}, step)
        desk, at = self._parts.engine.desk, self.session
        decision = said.judgement.decided(lambda key: leads(desk, at, key))
        event = decided_event(said, decision)
        return event, heard_line(said, event, about(said.judgement, decision), step)

    def _until_s(self) -> float | None:
        return self._timer[1] if self._timer is not None else None

    def _grammar(self) -> StepGrammar:
        """The grammar of what can come next; the same again costs a listener nothing."""
        if self._expectation not in self._grammars:
            self._grammars[self._expectation] = self._parts.language.compose(self._expectation)
        return self._grammars[self._expectation]

    def _answer(self, event: Event, before: Sequence[Line], clip: Clip | None = None) -> None:
        turn = self._parts.engine.handle(self.session, event)
        self.session = turn.session
        if clip is not None and any(isinstance(output, NoteTaken) for output in turn.outputs):
            before = [self._with_sound(before[0], clip)]
        self._deliver(turn, before)

    def _with_sound(self, line: Line, clip: Clip) -> Line:
        """The line of a spoken note, its sound kept: the words caught are only a guess."""
        name = f"note-{round(float(str(line['start_s'])) * 1000):08}.wav"
        self._parts.keeper.keep_sound(name, clip)
        return {**line, "sound": name}

    def _deliver(self, turn: Turn, before: Sequence[Line]) -> None:
        """Have the lines of a turn kept, then speak it; a disk that refuses is told of first."""
        for output in turn.outputs:
            self._note(output)
        given = [output for output in turn.outputs if not isinstance(output, Listen)]
        prepared = self._parts.mouth.prepare([output.text for output in given])
        lines = [self._line(o, s) for o, s in zip(given, prepared, strict=True)]
        for line in self._parts.keeper.keep([*before, *lines]):
            self._parts.show(line)
        self._parts.mouth.speak(prepared)
        for output in turn.outputs[-1:]:  # a timer runs from the end of its announcement
            if isinstance(output, Listen):
                self._set_timer(output)

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

    def _line(self, output: Output, spoken: Spoken | None) -> Line:
        line = output.to_json()
        if isinstance(output, Ended):
            line["record"] = self._parts.record
        if spoken is not None:
            line["start_s"] = round(spoken.start_s, 3)
            line["end_s"] = round(spoken.end_s, 3)
        return line
