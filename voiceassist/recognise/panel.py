"""Several listeners side by side, each on its own thread."""

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from voiceassist.recognise.base import Grammar, Heard, Listener
from voiceassist.sound.clip import Clip

Maker = Callable[[], Listener]


class Panel:
    """Hears every clip with each of its listeners, at the same time.

    An engine may be used on one thread only, so each is made, used and closed on its own.

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

    @property
    def name(self) -> str:
        """The names of its listeners in alphabetical order, joined by "+"."""
        return "+".join(listener.name for listener in self._threads.values())

    def prepare(self, grammar: Grammar) -> None:
        """Get every listener ready for ``grammar``.

        Raises:
            RecogniseError: one of them has a word it can never hear, or is at an end.
        """
        waiting = [t.submit(listener.prepare, grammar) for t, listener in self._threads.items()]
        for each in waiting:
            each.result()

    def hear(self, clip: Clip) -> tuple[Heard, ...]:
        """What each of them heard in ``clip`` (16 kHz), in the order of their names.

        Raises:
            RecogniseError: one of them is at an end.
        """
        waiting = [t.submit(listener.hear, clip) for t, listener in self._threads.items()]
        return tuple(each.result() for each in waiting)

    def close(self) -> None:
        """Free what the listeners hold."""
        for thread, listener in self._threads.items():
            thread.submit(listener.close)
            thread.shutdown()


def _ok(made: "Future[Listener]") -> bool:
    return made.exception() is None
