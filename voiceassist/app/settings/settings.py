"""Settings: defaults, then a TOML file, then VOICEASSIST_* variables, then the command line."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from pathlib import Path

from voiceassist.errors import SettingsError

PREFIX = "VOICEASSIST_"
#: Lowest and highest value, and their unit, of the settings that are numbers with a point.
_RANGES = {
    "risk_percent": ("0.1", "20", "percent"),
    "tail_s": ("0", "3", "seconds"),
    "pause_s": ("0.4", "1.2", "seconds"),
    "prompt_after_s": ("0", "3600", "seconds"),
}
#: Those of which one has to be chosen.
_CHOICES = {
    "detail": ("brief", "normal", "teaching"),
    "duplex": ("half", "full"),
    "tones": ("on", "off"),
    "talk": ("open", "name", "key"),
    "screen": ("auto", "on", "off"),
}
_WHOLE = frozenset({"rate_wpm", "volume"})
_KEEP_SOUND = re.compile(r"off|on|days:([1-9]\d{0,3})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Settings:
    """What a user can set once for all sessions.

    Parts:
        records: folder of records; empty for the platform's data folder.
        archive: database of records, a file or URL; empty for a file in the folder of records.
        language: folder name under ``grammars``.
        listener: name of the speech recogniser, "ear", of our own, unless another is wanted.
        model: folder of the listener's model, or the name of a kept one; empty for its own, or
            the only one kept that fits.
        voice: name of the voice engine, with ":" and a voice of it behind if one likes
            ("espeak:en-gb"); empty for the platform's own, "none" for text only.
        rate_wpm: words a minute, 80 to 300.
        volume: loudness of the voice in percent of the engine's own, 30 to 200.
        detail: "brief", "normal" or "teaching".
        meter: file of your meter, or the name of a shipped one.
        risk_percent: how likely a verdict may be wrong because of the meter, at most; 0.1 to 20.
        microphone, loudspeaker: device names; empty for the system's default.
        duplex: "half" to speak and listen by turns; "full" to be cut short, with a headset.
        tail_s: by turns, how long after our last word not to listen yet, in seconds; 0 to 3.
        tones: "on" or "off": the short tones that tell that we listen or did not understand.
        talk: "open": all that is said counts; "name": only what follows ``name``; "key": only what
            is said after a key of the terminal was pressed, the space bar or a foot switch.
        name: what the assistant is called, one or two words that its listeners know.
        pause_s: so much quiet ends a phrase, in seconds, 0.4 to 1.2; more for one who was seen to
            pause longer.
        prompt_after_s: seconds without an answer after which it is said what is awaited, where
            the step does not tell; 0 for never, up to 3600.
        screen: the picture of a session: "auto", "on" or "off".
        keep_sound: "off", "on", or "days:30" to keep the sound of sessions for so many days; the
            sound of spoken notes is kept anyhow.
        shop_name, shop_address: as they stand on pages; lines of the address behind ";".
        shop_logo: a PNG or SVG file of at most 1 MB.
        customer_facts: facts of the job that a customer's page shows, with commas between; empty
            for the usual ones.
    """

    records: str = ""
    archive: str = ""
    language: str = "en"
    listener: str = "ear"
    model: str = ""
    voice: str = ""
    rate_wpm: int = 160
    volume: int = 100
    detail: str = "normal"
    meter: str = "ordinary"
    risk_percent: str = "5"
    microphone: str = ""
    loudspeaker: str = ""
    duplex: str = "half"
    tail_s: str = "0.3"
    tones: str = "on"
    talk: str = "open"
    name: str = "helper"
    pause_s: str = "0.66"
    prompt_after_s: str = "30"
    screen: str = "auto"
    keep_sound: str = "off"
    shop_name: str = ""
    shop_address: str = ""
    shop_logo: str = ""
    customer_facts: str = ""

    def __post_init__(self) -> None:
        if not 80 <= self.rate_wpm <= 300:
            raise SettingsError(
                f"rate_wpm is {self.rate_wpm}", remedy="choose 80 to 300 words a minute"
            )
        if not 30 <= self.volume <= 200:
            raise SettingsError(f"volume is {self.volume}", remedy="choose 30 to 200 percent")
        for name, (low, high, kind) in _RANGES.items():
            if not Decimal(low) <= _decimal(getattr(self, name)) <= Decimal(high):
                raise SettingsError(
                    f"{name} is {getattr(self, name)!r}", remedy=f"choose {low} to {high} {kind}"
                )
        for name, choices in _CHOICES.items():
            if getattr(self, name) not in choices:
                listed = ", ".join(choices[:-1]) + f" or {choices[-1]}"
                raise SettingsError(f"{name} is {getattr(self, name)!r}", remedy=f"choose {listed}")
        if not _KEEP_SOUND.fullmatch(self.keep_sound):
            raise SettingsError(
                f"keep_sound is {self.keep_sound!r}",
                remedy="choose off, on, or days:30 with as many days as you like, up to 9999",
            )

    @property
    def sound_days(self) -> int | None:
        """After how many days kept sound is removed; None for never."""
        match = _KEEP_SOUND.fullmatch(self.keep_sound)
        return int(match[1]) if match is not None and match[1] else None

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
    if file.exists():
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
    except RecursionError:
        raise SettingsError(
            "it is nested too deeply", place=str(file), remedy="write one name = value a line"
        ) from None
    except UnicodeDecodeError:
        raise SettingsError(
            "this is not UTF-8 text", place=str(file), remedy="save it as UTF-8"
        ) from None
    except OSError as error:
        raise SettingsError(f"it cannot be read: {error.strerror}", place=str(file)) from None


def _fitting(name: str, value: object) -> object:
    if name in _RANGES and isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    if name not in _WHOLE:
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
