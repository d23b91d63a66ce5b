"""What the loop of a session joins."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from voiceassist.app.ears.base import Ears
from voiceassist.app.live.advises import Advises
from voiceassist.app.live.beside import Beside
from voiceassist.app.live.guessing import LoadGuesser
from voiceassist.app.live.instructor import InstructorNotes
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.timeline import Timeline
from voiceassist.language.language import Language
from voiceassist.record.fields import Part
from voiceassist.record.lines import Line, Picture, Record
from voiceassist.record.sound import SoundKind
from voiceassist.session.engine import Engine
from voiceassist.sound.clip import Clip

Show = Callable[[Line], None]


class Keeper(Protocol):
    """Keeps lines safe; ``record.Journal`` does it on disk."""

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Keep ``lines`` and return them as kept, when they are safe."""
        ...

    def keep_sound(self, kind: SoundKind, start_s: float, clip: Clip) -> Part:
        """Keep a stretch of sound, if such is kept; what its line tells of it."""
        ...

    def keep_picture(self, asked: str) -> Picture:
        """Keep the picture in the file that ``asked`` names; the line that names it.

        Raises:
            RecordError: there is none, or it is refused.
        """
        ...

    def news(self) -> Sequence[Record]:
        """Lines, to be kept and spoken, about what befell the record since the last call."""
        ...

    @property
    def durable(self) -> bool:
        """Every line is safe; if not, ``keep`` with or without lines tries again."""
        ...


def no_guesser() -> None:
    """Nothing guesses."""


@dataclass(frozen=True, slots=True)
class Parts:
    """What the loop joins.

    Parts:
        engine: decides.
        language: grammar for what comes next.
        ears, mouth: hear and speak.
        keeper: keeps every line before it is spoken.
        timeline: the session's clock.
        show: gets each line kept, for screen or standard output.
        guesser: gives what guesses at words that no grammar understands; None where none is.
        record: how the record is called, for the last line.
        beside: answers what is said beside the job; None where nothing is.
        adviser: answers how sure a cause is and what would tell most; None where nothing can.
        notes: of the instructor.
        called: what is heard is for it, said behind its name or with its key pressed.
        attended: a technician is there and time passes: silence is answered after a while.
        paced: it is spoken or typed by a person, so that it tells something when.
    """

    engine: Engine
    language: Language
    ears: Ears
    mouth: Mouth
    keeper: Keeper
    timeline: Timeline
    show: Show
    guesser: LoadGuesser = no_guesser
    record: str = ""
    called: bool = False
    attended: bool = False
    paced: bool = False
    beside: Beside | None = None
    adviser: Advises | None = None
    notes: InstructorNotes = field(default_factory=InstructorNotes)
