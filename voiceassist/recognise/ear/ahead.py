"""Grammars compiled in a thread of their own, while the question is still being spoken."""

import threading
from functools import partial

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Grammar
from voiceassist.recognise.ear.kept import Kept

#: The voice has the processor first: a sentence that is ready begins within this time.
_FIRST_S = 0.2


class Ahead:
    """Compiles the grammar that was asked for last.

    Args:
        kept: where automata are compiled and kept.
    """

    def __init__(self, kept: Kept) -> None:
        self._kept = kept
        self._change = threading.Condition()  # guards all below
        self._wanted: Grammar | None = None
        self._closed = False
        self._thread: threading.Thread | None = None

    def want(self, grammar: Grammar) -> None:
        """Have ``grammar`` compiled soon, instead of one that has not been begun yet."""
        with self._change:
            if self._closed:
                return
            self._wanted = grammar
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="ear-ahead", daemon=True)
                self._thread.start()
            self._change.notify()

    def leave(self) -> None:
        """What was asked for is not needed ahead any more."""
        with self._change:
            self._wanted = None
            self._change.notify()

    def close(self) -> None:
        """End the thread."""
        with self._change:
            self._closed, self._wanted = True, None
            self._change.notify()
        if self._thread is not None:
            self._thread.join()

    def _work(self) -> None:
        while (grammar := self._next()) is not None:
            try:
                self._kept.automaton(grammar)
                self._kept.talk(grammar)
            except (RecogniseError, TypeError):
                continue  # told of when it is prepared

    def _next(self) -> Grammar | None:
        """The next grammar, when the voice has begun; None at the end."""
        with self._change:
            while not self._closed:
                self._change.wait_for(lambda: self._closed or self._wanted is not None)
                wanted = self._wanted
                if not self._change.wait_for(partial(self._wants_other, wanted), _FIRST_S):
                    self._wanted = None
                    return wanted
            return None

    def _wants_other(self, than: Grammar | None) -> bool:
        return self._closed or self._wanted is not than
