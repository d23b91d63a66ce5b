"""The program of a listener's process: makes the listener, then does what it is asked to.

It is asked on standard input and answers on what was standard output when it began; whatever a
library prints goes to standard error. It ends when its standard input does, in the middle of
work too, so that it never outlives the session.
"""

import importlib
import os
import queue
import signal
import threading
from collections.abc import Callable
from typing import IO, Any

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Listener
from voiceassist.recognise.process.wire import (
    Message,
    grammar_from_json,
    heard_to_json,
    receive,
    send,
)
from voiceassist.sound.clip import Clip


def main() -> None:
    """Serve until standard input ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the session decides when to stop
    asked, answers = _streams()
    waiting: queue.SimpleQueue[Message] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(asked, waiting), daemon=True).start()
    listener: Listener | None = None
    while True:
        message = waiting.get()
        try:
            if listener is None:
                listener = _made(message.about)
                answer: dict[str, Any] = {}
            else:
                answer = _done(listener, message)
        except RecogniseError as error:
            answer = {"found": error.found, "place": error.place, "remedy": error.remedy}
        except Exception as error:  # each library has errors of its own
            answer = {"fault": f"{type(error).__name__}: {error}"}
        send(answers, Message(answer))


def _streams() -> tuple[IO[bytes], IO[bytes]]:
    """Standard input and output, kept from everybody else."""
    asked, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)
    os.dup2(2, 1)
    return asked, answers


def _read(asked: IO[bytes], waiting: "queue.SimpleQueue[Message]") -> None:
    while (message := receive(asked)) is not None:
        waiting.put(message)
    os._exit(0)  # a library may be at work in the main thread, and would not be interrupted


def _made(about: Any) -> Listener:  # noqa: ANN401
    module, _, name = about["factory"].partition(":")
    factory: Callable[..., Listener] = getattr(importlib.import_module(module), name)
    return factory(**about["options"])


def _done(listener: Listener, message: Message) -> dict[str, Any]:
    if message.about["do"] == "prepare":
        listener.prepare(grammar_from_json(message.about["grammar"]))
        return {}
    clip = Clip(message.data, message.about["rate_hz"])
    return heard_to_json(listener.hear(clip))
