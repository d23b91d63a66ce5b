"""The program that ``Pyttsx3Voice`` runs: one sentence, saved to a file, then the end.

It imports nothing of ours. Its standard input holds one JSON object: "text", "rate_wpm",
"voice" (an id, or empty for the engine's own) and "file". Exit status 0 says that the file is
whole; 1 that it is not, with one line on standard error.
"""

import json
import sys
import threading
import time
from typing import Any

_LIMIT_S = 30.0
#: An engine whose rate never reads back as it was set is used as it is after so long.
_TAKEN_S = 2.0


def main() -> int:
    """Do what standard input asks for; the exit status."""
    wanted = json.load(sys.stdin)
    try:
        complaint = _save(wanted)
    except Exception as error:  # each platform's engine has errors of its own
        complaint = str(error) or type(error).__name__
    if complaint:
        sys.stderr.write(" ".join(complaint.split()) + "\n")
    return 1 if complaint else 0


def _save(wanted: dict[str, Any]) -> str:
    """Save the sentence; the reason when that failed."""
    import pyttsx3

    engine = pyttsx3.init()
    ended = threading.Event()
    faults: list[str] = []

    def finished(name: str | None, completed: bool) -> None:
        ended.set()

    def failed(name: str | None, exception: Exception) -> None:
        faults.append(str(exception))

    engine.connect("finished-utterance", finished)
    engine.connect("error", failed)
    _set(engine, wanted)
    engine.save_to_file(wanted["text"], wanted["file"])
    engine.runAndWait()
    # On Linux runAndWait returns before the engine's thread has written the file; the
    # event comes after it.
    if not ended.wait(_LIMIT_S):
        return "it did not finish"
    return faults[0] if faults else ""


def _set(engine: Any, wanted: dict[str, Any]) -> None:  # noqa: ANN401 - an untyped library
    """Set voice and rate, and wait until the engine has taken them.

    ``runAndWait`` first cancels what the engine has still to do. On a busy machine that was the
    rate, and the sentence came at the engine's own.
    """
    if wanted["voice"]:
        engine.setProperty("voice", wanted["voice"])
    engine.setProperty("rate", wanted["rate_wpm"])
    engine.proxy.setBusy(False)  # do what waits in the queue now
    engine.proxy.setBusy(True)  # and go on gathering, as before
    until = time.monotonic() + _TAKEN_S
    while engine.getProperty("rate") != wanted["rate_wpm"] and time.monotonic() < until:
        time.sleep(0.005)


if __name__ == "__main__":
    sys.exit(main())
