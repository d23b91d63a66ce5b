"""Typed lines as ears."""

import math
from collections.abc import Callable, Iterable

from voiceassist.app.ears.base import _LOOK_S, EarState, Elapsed, Utterance
from voiceassist.app.timeline import Timeline
from voiceassist.language.step import StepGrammar


class TypedEars:
    """A line is an utterance.

    Args:
        lines: the input. Lines that are there already (a file, a pipe) need not be waited for,
            so a timer is over at once.
        timeline: the session's clock.
        ready: for a keyboard: waits up to so many seconds for a line, True when there is one.
        on_state: told when a line is waited for, and when one came, though it be empty.
        asked: somebody else has something to say: at a keyboard, waiting ends then.
    """

    def __init__(
        self,
        lines: Iterable[str],
        timeline: Timeline,
        ready: Callable[[float], bool] | None = None,
        on_state: Callable[[EarState], None] = lambda _: None,
        asked: Callable[[], bool] | None = None,
    ) -> None:
        self._asked = asked
        self._lines = iter(lines)
        self._timeline = timeline
        self._ready = ready
        self._on_state = on_state

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Typed words need nothing beforehand."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next line that is not empty; None at the end of the input."""
        self._on_state(EarState.LISTENING)
        if not self._comes_before(until_s):
            return Elapsed()
        for line in self._lines:
            self._on_state(EarState.IDLE)
            words = line.strip()
            if words:
                return self._typed(words, grammar)
            self._on_state(EarState.LISTENING)
        return None

    def _typed(self, words: str, grammar: StepGrammar) -> Utterance:
        understood, now = grammar.parse(words), self._timeline.now_s()
        return Utterance(
            words, understood.meanings, understood.reason, certain=True, start_s=now, end_s=now
        )

    def close(self) -> None:
        """Nothing is held."""

    def _comes_before(self, until_s: float | None) -> bool:
        """A line comes before that second, and before somebody else has something to say."""
        if self._ready is None or (until_s is None and self._asked is None):
            return until_s is None
        longest_s = math.inf if self._asked is None else _LOOK_S
        while (left_s := self._left_s(until_s)) > 0 and not (self._asked and self._asked()):
            if self._ready(min(left_s, longest_s)):
                return True
            if left_s <= longest_s and until_s is not None:
                return False
        return False

    def _left_s(self, until_s: float | None) -> float:
        return _LOOK_S if until_s is None else until_s - self._timeline.now_s()
