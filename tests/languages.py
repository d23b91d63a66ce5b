"""The shipped languages as the program has them, each read once for all tests of a process."""

from voiceassist.app.build import Components
from voiceassist.app.settings.settings import Settings
from voiceassist.language.language import Language


def shipped(name: str = "en") -> Language:
    """The language called so."""
    return Components(Settings(language=name)).language
