"""From names to objects. Nothing heavy is imported before it is needed."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from voiceassist import resources
from voiceassist.app.models import model_folder
from voiceassist.app.settings import Settings, load
from voiceassist.errors import ResourceError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.step import StepGrammar
from voiceassist.measure.meter import Meter
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import Reserved, nothing_reserved, read_procedure
from voiceassist.recognise.choose import check_name, choose_listener

if TYPE_CHECKING:
    from voiceassist.recognise.base import Listener
    from voiceassist.speak.base import Voice

_NAME = "voiceassist"
_SENTENCES = "sentences.toml"
_PRONUNCIATIONS = "pronunciations.dict"


def settings(changes: Mapping[str, object]) -> Settings:
    """Settings from file and environment, with the command line's ``changes``.

    Raises:
        SettingsError: a name or value that cannot be used, with its place.
        RecogniseError: no listener has the name that is set.
    """
    file = platformdirs.user_config_path(_NAME) / "settings.toml"
    found = load(file, os.environ).changed(changes, "command line")
    check_name(found.listener)
    return found


def records_folder(chosen: Settings) -> Path:
    """Where records are kept."""
    if chosen.records:
        return Path(chosen.records).expanduser()
    return platformdirs.user_data_path(_NAME) / "records"


@dataclass(frozen=True)
class Shop:
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
        return Language.load(self.files)

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

    def is_reserved(self, phrase: str) -> bool:
        """True when the language understands ``phrase`` where nothing particular is asked."""
        return bool(self._plain.parse(phrase).meanings)

    @cached_property
    def _plain(self) -> StepGrammar:
        return self.language.compose(Expectation())

    def _spell(self, meaning: Meaning) -> str:
        return self.language.say(meaning, singly=True)

    def listener(self) -> "Listener":
        """The chosen listener.

        Raises:
            RecogniseError: there is none of that name, or it cannot start.
            ModelError: the model it should hear with is not there, or not told.
        """
        return choose_listener(
            self.settings.listener,
            self.files.get(_PRONUNCIATIONS, ""),
            model=model_folder(self.settings),
            language=self.settings.language,
        )

    def voice(self) -> "Voice | None":
        """The chosen voice; None for text only.

        Raises:
            SpeakError: there is none of that name, or it cannot start.
        """
        from voiceassist.speak.choose import choose_voice

        return choose_voice(self.settings.voice, self.settings.rate_wpm)


@dataclass(frozen=True, slots=True)
class Written:
    """A procedure with the files it was read from.

    Parts:
        procedure: as read.
        text: of its own file.
        used: name to text of the procedures that it puts in.
    """

    procedure: Procedure
    text: str
    used: Mapping[str, str]


def procedure(name: str, reserved: Reserved = nothing_reserved) -> Written:
    """The procedure called ``name`` (a path or a shipped one).

    Args:
        name: as given by the user.
        reserved: tells which phrases the language has taken, so that no answer can be one.

    Raises:
        ResourceError: there is none, or it cannot be read.
        ProcedureFaultsError: it has faults.
    """
    path = resources.procedure_path(name)
    text = resources.read_text(path)
    used: dict[str, str] = {}

    def library(other: str) -> str | None:
        found = resources.used_procedure(other, path.parent)
        if found is not None:
            used[other] = found
        return found

    return Written(read_procedure(text, str(path), library, reserved), text, used)


def meter(name: str) -> tuple[Meter, str]:
    """The meter called ``name`` (a path or a shipped one), and its file's text.

    Raises:
        ResourceError: there is none, or it cannot be read.
        ProcedureFaultsError: its file has faults.
    """
    path = resources.meter_path(name)
    text = resources.read_text(path)
    return read_meter(text, str(path)), text
