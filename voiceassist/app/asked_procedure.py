"""The procedure that somebody means who goes on with a session."""

from voiceassist.app import build
from voiceassist.app.catalogue import find, is_path, shipped
from voiceassist.errors import ResourceError


def procedure_named(asked: str) -> str:
    """The name of the procedure that is called ``asked``; empty when there is none.

    Raises:
        ProcedureFaultsError: there is one, with faults.
    """
    try:
        return build.procedure(_meant(asked)).procedure.name
    except ResourceError:
        return ""


def has_changed(asked: str, kept: build.Written) -> bool:
    """The procedure that is ``asked`` for is the one that is ``kept``, and its text another."""
    now = build.procedure(_meant(asked))
    return now.procedure.name == kept.procedure.name and now.text != kept.text


def _meant(asked: str) -> str:
    """The path or name of the procedure that a word means; the word itself when it means none."""
    fitting = () if is_path(asked) else find(asked, shipped()).fitting
    return fitting[0].name if len(fitting) == 1 else asked
