"""The turns of a session as they are given out: kept, spoken, and perhaps cut short."""

from collections.abc import Sequence
from functools import partial

from voiceassist.app.live.ear_trouble import EarTrouble
from voiceassist.app.live.heard_events import Understanding
from voiceassist.app.live.interruption import Pending
from voiceassist.app.live.likely_next import likely
from voiceassist.app.live.parts import Parts
from voiceassist.app.live.telling import Telling
from voiceassist.app.live.timers import Timers
from voiceassist.app.mouth.spoken_turn import Spoken
from voiceassist.record import lines
from voiceassist.record.lines import Line
from voiceassist.record.outcomes import PARKED
from voiceassist.session.outputs import Advice, Ended, Listen, Output, Parked, VoiceAdjusted
from voiceassist.session.session import Session, Turn
from voiceassist.session.states import State
from voiceassist.sound.tones import Tone

#: Cut off so often in a row for nothing, we hear ourselves, or others, and would never be done.
_MOST_CUTS = 3
#: What is still to be answered is waited for so long where nobody is there to be kept waiting.
_UNATTENDED_S = 0.3


class Turns:
    """Gives out what a session answers, and remembers what of it was not heard.

    Args:
        parts: that it speaks and keeps with.
    """

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._telling = Telling(parts)
        self._understanding = Understanding(parts)
        self._waits = Timers(parts.engine.setup, parts.timeline, attended=parts.attended)
        self._tried_s = self._looked_s = self._follows_s = self._asked = 0.0
        self._cut: Pending | None = None
        self._cut_for_nothing = 0
        self._trouble = EarTrouble(parts.engine.setup.book)
        self.session = Session()
        self.outcome = ""

    @property
    def spoken(self) -> Sequence[Spoken]:
        """Every sentence spoken so far, as sound."""
        return self._parts.mouth.spoken

    def announce(self, line: Line) -> None:
        """Keep and speak a line that is not of the engine; its ``text`` is spoken."""
        self._telling.announce(line)

    def _announce(self, line: Line) -> None:
        self._telling.announce(line, self._last_tone())
        self._await()

    def _await(self) -> None:
        """Silence counts anew."""
        self._waits.await_answer(self._parts.engine.listen(self.session))

    def _unspoken(self, kind: type[lines.Line], at_s: float, **more: object) -> lines.Line:
        """The line of an event that nobody spoke."""
        return kind.made(step=self.session.step, at_s=at_s, **{"text": "", **more})

    # --- cutting in ---

    def _go_on_speaking(self) -> None:
        """Nobody said anything: what was cut is spoken from the cut sentence on."""
        cut = self._settle_cut(went_on=True)
        assert cut is not None
        self._count_cuts(sensible=False, was_cut=True)
        self._speak_on(cut)

    def _speak_on(self, cut: Pending) -> None:
        """What was cut, from the cut sentence on."""
        self._cut = self._telling.say_again(cut.outputs[cut.cut.index :], self._last_tone())
        self._waits.spoken_on(self._parts.engine.listen(self.session))

    def _count_cuts(self, *, sensible: bool, was_cut: bool) -> None:
        """Whoever is cut off again and again, and nothing sensible follows, goes on by turns."""
        self._cut_for_nothing = 0 if sensible else self._cut_for_nothing + was_cut
        if self._cut_for_nothing >= _MOST_CUTS and self._parts.mouth.by_turns():
            self._telling.announce(self._trouble.of_cuts(self.session, self._telling.now_s()))

    def _settle_cut(self, *, went_on: bool = False) -> Pending | None:
        """Tell the session, and the record, of a cut, if there was one.

        Unless we ``went_on`` with it, what of it was not heard stays so.
        """
        cut, self._cut = self._cut, None
        if cut is None:
            return None
        if not self.outcome:
            event = cut.event(went_on=went_on)
            self.session = self._parts.engine.handle(self.session, event).session
        line = self._unspoken(lines.InterruptedLine, cut.at_s, **cut.told(went_on=went_on))
        self._telling.keep([line])
        return cut

    # --- what is given out ---

    def _deliver(
        self,
        turn: Turn,
        before: Sequence[Line],
        first: Tone | None = None,
        *,
        quiet: bool = False,
    ) -> None:
        """Have the lines of a turn kept, then speak it; a disk that refuses is told of first.

        A ``quiet`` one has no tones.
        """
        for output in turn.outputs:
            self._note(output)
        given = [self._advised(o) for o in turn.outputs if not isinstance(o, Listen)]
        step, last = self.session.step, None if quiet else self._last_tone()
        self._cut = self._telling.give(given, before, step=step, first=first, last=last)
        for output in turn.outputs[-1:]:  # a timer runs from the end of its announcement
            if isinstance(output, Listen):
                self._waits.listen(output, self.session)
                self._parts.mouth.expect(partial(likely, self._parts.engine, self.session))

    def _advised(self, output: Output) -> Output:
        """``output``; of advice, with the answer in it."""
        if not isinstance(output, Advice) or self._parts.adviser is None:
            return output
        return self._parts.adviser.advise(output, self.session)

    def _late(self) -> None:
        """Advice that took longer than an answer may."""
        assert self._parts.adviser is not None
        self._looked_s = self._parts.timeline.now_s()
        wait_s = 0.0 if self._parts.attended else _UNATTENDED_S
        told = self._parts.adviser.late(self.session, wait_s)
        if told is not None:
            self._telling.give([told], [], step=self.session.step, last=self._last_tone())
            self._await()

    def _last_tone(self) -> Tone | None:
        silent = self.outcome or self.session.state is State.STAND_BY or self._trouble.deaf
        return None if silent else Tone.LISTENING

    def _note(self, output: Output) -> None:
        if isinstance(output, Listen):
            self._understanding.expectation = output.expectation
        elif isinstance(output, VoiceAdjusted):
            self._parts.mouth.adjust(output.change)
        elif isinstance(output, Ended):
            self.outcome = output.outcome
        elif isinstance(output, Parked):
            self.outcome = PARKED
