"""Settings: defaults, then a TOML file, then VOICEASSIST_* variables, then the command line."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from pathlib import Path

from voiceassist.errors import SettingsError

PREFIX = "VOICEASSIST_"
_MOST_RISK = (Decimal("0.1"), Decimal(20))


@dataclass(frozen=True, slots=True)
class Settings:
    """What a user can set once for all sessions.

    Parts:
        records: folder of records; empty for the platform's data folder.
        language: folder name under ``grammars``.
        listener: name of the speech recogniser, "joint", or several joined with "+".
        model: folder of the listener's model, or the name of a kept one; empty for its own, or
            the only one kept that fits.
        voice: name of the voice engine; empty for the platform's own, "none" for text only.
        rate_wpm: words a minute, 80 to 300.
        detail: "brief", "normal" or "teaching".
        meter: file of your meter, or the name of a shipped one.
        risk_percent: how likely a verdict may be wrong because of the meter, at most; 0.1 to 20.
        microphone, loudspeaker: device names; empty for the system's default.
    """

    records: str = ""
    language: str = "en"
    listener: str = "joint"
    model: str = ""
    voice: str = ""
    rate_wpm: int = 160
    detail: str = "normal"
    meter: str = "ordinary"
    risk_percent: str = "5"
    microphone: str = ""
    loudspeaker: str = ""

    def __post_init__(self) -> None:
        if not 80 <= self.rate_wpm <= 300:
            raise SettingsError(
                f"rate_wpm is {self.rate_wpm}", remedy="choose 80 to 300 words a minute"
            )
        if not _MOST_RISK[0] <= _decimal(self.risk_percent) <= _MOST_RISK[1]:
            raise SettingsError(
                f"risk_percent is {self.risk_percent!r}", remedy="choose 0.1 to 20 percent"
            )
        if self.detail not in {"brief", "normal", "teaching"}:
            raise SettingsError(
                f"detail is {self.detail!r}", remedy="choose brief, normal or teaching"
            )

    def changed(self, changes: Mapping[str, object], place: str) -> "Settings":
        """These settings with ``changes`` made; ``place`` is where they stand, for messages.

        Raises:
            SettingsError: a name is not known, or a value cannot be used.
        """
        names = {field.name for field in fields(self)}
        for name in changes:
            if name not in names:
                raise SettingsError(
                    f"there is no setting {name!r}", place=place, remedy=_hint(name, names)
                )
        try:
            usable = {name: _fitting(name, value) for name, value in changes.items()}
            return replace(self, **usable)  # type: ignore[arg-type]
        except SettingsError as error:
            raise SettingsError(error.found, place=place, remedy=error.remedy) from None


def load(file: Path, environment: Mapping[str, str]) -> Settings:
    """Read the settings file, if there is one, and the environment.

    Raises:
        SettingsError: with the file or variable, what was found and what would do.
    """
    settings = Settings()
    if file.is_file():
        settings = settings.changed(_read(file), str(file))
    for name, value in environment.items():
        if name.startswith(PREFIX) and name[len(PREFIX) :].lower() in Settings.__slots__:
            settings = settings.changed({name[len(PREFIX) :].lower(): value}, name)
    return settings


def _read(file: Path) -> dict[str, object]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(f"this is not TOML: {error}", place=str(file)) from None
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(f"it cannot be read: {error}", place=str(file)) from None


def _fitting(name: str, value: object) -> object:
    if name == "risk_percent" and isinstance(value, int | float):
        return str(value)
    if name != "rate_wpm":
        if isinstance(value, str):
            return value
        raise SettingsError(f"{name} is {value!r}", remedy="write text in quotes")
    try:
        return int(str(value))
    except ValueError:
        raise SettingsError(f"{name} is {value!r}", remedy="write a whole number") from None


def _decimal(text: str) -> Decimal:
    try:
        value = Decimal(text)
    except InvalidOperation:
        return Decimal(-1)
    return value if value.is_finite() else Decimal(-1)


def _hint(name: str, names: set[str]) -> str:
    near = get_close_matches(name, sorted(names), n=1)
    return f"did you mean {near[0]!r}?" if near else "use one of " + ", ".join(sorted(names))
