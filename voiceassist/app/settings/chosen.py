"""What the user has chosen, and where the records lie; light, for commands that need no more."""

import os
from collections.abc import Mapping
from pathlib import Path

import platformdirs

from voiceassist.app.settings.settings import Settings, load
from voiceassist.errors import RecordError
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


def settings_for(records: str, archive: str) -> Settings:
    """The settings with what the command line gave; empty for what is set.

    Raises:
        SettingsError: a setting cannot be used.
    """
    asked = {"records": records, "archive": archive}
    return settings({name: value for name, value in asked.items() if value})


def existing_records_folder(chosen: Settings) -> Path:
    """Where the sessions lie.

    Raises:
        RecordError: there is no such folder.
    """
    folder = records_folder(chosen)
    if chosen.records and not folder.is_dir():
        raise RecordError(
            "there is no such folder of records", place=str(folder), remedy="see --records"
        )
    return folder
