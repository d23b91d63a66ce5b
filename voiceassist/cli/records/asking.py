"""Which sessions are asked for: options that several verbs of ``records`` share."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Annotated

import typer

from voiceassist.errors import SettingsError

Order = Annotated[str, typer.Option(help="Repair order.")]
Vehicle = Annotated[str, typer.Option(help="Words from the vehicle's name, or its VIN.")]
Technician = Annotated[str, typer.Option(help="The technician's name, or words from it.")]
Procedure = Annotated[str, typer.Option(help="Name of the procedure.")]
Outcome = Annotated[
    str,
    typer.Option(help="How it ended: repaired, not-proved, found, unproved, stopped; or open."),
]
Since = Annotated[
    str, typer.Option("--since", "--from", help="Begun on this day or later, 2026-01-31.")
]
Until = Annotated[str, typer.Option("--until", "--to", help="Begun on this day or earlier.")]


def first_moment(since: str) -> datetime | None:
    """The beginning of the day, or the time, that --since tells; None when nothing is asked for.

    Raises:
        SettingsError: it is neither.
    """
    return _moment(since, "--since", timedelta(0))


def last_moment(until: str) -> datetime | None:
    """The end of the day, or the time, that --until tells; as ``first_moment``."""
    return _moment(until, "--until", timedelta(days=1))


def outcome_of(text: str) -> str:
    """An outcome as the engine names it.

    Raises:
        SettingsError: there is none of that name.
    """
    from voiceassist.app.records.asked import OUTCOMES_ASKED

    return _among(OUTCOMES_ASKED, text, "--outcome", "outcome")


def verdict_of(text: str) -> str:
    """A verdict as the record has it.

    Raises:
        SettingsError: there is none of that name.
    """
    from voiceassist.app.records.asked import VERDICTS

    return _among(VERDICTS, text, "--verdict", "verdict")


def _moment(text: str, option: str, more: timedelta) -> datetime | None:
    """A day as its beginning by the local clock, ``more`` later; a whole time as it is.

    Raises:
        SettingsError: it is neither.
    """
    if not text:
        return None
    try:
        if (day := _day(text)) is not None:
            return datetime.combine(day + more, time()).astimezone()
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError):
        raise SettingsError(
            f"found {text!r}", place=option, remedy="write a day like 2026-01-31"
        ) from None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _among(known: Iterable[str], text: str, option: str, kind: str) -> str:
    """The one of ``known`` that is ``text`` or begins so, but for hyphens and capitals."""
    plain = _plain(text)
    names = {_plain(name): name for name in known}
    fitting = [names[plain]] if plain in names else []
    fitting += [name for key, name in names.items() if plain and key.startswith(plain)]
    if text and not fitting:
        raise SettingsError(
            f"{text!r} is not a known {kind}",
            place=option,
            remedy="use " + ", ".join(names.values()),
        )
    return fitting[0] if fitting else ""


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").split())
