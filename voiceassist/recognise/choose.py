"""A listener by its name."""

from collections.abc import Callable

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Listener
from voiceassist.recognise.sphinx import SphinxListener

_LISTENERS: dict[str, Callable[[str], Listener]] = {"sphinx": SphinxListener}

#: The names ``choose_listener`` knows.
LISTENERS = tuple(sorted(_LISTENERS))


def choose_listener(name: str, pronunciations: str = "") -> Listener:
    """The listener called ``name``, and never another one in its place.

    Raises:
        RecogniseError: no listener has that name, or it cannot start.
    """
    if name not in _LISTENERS:
        raise RecogniseError(
            f"there is no listener {name!r}", remedy="use one of: " + ", ".join(LISTENERS)
        )
    return _LISTENERS[name](pronunciations)
