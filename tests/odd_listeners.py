"""Listeners that misbehave, for tests to run in a child process."""

import ctypes
import os
import sys
import time
from pathlib import Path

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar
from voiceassist.sound.clip import Clip


class OddListener:
    """Hears the first word of the grammar in every clip, and does as the clip's length says.

    Args:
        load: "well", or what goes wrong when it is made.
        deeds: seconds of sound, to what is done then.
        once: a file; while it is there, a deed removes it and is done, otherwise it is left out.
    """

    name = "odd"

    def __init__(
        self, load: str = "well", deeds: dict[str, str] | None = None, once: str = ""
    ) -> None:
        self._deeds = deeds or {}
        self._once = Path(once) if once else None
        self._words: list[str] = []
        _do(load)

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Take the grammar's words; one of them is a word it can never hear."""
        if "unspeakable" in grammar.words():
            raise RecogniseError("'unspeakable' has no pronunciation", remedy="leave it out")
        if "deadly" in grammar.words():
            os.abort()
        self._words = sorted(grammar.words())

    def hear(self, clip: Clip) -> HeardClip:
        """Do the deed, then hear something."""
        deed = self._deeds.get(f"{clip.seconds:g}", "well")
        if deed != "well" and self._once is not None:
            deed = deed if self._once.exists() else "well"
            self._once.unlink(missing_ok=True)
        _do(deed)
        candidates = tuple(Candidate(word, -float(at)) for at, word in enumerate(self._words))
        return HeardClip(self.name, candidates, None, -9.5, 0.25)

    def close(self) -> None:
        """Nothing is held."""


def _do(deed: str) -> None:
    match deed:
        case "abort":
            os.abort()
        case "segfault":
            ctypes.string_at(0)
        case "exit":
            sys.exit(3)
        case "complain and abort":
            os.write(2, b"first\nthe graph is null\n")
            os.abort()
        case "hang":
            time.sleep(600)
        case "spin":
            while True:
                pass
        case "print":
            print("a library's chatter", flush=True)
            os.write(1, b"and more of it, below Python\n")
        case "refuse":
            raise RecogniseError("the model is half copied", place="model", remedy="copy it again")
        case "raise":
            raise ArithmeticError("a bug")
        case "spawn and hang":
            os.spawnlp(os.P_NOWAIT, "sleep", "sleep", "600")
            time.sleep(600)
