"""What the user has chosen, and where the records lie; light, for commands that need no more."""

import os
from collections.abc import Mapping
from pathlib import Path

import platformdirs

from voiceassist.app.settings.settings import Settings, load
from voiceassist.recognise.choose import check_name

NAME = "voiceassist"


def settings(changes: Mapping[str, object]) -> Settings:
    """Settings from file and environment, with the command line's ``changes``.

    Raises:
        SettingsError: a name or value that cannot be used, with its place.
        RecogniseError: no listener has the name that is set.
    """
    file = platformdirs.user_config_path(NAME) / "settings.toml"
    found = load(file, os.environ).changed(changes, "command line")
    check_name(found.listener)
    if changes.get("model"):  # what stands in the file may be for another listener
        from voiceassist.app.settings.speech_models import check_model

        check_model(found)
    return found


def records_folder(chosen: Settings) -> Path:
    """Where records are kept."""
    if chosen.records:
        return Path(chosen.records).expanduser()
    return platformdirs.user_data_path(NAME) / "records"
