"""The program that ``Pyttsx3Voice`` runs: one sentence, saved to a file, then the end.

It imports nothing of ours. Its standard input holds one JSON object: "text", "rate_wpm",
"voice" (an id, or empty for the engine's own) and "file". Exit status 0 says that the file is
whole; 1 that it is not, with one line on standard error.
"""

import json
import sys
import threading

_LIMIT_S = 30.0


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


def _save(wanted: dict[str, str]) -> str:
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
    engine.setProperty("rate", wanted["rate_wpm"])
    if wanted["voice"]:
        engine.setProperty("voice", wanted["voice"])
    engine.save_to_file(wanted["text"], wanted["file"])
    engine.runAndWait()
    # On Linux runAndWait returns before the engine's thread has written the file; the
    # event comes after it.
    if not ended.wait(_LIMIT_S):
        return "it did not finish"
    return faults[0] if faults else ""


if __name__ == "__main__":
    sys.exit(main())
