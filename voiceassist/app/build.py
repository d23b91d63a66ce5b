"""From names to objects. Nothing heavy is imported before it is needed."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from voiceassist import resources
from voiceassist.app.settings import Settings, load
from voiceassist.errors import ResourceError
from voiceassist.language.language import Language
from voiceassist.language.meanings import Meaning
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure

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
    """
    file = platformdirs.user_config_path(_NAME) / "settings.toml"
    return load(file, os.environ).changed(changes, "command line")


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

    def _spell(self, meaning: Meaning) -> str:
        return self.language.say(meaning, singly=True)

    def listener(self) -> "Listener":
        """The chosen listener.

        Raises:
            RecogniseError: there is none of that name, or it cannot start.
        """
        from voiceassist.recognise.choose import choose_listener

        return choose_listener(self.settings.listener, self.files.get(_PRONUNCIATIONS, ""))

    def voice(self) -> "Voice | None":
        """The chosen voice; None for text only.

        Raises:
            SpeakError: there is none of that name, or it cannot start.
        """
        from voiceassist.speak.choose import choose_voice

        return choose_voice(self.settings.voice, self.settings.rate_wpm)


def procedure(name: str) -> tuple[Procedure, str]:
    """The procedure called ``name`` (a path or a shipped one), and its text.

    Raises:
        ResourceError: there is none, or it cannot be read.
        ProcedureFaultsError: it has faults.
    """
    path = resources.procedure_path(name)
    text = resources.read_text(path)
    return read_procedure(text, str(path)), text
