"""A listener whose engine runs in a child process."""

from typing import Any

from voiceassist.errors import ListenerGoneError, RecogniseError
from voiceassist.recognise.base import HeardClip, ListenerGrammar, Nothing, check_rate
from voiceassist.recognise.process.child import ChildGoneError, ListenerEngine, ListenerProcess
from voiceassist.recognise.process.wire import Message, grammar_to_json, heard_from_json
from voiceassist.sound.clip import Clip

#: Seconds that a large model may take from a slow disk.
LOAD_S = 120.0
PREPARE_S = 30.0
HEAR_S, HEAR_PER_S = 10.0, 5.0
_REMEDY = "go on with: voiceassist run --resume --typed, or choose another --listener"


class ProcessListener:
    """Hears with an engine in a child process.

    The child is started, and begins to load, when the listener is made; the first ``prepare`` or
    ``ready`` waits for it. When it crashes or hangs over a clip, that clip is not heard, and
    another child is started for the next one. When that one fails as well, it is at an end.

    Args:
        name: of the listener.
        engine: what to run.
        hear_s, hear_per_s: seconds that a clip may take: so many at all, and so many for each
            second of its sound.

    Thread rule: use it on one thread.
    """

    def __init__(
        self,
        name: str,
        engine: ListenerEngine,
        *,
        hear_s: float = HEAR_S,
        hear_per_s: float = HEAR_PER_S,
    ) -> None:
        self.name = name
        self._engine = engine
        self._hear_s, self._hear_per_s = hear_s, hear_per_s
        self._child: ListenerProcess | None = None
        self._loaded = self._prepared = False
        self._grammar: ListenerGrammar | None = None
        self._sent: Any = None
        self._failed_before = False
        self._closed = False
        self._start()

    @property
    def pid(self) -> int | None:
        """Number of the child process; None when there is none."""
        return None if self._child is None else self._child.pid

    def ready(self) -> None:
        """Wait until the engine has loaded.

        Raises:
            RecogniseError: it cannot load, with its own reason.
        """
        try:
            self._load()
        except ChildGoneError as gone:
            self._child = None
            raise self._ended(gone) from None

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Get ready for ``grammar``; free when it is the one already prepared.

        Raises:
            RecogniseError: the engine cannot load, lacks a word, or crashed twice in a row.
        """
        if grammar is self._grammar and self._prepared:
            return
        self._sent = {"do": "prepare", "grammar": grammar_to_json(grammar)}
        self._grammar = grammar
        self._prepared = False
        try:
            self._prepare()
        except ChildGoneError as gone:
            self._lost(gone)
            try:
                self._prepare()
            except ChildGoneError as again:
                self._lost(again)

    def hear(self, clip: Clip) -> HeardClip:
        """What the engine heard in ``clip``; FAILED when it crashed.

        Raises:
            ValueError: the clip is not at 16 kHz.
            RuntimeError: no grammar was prepared.
            RecogniseError: it crashed twice in a row, or cannot load again.
        """
        check_rate(clip)
        if self._sent is None:
            raise RuntimeError("prepare a grammar before hearing")
        try:
            heard = self._hear(clip)
        except ChildGoneError as gone:
            self._lost(gone)
            return HeardClip(self.name, nothing=Nothing.FAILED)
        self._failed_before = False
        return heard

    def close(self) -> None:
        """End the child."""
        self._closed = True
        if self._child is not None:
            self._child.end()
            self._child = None

    # --- the child ---

    def _start(self) -> None:
        self._loaded = self._prepared = False
        try:
            self._child = ListenerProcess(self._engine)
        except OSError as error:
            raise RecogniseError(
                f"the listener {self.name} cannot be started: {error.strerror}", remedy=_REMEDY
            ) from None

    def _load(self) -> ListenerProcess:
        if self._closed:
            raise RuntimeError("the listener is closed")
        if self._child is None:
            self._start()
        child = self._child
        assert child is not None
        if not self._loaded:
            answer = child.answer(LOAD_S)
            if answer:  # it is empty when all is well
                child.end()
                self._child = None
            self._check(answer, "cannot start")
            self._loaded = True
        return child

    def _prepare(self) -> ListenerProcess:
        child = self._load()
        if not self._prepared:
            self._check(child.ask(Message(self._sent), PREPARE_S), "cannot use this step's grammar")
            self._prepared = True
        return child

    def _hear(self, clip: Clip) -> HeardClip:
        child = self._prepare()
        message = Message({"do": "hear", "rate_hz": clip.rate_hz}, clip.pcm)
        answer = child.ask(message, self._hear_s + self._hear_per_s * clip.seconds)
        if "candidates" not in answer:
            return HeardClip(self.name, nothing=Nothing.FAILED)
        return heard_from_json(answer, self.name)

    def _check(self, answer: Any, failure: str) -> None:  # noqa: ANN401
        """Raise the error that the engine answered with, if it did."""
        if "found" in answer:
            raise RecogniseError(answer["found"], place=answer["place"], remedy=answer["remedy"])
        if "fault" in answer:
            raise RecogniseError(
                f"the listener {self.name} {failure}: {answer['fault']}", remedy=_REMEDY
            )

    def _lost(self, gone: ChildGoneError) -> None:
        """Start another child; after the second loss in a row, give up."""
        self._child = None
        if self._failed_before:
            raise self._ended(gone) from None
        self._failed_before = True
        self._start()

    def _ended(self, gone: ChildGoneError) -> ListenerGoneError:
        return ListenerGoneError(
            f"the listener {self.name} crashed ({gone.reason})", remedy=_REMEDY
        )
