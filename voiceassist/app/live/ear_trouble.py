"""Trouble with the ears: what is kept of it, and what is said."""

from collections.abc import Mapping
from types import MappingProxyType

from voiceassist.app.ears.base import NewsKind
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.record.lines import Device, Line, Noise, Overflow
from voiceassist.session.outputs import Ask
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: The same trouble is spoken of again only after so long; the record has it each time.
_TOLD_AGAIN_S = 60.0
#: Kinds that pass by themselves, and what their lines are called; others are of the device.
_PASSING: Mapping[NewsKind, type[Line]] = MappingProxyType(
    {NewsKind.NOISY: Noise, NewsKind.OVERFLOW: Overflow}
)


class EarTrouble:
    """Remembers what was told, so that nothing is told over and over.

    Args:
        book: the sentences of the language.
    """

    def __init__(self, book: Phrasebook) -> None:
        self._book = book
        self._told_s: dict[NewsKind, float] = {}
        self.deaf = False

    def line(self, kind: NewsKind, session: Session, at_s: float) -> Line:
        """The journal line of ``kind``; its text is to be spoken, empty for nothing."""
        if kind in {NewsKind.LOST, NewsKind.BACK}:
            self.deaf = kind is NewsKind.LOST
        text = self._text(kind, session, at_s)
        if kind in _PASSING:
            return _PASSING[kind].made(step=session.step, at_s=at_s, text=text)
        return Device.made(step=session.step, at_s=at_s, text=text, state=kind.value)

    def of_cuts(self, session: Session, at_s: float) -> Line:
        """The line that tells that nobody can cut in any more."""
        text = self._book("ears.cut_often")
        return Noise.made(step=session.step, at_s=at_s, text=text)

    def _text(self, kind: NewsKind, session: Session, at_s: float) -> str:
        paused = session.state is State.STAND_BY
        often = at_s - self._told_s.get(kind, -_TOLD_AGAIN_S) < _TOLD_AGAIN_S
        if kind in _PASSING and (often or paused):
            return ""
        self._told_s[kind] = at_s
        asked = [output.text for output in session.prompt if isinstance(output, Ask)]
        prompt = "" if paused else " ".join(asked[-1:])
        return self._book(f"ears.{kind.value}", prompt=prompt).strip()
