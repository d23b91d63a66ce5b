"""From names to objects. Nothing heavy is imported before it is needed."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from voiceassist import resources
from voiceassist.app.loaded import GUESSES, load_guesser, load_language, loading, shipped_odds
from voiceassist.app.settings.chosen import NAME, records_folder, settings
from voiceassist.app.settings.settings import Settings
from voiceassist.app.settings.speech_models import model_folder
from voiceassist.errors import ResourceError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.sounds_alike import TEENS
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.choose import choose_listener

if TYPE_CHECKING:
    from voiceassist.app.ears.hearing import Hearing
    from voiceassist.language.guess import Guesser
    from voiceassist.measure.meter import Meter
    from voiceassist.procedure.model import Procedure
    from voiceassist.procedure.read import Reserved
    from voiceassist.speak.base import Voice
    from voiceassist.speak.sayings import Sayings

__all__ = ["Components", "Written", "meter", "procedure", "records_folder", "settings"]

_SENTENCES = "sentences.toml"
_PRONUNCIATIONS = "pronunciations.dict"
_TALK_WORDS = "talk-words.json"
_SPOKEN = "spoken.toml"


def alikes(english: Language) -> Mapping[str, str]:
    """The words of numbers that sound alike, each with the other; known of English only."""
    said = [tuple(english.say(Reading(number)) for number in pair) for pair in TEENS]
    return {one: other for teen, ten in said for one, other in ((teen, ten), (ten, teen))}


@dataclass(frozen=True)
class Components:
    """The language of a session and what is made for it.

    Parts:
        settings: what was chosen.
    """

    settings: Settings

    @cached_property
    def files(self) -> Mapping[str, str]:
        """The language's grammar files, by name."""
        return resources.grammar_files(self.settings.language)

    @cached_property
    def language(self) -> Language:
        """Words to meanings and back."""
        return load_language(tuple(sorted(self.files.items())))

    @cached_property
    def book(self) -> Phrasebook:
        """What the assistant says.

        Raises:
            ResourceError: the language can be understood, but has no sentences to speak yet.
        """
        if _SENTENCES not in self.files:
            raise ResourceError(
                f"the language {self.settings.language!r} has no {_SENTENCES} to speak",
                remedy="use another --language, or write that file beside its grammar",
            )
        return Phrasebook.load(self.files[_SENTENCES], self.language.say, self._spell, _SENTENCES)

    def guesser(self) -> "Guesser | None":
        """What guesses at words that no grammar understands; None where the language has none."""
        return self._guesser

    @cached_property
    def _guesser(self) -> "Guesser | None":
        text = self.files.get(GUESSES)
        return load_guesser(text, self.settings.language) if text else None

    @property
    def pronunciations(self) -> str:
        """Those of words that a listener's own dictionary may lack."""
        return self.files.get(_PRONUNCIATIONS, "")

    def is_reserved(self, phrase: str) -> bool:
        """True when the language understands ``phrase`` where nothing particular is asked."""
        return bool(self._plain.parse_strictly(phrase).meanings)

    @cached_property
    def _plain(self) -> StepGrammar:
        return self.language.compose(Expectation())

    def _spell(self, meaning: Meaning) -> str:
        return self.language.say(meaning, singly=True)

    def hearing(self, *, apart: bool = False) -> "Hearing":
        """The chosen listener, with its odds.

        Args:
            apart: sound comes in while it hears, so it must keep nobody waiting.

        Raises:
            RecogniseError: it cannot start.
            SettingsError: the model that it should hear with is not there.
        """
        from voiceassist.app.ears.hearing import Hearing

        chosen = self.settings
        known = alikes(self.language) if chosen.language.startswith("en") else None
        with loading():
            listener = choose_listener(
                chosen.listener,
                self.pronunciations,
                model=model_folder(chosen),
                language=chosen.language,
                apart=apart,
                talk=self.files.get(_TALK_WORDS, ""),
            )
        return Hearing(listener, shipped_odds(), known)

    def voice(self) -> "Voice | None":
        """The chosen voice; None for text only.

        Raises:
            SpeakError: there is none of that name, or it cannot start.
        """
        from voiceassist.speak.choose import choose_voice

        chosen = self.settings
        return choose_voice(chosen.voice, chosen.rate_wpm, chosen.volume)

    def to_words(self, text: str) -> str:
        """``text`` as the voice reads it: what it would say wrongly put right, figures in words."""
        return self.language.spoken(self._sayings(text))

    @cached_property
    def _sayings(self) -> "Sayings":
        """The language's sayings, and the user's own over them.

        Raises:
            SpeakError: a file of them cannot be used.
        """
        from voiceassist.speak.sayings import Sayings

        own = platformdirs.user_config_path(NAME) / f"spoken-{self.settings.language}.toml"
        shipped = Sayings.load(self.files.get(_SPOKEN, ""), _SPOKEN)
        if not own.is_file():
            return shipped
        return shipped | Sayings.load(resources.read_text(own), str(own))


@dataclass(frozen=True, slots=True)
class Written:
    """A procedure with the files it was read from.

    Parts:
        procedure: as read.
        text: of its own file.
        used: name to text of the procedures that it puts in.
    """

    procedure: "Procedure"
    text: str
    used: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Library:
    """Finds what a procedure in ``folder`` puts in, and remembers it."""

    folder: Path
    used: dict[str, str] = field(default_factory=dict)

    def __call__(self, name: str) -> str | None:
        """The text of the procedure ``name``; None when there is none."""
        found = resources.used_procedure(name, self.folder)
        if found is not None:
            self.used[name] = found
        return found


def procedure(name: str, reserved: "Reserved | None" = None) -> Written:
    """The procedure called ``name`` (a path or a shipped one).

    Args:
        name: as given by the user.
        reserved: tells which phrases the language has taken, so that no answer can be one; None
            where it has taken none.

    Raises:
        ResourceError: there is none, or it cannot be read.
        ProcedureFaultsError: it has faults.
    """
    from voiceassist.procedure.read import nothing_reserved, read_procedure

    path = resources.procedure_path(name)
    text, library = resources.read_text(path), Library(path.parent)
    read = read_procedure(text, str(path), library, reserved or nothing_reserved)
    return Written(read, text, library.used)


def meter(name: str) -> "tuple[Meter, str]":
    """The meter called ``name`` (a path or a shipped one), and its file's text.

    Raises:
        ResourceError: there is none, or it cannot be read.
        ProcedureFaultsError: its file has faults.
    """
    from voiceassist.procedure.meter_file import read_meter

    path = resources.meter_path(name)
    text = resources.read_text(path)
    return read_meter(text, str(path)), text
