"""An instructor's note is spoken at a pause, stands in the journal, and decides nothing."""

from collections.abc import Callable
from pathlib import Path

import pytest

from voiceassist.app import build
from voiceassist.app.ears.base import Elapsed
from voiceassist.app.ears.typed import TypedEars
from voiceassist.app.live.instructor import InstructorNotes
from voiceassist.language.expectation import Expectation
from voiceassist.record.instructor import NOTE, leave, note_of
from voiceassist.record.lines import InstructorNote
from voiceassist.testing import FixedTimeline

GRAMMAR = build.Components(build.settings({})).language.compose(Expectation())


class Clock:
    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        return self.now_s


def test_one_that_stands_in_the_journal_is_not_said_again(tmp_path: Path) -> None:
    """A cut came between the journal and the file."""
    note = note_of("Jo", "look at the plug")
    leave(tmp_path, note)
    notes = InstructorNotes()
    notes.use(tmp_path, [InstructorNote.made(note=note.id, by="Jo", words=note.words, text="")])
    assert notes.next() is None
    assert not (tmp_path / NOTE).exists()


def test_the_folder_is_looked_at_seldom_and_not_while_it_is_to_be_quiet(tmp_path: Path) -> None:
    clock = Clock()
    notes = InstructorNotes(clock)
    assert not notes.waits()
    notes.use(tmp_path, [])
    assert not notes.waits()
    leave(tmp_path, note_of("Jo", "look"))
    assert not notes.waits()
    clock.now_s = 0.6
    assert notes.waits()
    notes.held = True
    assert not notes.waits()
    assert notes.next() is None


class Keyboard:
    """Somebody who types nothing until the time has come."""

    def __init__(self, asked: Callable[[], bool] | None, line_after: int) -> None:
        self.waited: list[float] = []
        self.timeline = FixedTimeline()
        self._line_after = line_after
        self.ears = TypedEars(["affirm"], self.timeline, self._ready, asked=asked)

    def _ready(self, seconds: float) -> bool:
        self.waited.append(seconds)
        self.timeline.advance(seconds)
        return len(self.waited) > self._line_after


@pytest.mark.parametrize("until_s", [None, 100.0])
def test_at_a_keyboard_waiting_ends_when_there_is_something_to_say(until_s: float | None) -> None:
    at = Keyboard(lambda: len(at.waited) >= 3, 99)
    assert isinstance(at.ears.listen(GRAMMAR, until_s), Elapsed)
    assert at.waited == [0.5] * 3


def test_a_timer_ends_in_time_though_somebody_might_have_something_to_say() -> None:
    at = Keyboard(lambda: False, 99)
    assert isinstance(at.ears.listen(GRAMMAR, 1.2), Elapsed)
    assert sum(at.waited) == pytest.approx(1.2)
