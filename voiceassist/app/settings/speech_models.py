"""The folder of the model that a listener hears with."""

from pathlib import Path

from voiceassist.app.settings.settings import Settings
from voiceassist.errors import SettingsError
from voiceassist.recognise.choose import WITH_MODEL

#: These cannot be given another.
_OWN_MODEL = frozenset({"ear", "sphinx"})


def check_model(settings: Settings) -> None:
    """Check that the chosen listener takes a model, if one is set.

    Raises:
        SettingsError: it hears with its own.
    """
    if settings.model and settings.listener in _OWN_MODEL:
        raise SettingsError(
            f"the listener {settings.listener!r} hears with its own model",
            place="--model",
            remedy=f"leave it out, or use --listener {' or '.join(WITH_MODEL)}",
        )


def model_folder(settings: Settings) -> str:
    """The folder that is set; empty when none is, or when the listener needs none.

    Raises:
        SettingsError: there is no such folder.
    """
    if settings.listener not in WITH_MODEL or not settings.model:
        return ""
    folder = Path(settings.model).expanduser()
    if not folder.is_dir():
        raise SettingsError(
            "there is no such folder",
            place=settings.model,
            remedy=f"name the folder of a model for the listener {settings.listener}",
        )
    return str(folder)
