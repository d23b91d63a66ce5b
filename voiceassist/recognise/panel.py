"""Several listeners side by side, each on its own thread."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

from voiceassist.errors import ListenerGoneError
from voiceassist.recognise.base import Grammar, Heard, Listener, Weigher
from voiceassist.sound.clip import Clip

Maker = Callable[[], Listener]
Result = TypeVar("Result")


class Panel:
    """Hears every clip with each of its listeners, at the same time.

    An engine may be used on one thread only, so each is made, used and closed on its own. One that
    crashes for good leaves the panel; the others go on.

    Args:
        makers: one or more; each makes a listener with a name of its own.

    Raises:
        VoiceAssistError: a listener cannot start; those that did are closed again.
    """

    def __init__(self, makers: Sequence[Maker]) -> None:
        if not makers:
            raise ValueError("a panel needs a listener")
        threads = [ThreadPoolExecutor(max_workers=1) for _ in makers]
        loading = [t.submit(make) for t, make in zip(threads, makers, strict=True)]
        self._threads = {t: f.result() for t, f in zip(threads, loading, strict=True) if _ok(f)}
        failed = next((f.exception() for f in loading if not _ok(f)), None)
        if failed is not None:
            self.close()
            raise failed
        ordered = sorted(self._threads.items(), key=lambda pair: pair[1].name)
        self._threads = dict(ordered)
        self.gone: list[ListenerGoneError] = []

    @property
    def name(self) -> str:
        """The names of its listeners in alphabetical order, joined by "+"."""
        return "+".join(listener.name for listener in self._threads.values())

    def prepare(self, grammar: Grammar) -> None:
        """Get every listener ready for ``grammar``.

        Raises:
            RecogniseError: one of them has a word it can never hear, or the last is at an end.
        """
        self._all(lambda listener: listener.prepare(grammar))

    def hear(self, clip: Clip) -> tuple[Heard, ...]:
        """What each of them heard in ``clip`` (16 kHz), in the order of their names.

        Raises:
            RecogniseError: the last of them is at an end.
        """
        return tuple(self._all(lambda listener: listener.hear(clip)))

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> Mapping[str, tuple[float, ...]]:
        """How well each of ``phrases`` fits ``clip``, by the listeners that can tell."""

        def weighed(listener: Listener) -> tuple[str, tuple[float, ...]]:
            scores = listener.weigh(clip, phrases) if isinstance(listener, Weigher) else ()
            return listener.name, scores

        return {name: scores for name, scores in self._all(weighed) if scores}

    def close(self) -> None:
        """Free what the listeners hold."""
        for thread, listener in self._threads.items():
            thread.submit(listener.close)
            thread.shutdown()

    def _all(self, do: Callable[[Listener], Result]) -> list[Result]:
        """What ``do`` gives for each of them, at the same time."""
        waiting = {thread: thread.submit(do, each) for thread, each in self._threads.items()}
        done = []
        for thread, each in waiting.items():
            try:
                done.append(each.result())
            except ListenerGoneError as gone:
                self._leave(thread, gone)
        return done

    def _leave(self, thread: ThreadPoolExecutor, gone: ListenerGoneError) -> None:
        if len(self._threads) == 1:
            raise gone
        thread.submit(self._threads.pop(thread).close)
        thread.shutdown()
        self.gone.append(gone)


def _ok(made: "Future[Listener]") -> bool:
    return made.exception() is None
