"""A listener by its name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Listener


@dataclass(frozen=True, slots=True)
class Needs:
    """What a listener may need; each takes what concerns it.

    Parts:
        pronunciations: lines of words that a dictionary lacks.
        model: folder of a model; empty for the listener's own, where it has one.
        language: that is spoken, such as "en".
        apart: sound comes in while it hears, so it must keep nobody waiting.
    """

    pronunciations: str = ""
    model: str = ""
    language: str = "en"
    apart: bool = False


# Each imports its library only when it is made.


def _sphinx(needs: Needs) -> Listener:
    from voiceassist.recognise.sphinx import SphinxListener, sphinx_apart

    return (sphinx_apart if needs.apart else SphinxListener)(needs.pronunciations)


def _ear(needs: Needs) -> Listener:
    from voiceassist.recognise.ear.listener import EarListener

    return EarListener(language=needs.language)


def _moonshine(needs: Needs) -> Listener:
    from voiceassist.recognise.moonshine.listener import moonshine_listener

    return moonshine_listener(needs.model, needs.language)


def _vosk(needs: Needs) -> Listener:
    from voiceassist.recognise.vosk.listener import vosk_listener

    return vosk_listener(needs.model)


def _whisper(needs: Needs) -> Listener:
    from voiceassist.recognise.whisper.listener import whisper_listener

    return whisper_listener(needs.model, needs.language)


_LISTENERS: Mapping[str, Callable[[Needs], Listener]] = {
    "ear": _ear,
    "moonshine": _moonshine,
    "sphinx": _sphinx,
    "vosk": _vosk,
    "whisper": _whisper,
}

#: The names ``choose_listener`` knows.
LISTENERS = tuple(sorted(_LISTENERS))
#: Of these, the ones that hear with a model folder.
WITH_MODEL = ("vosk", "whisper")


#: What "joint" stands for: two unlike listeners that need no model of the user's.
JOINT = ("moonshine", "sphinx")


def listeners_of(name: str) -> tuple[str, ...]:
    """The listeners that ``name`` stands for: one, "joint", or several joined with "+"."""
    parts = (JOINT if part == "joint" else (part,) for part in name.split("+"))
    return tuple(dict.fromkeys(each for part in parts for each in part))


def check_name(name: str) -> None:
    """Nothing, when a listener has that name.

    Raises:
        RecogniseError: none has.
    """
    if name not in _LISTENERS:
        raise RecogniseError(
            f"there is no listener {name!r}",
            remedy="use one of: " + ", ".join((*LISTENERS, "joint")),
        )


def choose_listener(
    name: str,
    pronunciations: str = "",
    *,
    model: str = "",
    language: str = "en",
    apart: bool = False,
) -> Listener:
    """The listener called ``name``, and never another one in its place; see ``Needs``.

    Raises:
        RecogniseError: no listener has that name, or it cannot start.
    """
    check_name(name)
    return _LISTENERS[name](Needs(pronunciations, model, language, apart))
