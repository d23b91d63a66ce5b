"""What is given out: each line is kept first, and then its text is spoken."""

from collections.abc import Sequence
from dataclasses import replace

from voiceassist.app.live.interruption import Pending, unheard_cautions
from voiceassist.app.live.parts import Parts
from voiceassist.app.mouth.spoken_turn import Spoken
from voiceassist.record.lines import Line, line_of
from voiceassist.record.sound import SoundKind
from voiceassist.session.outputs import Ended, Output
from voiceassist.sound.tones import Tone


class Telling:
    """Keeps and speaks.

    Args:
        parts: of the loop; keeper, mouth, timeline, show and engine are used.
    """

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self.told_s = 0.0  # when the record was spoken of last, in seconds of the session

    def now_s(self) -> float:
        """Seconds of the session, as lines tell them."""
        return round(self._parts.timeline.now_s(), 3)

    def keep(self, lines: Sequence[Line]) -> None:
        """Have ``lines`` kept, and show them as they were."""
        for line in self._parts.keeper.keep(lines):
            self._parts.show(line)

    def announce(self, line: Line, last: Tone | None = None) -> None:
        """Keep and speak a line that is not of the engine; its ``text`` is spoken."""
        spoken = self._parts.mouth.prepare([line.text])
        self.keep([self._placed(line, spoken[0])])
        self._parts.mouth.speak(spoken, last=last)

    def of_the_record(self, step: str) -> float:
        """Speak of a disk that refuses lines, or takes them again; how long that took, in s."""
        began_s = self._parts.timeline.now_s()
        for line in self._parts.keeper.news():
            text = self._parts.engine.setup.book(f"record.{line.state}", found=line.found)
            self.announce(line.also({"step": step, "text": text, "at_s": self.now_s()}))
            self.told_s = self._parts.timeline.now_s()
        return self._parts.timeline.now_s() - began_s

    def give(
        self,
        given: Sequence[Output],
        before: Sequence[Line],
        *,
        step: str,
        first: Tone | None = None,
        last: Tone | None = None,
    ) -> Pending | None:
        """Keep the lines ``before`` and those of ``given``, and speak these.

        Args:
            given: of the engine.
            before: lines that come before them.
            step: where the session is.
            first, last: tones before and after.

        Returns:
            What was not heard; None when all was.
        """
        prepared = self._parts.mouth.prepare([output.text for output in given])
        pairs = zip(given, prepared, strict=True)
        self.keep([*before, *(self._placed(self._line(o), s) for o, s in pairs)])
        prepared = _later(prepared, self.of_the_record(step))
        return self._spoken(given, prepared, first, last)

    def say_again(self, given: Sequence[Output], last: Tone | None) -> Pending | None:
        """Speak ``given``, whose lines are kept already; what was not heard."""
        return self._spoken(
            given, self._parts.mouth.prepare([output.text for output in given]), None, last
        )

    def _spoken(
        self,
        given: Sequence[Output],
        prepared: Sequence[Spoken | None],
        first: Tone | None,
        last: Tone | None,
    ) -> Pending | None:
        cut = self._parts.mouth.speak(prepared, first=first, last=last)
        if cut is None:
            return None
        return Pending(tuple(given), cut, unheard_cautions(given, cut), self.now_s())

    def _line(self, output: Output) -> Line:
        line = line_of(output.to_json())
        return line.also({"record": self._parts.record}) if isinstance(output, Ended) else line

    def _placed(self, line: Line, spoken: Spoken | None) -> Line:
        """``line`` with its place in the session and its sound, when it is spoken."""
        if spoken is None:
            return line
        place = {"start_s": round(spoken.start_s, 3), "end_s": round(spoken.end_s, 3)}
        kept = self._parts.keeper.keep_sound(SoundKind.SAID, spoken.start_s, spoken.clip)
        return line.also({**place, **kept})


def _later(prepared: Sequence[Spoken | None], seconds: float) -> list[Spoken | None]:
    """What was prepared, to be spoken so much later."""
    return [s and replace(s, start_s=s.start_s + seconds) for s in prepared]
