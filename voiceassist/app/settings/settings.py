"""Settings: defaults, then a TOML file, then VOICEASSIST_* variables, then the command line.

Each setting is declared once, in ``Settings``, with all there is to know of it: its usual value,
what is told of it, what can be used, and its option. The help of the command line and the table
in the README are made from that; the variable is called as it is, in capitals behind ``PREFIX``.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from pathlib import Path
from types import MappingProxyType
from typing import Any

from voiceassist.errors import SettingsError

PREFIX = "VOICEASSIST_"
_KEEP_SOUND = re.compile(r"off|on|days:([1-9]\d{0,3})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Number:
    """A number from ``low`` to ``high``, whole or with a point, in a unit."""

    low: str
    high: str
    unit: str
    whole: bool = False

    def read(self, name: str, value: object) -> int | Decimal:
        """``value`` as a number; SettingsError when it is none, or not within the bounds."""
        try:
            number = Decimal(str(value)) if not isinstance(value, bool) else None
        except InvalidOperation:
            number = None
        if self.whole and (number is None or number != number.to_integral_value()):
            raise SettingsError(f"{name} is {value!r}", remedy="write a whole number")
        if number is None or not number.is_finite() or not self._within(number):
            raise SettingsError(f"{name} is {value!r}", remedy=f"choose {self}")
        return int(number) if self.whole else number

    def _within(self, number: Decimal) -> bool:
        return Decimal(self.low) <= number <= Decimal(self.high)

    def __str__(self) -> str:
        return f"{self.low} to {self.high} {self.unit}"


@dataclass(frozen=True, slots=True)
class Text:
    """Any text; of ``choices`` where there are some, or of a ``form``.

    Parts:
        choices: the texts that can be used; empty for any.
        form: a regular expression; empty for any.
        remedy: what would do, where ``form`` does not match.
    """

    choices: tuple[str, ...] = ()
    form: str = ""
    remedy: str = ""

    def read(self, name: str, value: object) -> str:
        """``value``; SettingsError when it is no text, or cannot be used."""
        if not isinstance(value, str):
            raise SettingsError(f"{name} is {value!r}", remedy="write text in quotes")
        if self.choices and value not in self.choices:
            listed = ", ".join(self.choices[:-1]) + f" or {self.choices[-1]}"
            raise SettingsError(f"{name} is {value!r}", remedy=f"choose {listed}")
        if self.form and not re.fullmatch(self.form, value, re.ASCII):
            raise SettingsError(f"{name} is {value!r}", remedy=self.remedy)
        return value


@dataclass(frozen=True, slots=True)
class About:
    """What there is to know of a setting beside its usual value.

    Parts:
        help: one line for the README and ``--help``.
        fits: what can be used.
        option: its option on the command line; empty for none.
        command: the command, or group of commands, that has the option.
        metavar: what stands for its value in ``--help``.
    """

    help: str
    fits: Number | Text
    option: str = ""
    command: str = "run"
    metavar: str | None = None


def _setting(usual: object, help_: str, fits: Number | Text = Text(), **more: str) -> Any:  # noqa: ANN401
    return field(default=usual, metadata={"about": About(help_, fits, **more)})


@dataclass(frozen=True, slots=True)
class Settings:
    """What a user can set once for all sessions; an empty text is for the usual one."""

    records: str = _setting(
        "",
        "Folder of records; else the platform's data folder.",
        option="--records",
        metavar="FOLDER",
    )
    archive: str = _setting(
        "",
        "Database of records, a file or URL; else a file in the folder of records.",
        option="--archive",
        command="records",
        metavar="FILE",
    )
    language: str = _setting(
        "en",
        "Language spoken and heard; ko is understood, but has no sentences to speak yet.",
        option="--language",
        metavar="CODE",
    )
    listener: str = _setting(
        "ear",
        "Speech recogniser, by name.",
        option="--listener",
        metavar="NAME",
    )
    model: str = _setting(
        "",
        "Folder of the listener's model; the ear and sphinx have their own.",
        option="--model",
        metavar="FOLDER",
    )
    voice: str = _setting(
        "",
        "Voice: espeak, pyttsx3 or none; espeak:en-gb names one of its own.",
        option="--voice",
        metavar="NAME",
    )
    rate_wpm: int = _setting(
        160,
        "Words per minute, 80 to 300.",
        Number("80", "300", "words a minute", whole=True),
        option="--rate",
        metavar="WORDS",
    )
    volume: int = _setting(
        100,
        "Loudness of the voice in percent, 30 to 200.",
        Number("30", "200", "percent", whole=True),
        option="--volume",
        metavar="PERCENT",
    )
    detail: str = _setting(
        "normal",
        "How much is spoken: brief, normal or teaching.",
        Text(("brief", "normal", "teaching")),
        option="--detail",
        metavar="LEVEL",
    )
    meter: str = _setting(
        "ordinary",
        "File of your meter, or the name of a shipped one.",
        option="--meter",
        metavar="FILE",
    )
    risk_percent: Decimal = _setting(
        Decimal(5),
        "How likely a verdict may be wrong because of the meter, at most, 0.1 to 20.",
        Number("0.1", "20", "percent"),
    )
    microphone: str = _setting(
        "",
        "Device name, or any unique part of it.",
        option="--microphone",
        metavar="NAME",
    )
    loudspeaker: str = _setting(
        "",
        "Device name, or any unique part of it.",
        option="--loudspeaker",
        metavar="NAME",
    )
    duplex: str = _setting(
        "half",
        "half: it speaks and listens by turns; full: you may cut in, with a headset.",
        Text(("half", "full")),
        option="--duplex",
        metavar="HOW",
    )
    tail_s: Decimal = _setting(
        Decimal("0.3"),
        "By turns: seconds after its last word until it listens, 0 to 3; more for a radio headset.",
        Number("0", "3", "seconds"),
        option="--tail",
        metavar="SECONDS",
    )
    tones: str = _setting(
        "on",
        "Short tones that tell that it listens or did not understand: on or off.",
        Text(("on", "off")),
        option="--tones",
        metavar="ON|OFF",
    )
    talk: str = _setting(
        "open",
        "open: all you say counts; name: only after its name; key: only after a press of the"
        " space bar or a foot switch.",
        Text(("open", "name", "key")),
        option="--talk",
        metavar="HOW",
    )
    name: str = _setting(
        "helper",
        "What you call it, one or two plain words; means --talk name.",
        option="--name",
        metavar="WORDS",
    )
    pause_s: Decimal = _setting(
        Decimal("0.66"),
        "Seconds of silence that end an utterance, 0.4 to 1.2; adapts to you.",
        Number("0.4", "1.2", "seconds"),
        option="--pause",
        metavar="SECONDS",
    )
    prompt_after_s: Decimal = _setting(
        Decimal(30),
        "Seconds of silence until it says what it waits for, where the step does not tell; 0 for"
        " never.",
        Number("0", "3600", "seconds"),
        option="--prompt-after",
        metavar="SECONDS",
    )
    screen: str = _setting(
        "auto",
        "Picture of the session: auto, on or off.",
        Text(("auto", "on", "off")),
        option="--screen",
        metavar="WHEN",
    )
    keep_sound: str = _setting(
        "off",
        "Keep the sound of the session: off, on, or days:30 for so many days.",
        Text(
            form=_KEEP_SOUND.pattern,
            remedy="choose off, on, or days:30 with as many days as you like, up to 9999",
        ),
        option="--keep-sound",
        metavar="WHEN",
    )
    shop_name: str = _setting("", "Name at the top of the pages you hand out.")
    shop_address: str = _setting("", "Its lines, with ; between.")
    shop_logo: str = _setting("", "A PNG, or an SVG that is a drawing and no more; at most 1 MB.")
    customer_facts: str = _setting(
        "",
        "Which facts of the job a customer's page shows, with commas between; the usual ones are"
        " customer, customer address, repair order, vehicle, VIN, odometer and technician.",
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


def _hint(name: str) -> str:
    near = get_close_matches(name, sorted(ABOUT), n=1)
    return f"did you mean {near[0]!r}?" if near else "use one of " + ", ".join(sorted(ABOUT))
