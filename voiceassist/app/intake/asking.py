"""The question what is wrong, asked before any record is begun."""

from dataclasses import dataclass

from voiceassist.app.build import Components
from voiceassist.app.catalogue import shipped
from voiceassist.app.ears.base import Ears
from voiceassist.app.intake.dialog import Intake
from voiceassist.app.live.parts import Show
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.language.codec import to_json
from voiceassist.language.meanings import Note
from voiceassist.record import lines
from voiceassist.sound.tones import Tone


@dataclass(frozen=True, slots=True)
class Announcer:
    """Speaks and shows; nothing is kept, since there is no job yet.

    Parts:
        mouth: speaks.
        show: gets each line.
    """

    mouth: Mouth
    show: Show

    def say(self, text: str) -> None:
        """Speak and show ``text``."""
        spoken = self.mouth.prepare([text])
        self.show(lines.AskLine.made(step="", text=text))
        self.mouth.speak(spoken, last=Tone.LISTENING)

    def heard(self, words: str) -> None:
        """Show the ``words`` that were heard."""
        taken = [to_json(Note(words))] if words else []
        self.show(lines.Heard.made(step="", text=words, words=words, meanings=taken))


def intake(shop: Components, ears: Ears, mouth: Mouth, show: Show) -> Intake:
    """Asks about all shipped procedures."""
    return Intake(shop.language, shop.book, ears, Announcer(mouth, show), shipped())
