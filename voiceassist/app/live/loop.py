"""The loop of a session: hear, decide, keep, answer. It decides nothing itself."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from voiceassist.app.ears.base import Elapsed, News, NewsKind, Utterance
from voiceassist.app.ears.earcons import first_tone
from voiceassist.app.live.instructor import is_quiet
from voiceassist.app.live.replay import Replayed
from voiceassist.app.live.turns import Turns
from voiceassist.app.pages.pictures import picture_asked
from voiceassist.errors import RecordError
from voiceassist.record import lines
from voiceassist.record.lines import Line
from voiceassist.record.sound import SoundKind
from voiceassist.session.events import (
    Begin,
    Carried,
    Event,
    Heard,
    NoMore,
    NoReply,
    Returned,
    TimeUp,
)
from voiceassist.session.outcomes import REHEARSED
from voiceassist.session.outputs import Ended, NoteTaken, Output
from voiceassist.session.said_again import followed_s
from voiceassist.session.session import VALUE, Turn
from voiceassist.session.states import State

#: After a cut: when nothing sensible was said for so long, it was a cough, and we go on.
_COUGH_S = 4.0
#: A disk that refused is tried again after so long, when nobody says anything.
_RETRY_S = 5.0
#: What is still to be answered is looked at again after so long.
_LATE_S = 0.5
#: A wait that ends sooner than this before its time has lasted, but for what a clock is off by.
_AT_ONCE_S = 0.5


class Loop(Turns):
    """Runs one session to its end, or to the end of what there is to hear."""

    def begin(
        self,
        facts: Mapping[str, str],
        *,
        familiar: bool = False,
        taught: bool = False,
        carried: tuple[Carried, ...] = (),
    ) -> None:
        """Open the job; for who is ``familiar`` with the notice, by its title alone.

        Who was ``taught`` to say numbers that sound alike in digits is not taught again. What is
        ``carried`` from an earlier part of the job is asked about before it is measured again.
        """
        self._answer(Begin(tuple(facts.items()), familiar, taught, carried), [])

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
            away_s, at_s = round(away_s, 3), self._telling.now_s()
            detail = self._parts.engine.setup.detail.value
            line = self._unspoken(lines.ReturnedLine, at_s, away_s=away_s, detail=detail)
            self._answer(Returned(away_s, at_s), [line])

    def run(self) -> str:
        """Go on until the session ends.

        Returns:
            The outcome; empty when the input ended first and the session can be resumed.
        """
        self._parts.ears.expect(self._understanding.coming())
        while not self.outcome:
            self._say_note()
            grammar = self._understanding.grammar(self.session)
            until_s = min((at_s for at_s, _ in self._deadlines()), default=None)
            said = self._parts.ears.listen(grammar, until_s)
            if said is None:
                self._no_more()
                break
            if isinstance(said, Elapsed):
                if not self._parts.notes.waits():
                    self._elapsed()
            elif isinstance(said, News):
                self._tell(said.kind)
            elif said.certain and (asked := picture_asked(said.words)):
                self._attach(asked)
            else:
                self._take(said)
        self._settle_cut()
        return self.outcome

    def _take(self, said: Utterance) -> None:
        """What was said goes to the session, or beside the job."""
        soon = self._parts.paced and said.start_s < self._follows_s
        event, line = self._understanding.heard(said, self.session, soon=soon)
        cut = self._settle_cut(went_on=event.let_pass)
        self._count_cuts(sensible=bool(event.meanings), was_cut=cut is not None)
        wish = self._understanding.wish(event)
        text = "" if wish else self._understanding.instead(event, self.session)
        if wish or text:
            self._answer_beside(wish, text, self._with_sound(line, said, SoundKind.HEARD))
        else:
            self._answer(event, [line], said)
        if event.let_pass and cut is not None:
            self._speak_on(cut)

    def _no_more(self) -> None:
        """The input ended: a job of which all is told is closed, any other can be resumed."""
        if self.session.state in {State.AFTER, State.PUT_BACK, State.TO_PARK}:
            self._befell(NoMore, lines.NoMoreLine)

    def _befell(self, event: Callable[[float], Event], kind: type[Line]) -> None:
        """Answer what nobody spoke."""
        at_s = self._telling.now_s()
        self._answer(event(at_s), [self._unspoken(kind, at_s)])

    def _attach(self, asked: str) -> None:
        """A picture is kept, which decides nothing."""
        self._settle_cut()
        book, at_s = self._parts.engine.setup.book, self._telling.now_s()
        try:
            about = {"step": self.session.step, "at_s": at_s, "text": book("record.picture")}
            line: Line = self._parts.keeper.keep_picture(asked).also(about)
        except RecordError as error:
            text = book("record.picture-refused", found=error.found)
            line = self._unspoken(lines.PictureRefused, at_s, asked=asked, text=text)
        self._telling.announce(line, self._last_tone())

    # --- beside the job ---

    def _answer_beside(self, wish: str, text: str, heard: Line) -> None:
        """Answer a ``wish``, or say ``text`` to words for the vehicle that cannot be one."""
        assert self._parts.beside is not None
        self._telling.keep([heard])
        if wish:
            reply: Line = self._parts.beside.answer(wish, self.session)
        else:
            about = {"step": self.session.step, "text": text, "wish": "", "named": ""}
            reply = lines.RehearsedLine.made(**about, minutes=0.0, slips=[])
        self._announce(reply.also({"at_s": self._telling.now_s()}))

    def _close_beside(self, before: Sequence[Line]) -> None:
        """What is said beside the job before it is closed."""
        assert self._parts.beside is not None
        self._telling.keep(before)
        for line in self._parts.beside.closing(self.session):
            self.announce(line.also({"at_s": self._telling.now_s()}))

    def _say_note(self) -> None:
        """At a pause the instructor's note is kept and spoken, which decides nothing."""
        notes = self._parts.notes
        notes.held = self._cut is not None or is_quiet(self.session)
        note = notes.next()
        if note is None:
            return
        text = self._parts.engine.setup.book("record.instructor-note", by=note.by, words=note.words)
        about = {"text": text, "note": note.id, "by": note.by, "words": note.words}
        line = self._unspoken(lines.InstructorNote, self._telling.now_s(), **about)
        self._announce(line)
        notes.done(note)

    # --- time ---

    def _deadlines(self) -> list[tuple[float, Callable[[], None]]]:
        """What happens by itself, and when; to the deaf nobody can answer."""
        found: list[tuple[float, Callable[[], None]]] = []
        deaf = self._trouble.deaf
        if self._cut is not None and not deaf:
            found.append((self._cut.at_s + _COUGH_S, self._go_on_speaking))
        if self._waits.timer_s is not None:
            found.append((self._waits.timer_s, self._time_up))
        if self._waits.prompt_s is not None and not deaf:
            found.append((self._waits.prompt_s, self._no_reply))
        if self._parts.attended and not self._parts.keeper.durable:
            found.append((max(self._tried_s, self._telling.told_s) + _RETRY_S, self._retry))
        if self._parts.adviser is not None and self._parts.adviser.waiting:
            found.append((self._looked_s + _LATE_S, self._late))
        return found

    def _elapsed(self) -> None:
        _, happens = min(self._deadlines(), key=lambda deadline: deadline[0])
        happens()

    def _time_up(self) -> None:
        at_s, due_s = self._telling.now_s(), self._waits.timer_s
        unwaited = due_s is not None and at_s < due_s - _AT_ONCE_S
        self._waits.end_timer()
        self._settle_cut()
        line = self._unspoken(lines.TimeUpLine, at_s, unwaited=unwaited)
        self._answer(TimeUp(at_s, unwaited), [line])

    def _no_reply(self) -> None:
        self._waits.prompt_s = None
        self._settle_cut()
        self._befell(NoReply, lines.NoReplyLine)

    def _retry(self) -> None:
        """Nobody says anything, but the disk may be back."""
        self._tried_s = self._parts.timeline.now_s()
        self._telling.keep([])
        self._telling.of_the_record(self.session.step)

    # --- news of the ears ---

    def _tell(self, kind: NewsKind) -> None:
        """The ears are in trouble, or well again: it is kept, and spoken of."""
        line = self._trouble.line(kind, self.session, self._telling.now_s())
        self._telling.announce(line, self._last_tone())
        if line.text:  # spoken of: silence counts anew, or not at all
            self._await()

    # --- what is answered ---

    def _answer(self, event: Event, before: Sequence[Line], said: Utterance | None = None) -> None:
        turn = self._parts.engine.handle(self.session, event)
        self.session = turn.session
        if said is not None:
            note = any(isinstance(output, NoteTaken) for output in turn.outputs)
            kind = SoundKind.NOTE if note else SoundKind.HEARD
            before = [self._with_sound(before[0], said, kind)]
        closes = any(isinstance(output, Ended) for output in turn.outputs)
        if closes and self._parts.beside is not None:
            self._close_beside(before)
            turn, before = Turn(turn.session, tuple(map(_rehearsed, turn.outputs))), []
        quiet = isinstance(event, Heard) and event.let_pass
        self._deliver(turn, before, first_tone(event, turn), quiet=quiet)
        asked = self.session.lately == VALUE or self._asked != self.session.at_step.since_s
        if asked and self.session.at_step.step:
            needed_s = followed_s(self._parts.engine.setup, self.session.at_step)
            self._follows_s = self._telling.now_s() + needed_s
        self._asked = self.session.at_step.since_s

    def _with_sound(self, line: Line, said: Utterance, kind: SoundKind) -> Line:
        """``line`` with the sound of what was said, if such is kept."""
        if said.clip is None:
            return line
        start_s = said.start_s - said.lead_s
        return line.also(self._parts.keeper.keep_sound(kind, start_s, said.clip))


def _rehearsed(output: Output) -> Output:
    """``output``; the end of a session on a simulated vehicle tells that it was no job."""
    return replace(output, outcome=REHEARSED) if isinstance(output, Ended) else output
