"""The picture on a terminal, painted again when it has changed and not oftener than that."""

import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace

from rich.console import Console, ConsoleDimensions
from rich.live import Live

from voiceassist.app.view import EarState, Level, StepRows, View, lines, shown, ticked
from voiceassist.cli.screen.draw import Screen
from voiceassist.cli.screen.level import heard_level
from voiceassist.cli.screen.parts import ScreenState

#: Between two pictures, at least.
_LEAST_S = 0.1
#: The clock of the session and the size of the terminal are looked at so often.
_LOOK_S = 0.5


class LiveView(View):
    """Shows a session on the alternate screen of a terminal; a ``View`` for any thread.

    The terminal is taken with the first line, so that what fails before is read where it was.

    Args:
        console: on the terminal.
        after: told what a person should still read when the screen is gone.
        now_s: a steady clock, in seconds.
    """

    def __init__(
        self,
        console: Console,
        after: Callable[[str], None],
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._console = console
        self._after = after
        self._now_s = now_s
        self._zero_s = now_s()
        self._state = ScreenState()
        self._rows: StepRows = lambda _step, _conditions: ()
        self._warned: list[str] = []
        self._lock = threading.Lock()
        self._changed = threading.Event()
        self._closed = threading.Event()
        # Not redirected: JSON lines on standard output must never end in the picture.
        self._live = Live(
            console=console,
            screen=True,
            auto_refresh=False,
            redirect_stdout=False,
            redirect_stderr=False,
        )
        self._painter: threading.Thread | None = None
        self.painted = 0

    def show(self, line: lines.Line) -> None:
        """Take a journal line into the picture."""
        self._change(lambda state: self._with_leads(state, shown(state, line)))
        if self._painter is None and not self._closed.is_set():
            self._painter = threading.Thread(target=self._paint, name="screen", daemon=True)
            self._painter.start()

    def follow(self, rows: StepRows) -> None:
        """Show where the leads of each step stand."""
        self._rows = rows

    def _with_leads(self, before: ScreenState, state: ScreenState) -> ScreenState:
        if (before.step, before.conditions) == (state.step, state.conditions):
            return state
        met = {each.name: each.state for each in state.conditions if each.met}
        return replace(state, leads=self._rows(state.step, met))

    def level(self, level: Level) -> None:
        """Show how loud the microphone is."""
        self._change(lambda state: heard_level(state, level))

    def state(self, state: EarState) -> None:
        """Show what the ears do."""
        self._change(lambda before: replace(before, ears=state))

    def warn(self, sentence: str) -> None:
        """Show a sentence about the tool itself, and again when the screen is gone."""
        if self._painter is None:
            self._after(sentence)
        else:
            self._warned.append(sentence)
        self._change(lambda state: replace(state, notice=sentence.strip()))

    def close(self) -> None:
        """Give the terminal back as it was; as often as one likes."""
        if self._closed.is_set():
            return
        self._closed.set()
        self._changed.set()
        if self._painter is not None:
            self._painter.join()
        for sentence in (*self._warned, *self._state.said):
            self._after(sentence)

    def _change(self, change: Callable[[ScreenState], ScreenState]) -> None:
        with self._lock:
            self._state = change(self._state)
            # The clock never goes back: what is heard is told of a moment later.
            self._zero_s = min(self._zero_s, self._now_s() - self._state.clock_s)
        self._changed.set()

    def _paint(self) -> None:
        """Paint until closed; a terminal that went away is no reason to stop the session."""
        with suppress(OSError), self._live:
            self._paint_all()

    def _paint_all(self) -> None:
        last: tuple[ScreenState, ConsoleDimensions] | None = None
        while not self._closed.is_set():
            self._changed.clear()
            with self._lock:
                state = ticked(self._state, self._now_s() - self._zero_s)
            # What is not drawn does not make a new picture.
            now = replace(state, clock_s=0.0, spoken_until_s=0.0, fresh=True), self._console.size
            if now != last:
                last = now
                self._live.update(Screen(state), refresh=True)
                self.painted += 1
            self._closed.wait(_LEAST_S)
            self._changed.wait(_LOOK_S)
