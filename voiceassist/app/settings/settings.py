"""Settings: defaults, then a TOML file, then VOICEASSIST_* variables, then the command line.

Each setting is declared once, in ``Settings``, with all there is to know of it: its usual value,
what is told of it, what can be used, and its option. The help of the command line and the table
in the README are made from that; the variable is called as it is, in capitals behind ``PREFIX``.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from types import MappingProxyType

from voiceassist.app.settings.about import About, Number, Text, setting
from voiceassist.errors import ResourceError, SettingsError
from voiceassist.resources import read_text

PREFIX = "VOICEASSIST_"
_KEEP_SOUND = re.compile(r"off|on|days:([1-9]\d{0,3})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Settings:
    """What a user can set once for all sessions; an empty text is for the usual one."""

    records: str = setting(
        "",
        "Folder of records. Default: in the platform's data folder.",
        option="--records",
        metavar="FOLDER",
    )
    archive: str = setting(
        "",
        "Database of records, a file or URL. Default: a file in the folder of records.",
        option="--archive",
        command="records",
        metavar="FILE",
    )
    language: str = setting(
        "en",
        "Language spoken and heard; ko is understood, but has no sentences to speak yet.",
        option="--language",
        metavar="CODE",
    )
    listener: str = setting(
        "ear", "Speech recogniser, by name.", option="--listener", metavar="NAME"
    )
    model: str = setting(
        "",
        "Folder of the listener's model; the ear and sphinx have their own.",
        option="--model",
        metavar="FOLDER",
    )
    voice: str = setting(
        "",
        "Voice: espeak, pyttsx3 or none; espeak:en-gb picks one of espeak's own.",
        option="--voice",
        metavar="NAME",
    )
    rate_wpm: int = setting(
        160,
        "Words per minute, 80 to 300.",
        Number("80", "300", "words a minute", whole=True),
        option="--rate",
        metavar="WORDS",
    )
    volume: int = setting(
        100,
        "Loudness of the voice in percent, 30 to 200.",
        Number("30", "200", "percent", whole=True),
        option="--volume",
        metavar="PERCENT",
    )
    detail: str = setting(
        "normal",
        "How much is spoken: brief, normal or teaching.",
        Text(("brief", "normal", "teaching")),
        option="--detail",
        metavar="LEVEL",
    )
    meter: str = setting(
        "ordinary",
        "File of your meter, or the name of a shipped one.",
        option="--meter",
        metavar="FILE",
    )
    risk_percent: Decimal = setting(
        Decimal(5),
        "Highest risk you accept, in percent, that the meter makes a verdict wrong: 0.1 to 20.",
        Number("0.1", "20", "percent"),
    )
    microphone: str = setting(
        "", "Device name, or any unique part of it.", option="--microphone", metavar="NAME"
    )
    loudspeaker: str = setting(
        "", "Device name, or any unique part of it.", option="--loudspeaker", metavar="NAME"
    )
    duplex: str = setting(
        "half",
        "half: it speaks and listens by turns; full: you may cut in, with a headset.",
        Text(("half", "full")),
        option="--duplex",
        metavar="HOW",
    )
    tail_s: Decimal = setting(
        Decimal("0.3"),
        "By turns: seconds from its last word until it listens, 0 to 3; more for a radio headset.",
        Number("0", "3", "seconds"),
        option="--tail",
        metavar="SECONDS",
    )
    tones: str = setting(
        "on",
        "Short tones for listening, and for not understood: on or off.",
        Text(("on", "off")),
        option="--tones",
        metavar="ON|OFF",
    )
    talk: str = setting(
        "open",
        "open: all you say counts; name: only what follows its name; key: only after a press of the"
        " space bar or a foot switch.",
        Text(("open", "name", "key")),
        option="--talk",
        metavar="HOW",
    )
    name: str = setting(
        "helper",
        "What you call it, one or two plain words; implies --talk name.",
        option="--name",
        metavar="WORDS",
    )
    pause_s: Decimal = setting(
        Decimal("0.66"),
        "Seconds of silence that end an utterance, 0.4 to 1.2; adapts to you.",
        Number("0.4", "1.2", "seconds"),
        option="--pause",
        metavar="SECONDS",
    )
    prompt_after_s: Decimal = setting(
        Decimal(30),
        "Seconds of silence until it says what it is waiting for, unless the step says otherwise;"
        " 0 for never.",
        Number("0", "3600", "seconds"),
        option="--prompt-after",
        metavar="SECONDS",
    )
    screen: str = setting(
        "auto",
        "Display of the session: auto, on or off.",
        Text(("auto", "on", "off")),
        option="--screen",
        metavar="WHEN",
    )
    keep_sound: str = setting(
        "off",
        "Keep the sound of the session: off, on, or days:30 for 30 days.",
        Text(
            form=_KEEP_SOUND.pattern,
            remedy="choose off, on, or days:30 with as many days as you like, up to 9999",
        ),
        option="--keep-sound",
        metavar="WHEN",
    )
    shop_name: str = setting("", "Name at the top of the pages you hand out.")
    shop_address: str = setting("", "Its lines, separated by semicolons.")
    shop_logo: str = setting("", "A PNG, or an SVG without scripts or links; at most 1 MB.")
    customer_facts: str = setting(
        "",
        "Facts of the job that a customer's page shows, separated by commas; by default customer,"
        " customer address, repair order, vehicle, VIN, odometer and technician.",
    )

    def __post_init__(self) -> None:
        for name, about in ABOUT.items():
            object.__setattr__(self, name, about.fits.read(name, getattr(self, name)))

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
        for name in changes:
            if name not in ABOUT:
                raise SettingsError(
                    f"there is no setting {name!r}", place=place, remedy=_hint(name)
                )
        try:
            return replace(self, **changes)  # type: ignore[arg-type]
        except SettingsError as error:
            raise SettingsError(error.found, place=place, remedy=error.remedy) from None


#: What there is to know of each setting, by its name.
ABOUT: Mapping[str, About] = MappingProxyType(
    {each.name: each.metadata["about"] for each in fields(Settings)}
)


def load(file: Path, environment: Mapping[str, str]) -> Settings:
    """Read the settings file, if there is one, and the environment.

    Raises:
        SettingsError: with the file or variable, what was found and what would do.
    """
    settings = Settings()
    if file.exists():
        settings = settings.changed(_read(file), str(file))
    for name, value in environment.items():
        if name.startswith(PREFIX) and name[len(PREFIX) :].lower() in ABOUT:
            settings = settings.changed({name[len(PREFIX) :].lower(): value}, name)
    return settings


def _read(file: Path) -> dict[str, object]:
    try:
        return tomllib.loads(read_text(file))
    except tomllib.TOMLDecodeError as error:
        raise SettingsError(f"this is not TOML: {error}", place=str(file)) from None
    except RecursionError:
        raise SettingsError(
            "it is nested too deeply", place=str(file), remedy="write one name = value a line"
        ) from None
    except ResourceError as error:
        raise SettingsError(error.found, place=error.place, remedy=error.remedy) from None


def _hint(name: str) -> str:
    near = get_close_matches(name, sorted(ABOUT), n=1)
    return f"did you mean {near[0]!r}?" if near else "use one of " + ", ".join(sorted(ABOUT))
