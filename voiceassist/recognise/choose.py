"""A listener by its name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from voiceassist.errors import RecogniseError

if TYPE_CHECKING:  # commands that only ask for a name need not load what hears
    from voiceassist.recognise.base import Listener


@dataclass(frozen=True, slots=True)
class Needs:
    """What a listener may need; each takes what concerns it.

    Parts:
        pronunciations: lines of words that a dictionary lacks.
        model: folder of a model; empty for the listener's own, where it has one.
        language: that is spoken, such as "en".
        apart: sound comes in while it hears, so it must keep nobody waiting.
        talk: how words follow one another in loose talk, as ``WordRows`` reads it.
    """

    pronunciations: str = ""
    model: str = ""
    language: str = "en"
    apart: bool = False
    talk: str = ""


# Each imports its library only when it is made.


def _sphinx(needs: Needs) -> "Listener":
    from voiceassist.recognise.sphinx import SphinxListener, sphinx_apart

    return (sphinx_apart if needs.apart else SphinxListener)(needs.pronunciations)


def _ear(needs: Needs) -> "Listener":
    from voiceassist.recognise.ear.listener import EarListener

    return EarListener(language=needs.language, talk=needs.talk)


def _vosk(needs: Needs) -> "Listener":
    from voiceassist.recognise.vosk.listener import vosk_listener

    return vosk_listener(needs.model)


_LISTENERS: Mapping[str, Callable[[Needs], "Listener"]] = {
    "ear": _ear,
    "sphinx": _sphinx,
    "vosk": _vosk,
}

#: The names ``choose_listener`` knows.
LISTENERS = tuple(sorted(_LISTENERS))
#: Of these, the ones that hear with a model folder.
WITH_MODEL = ("vosk",)


def check_name(name: str) -> None:
    """Nothing, when a listener has that name.

    Raises:
        RecogniseError: none has.
    """
    if name not in _LISTENERS:
        raise RecogniseError(
            f"there is no listener {name!r}", remedy="use one of: " + ", ".join(LISTENERS)
        )


def choose_listener(
    name: str,
    pronunciations: str = "",
    *,
    model: str = "",
    language: str = "en",
    apart: bool = False,
    talk: str = "",
) -> "Listener":
    """The listener called ``name``, and never another one in its place; see ``Needs``.

    Raises:
        RecogniseError: no listener has that name, or it cannot start.
    """
    check_name(name)
    return _LISTENERS[name](Needs(pronunciations, model, language, apart, talk))
