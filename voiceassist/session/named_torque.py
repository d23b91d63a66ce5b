"""Which fastener a question about torque names, and whether a torque is told for that one."""

import re
from collections.abc import Iterable

from voiceassist.procedure.model import Torque
from voiceassist.session.session import SessionSetup

_WORD = re.compile(r"[a-z][a-z']*")
_PHRASES = re.compile(r",|\band\b|\bor\b")


class Named:
    """The fasteners that ``words`` name: what is left of them beside the words of the question."""

    def __init__(self, setup: SessionSetup, words: str) -> None:
        self._asking = frozenset(setup.book.plain("data.torque_asking").split())
        self._fasteners = frozenset(setup.book.plain("data.torque_fasteners").split())
        phrases = (self._words(phrase) for phrase in _PHRASES.split(words.lower()))
        self._phrases = [phrase for phrase in phrases if phrase]

    def __bool__(self) -> bool:
        return bool(self._phrases)

    def of(self, torques: Iterable[Torque]) -> tuple[Torque, ...]:
        """Those of ``torques`` that are told for what was named."""
        return tuple(one for one in torques if any(self._means(p, one) for p in self._phrases))

    def _means(self, phrase: list[str], torque: Torque) -> bool:
        """The stud nut is that of the charge stud; a starter bolt is none of the alternator's."""
        own = self._words(torque.what.lower())
        if not own:  # it is for all fasteners of the step
            return phrase[-1] in self._fasteners and len(phrase) == 1
        if own[-1] not in phrase:
            return False
        end = phrase.index(own[-1]) + 1
        return set(phrase[:end]) <= set(own) and set(phrase[end:]) <= self._fasteners

    def _words(self, text: str) -> list[str]:
        """Each in the singular, without those of a question."""
        words = (word for word in _WORD.findall(text) if word not in self._asking)
        return [word[:-1] if word.endswith("s") else word for word in words]
