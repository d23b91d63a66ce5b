"""What can be asked for by name, and which sessions are."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta

from voiceassist.archive.find import OPEN, Wanted
from voiceassist.errors import SettingsError
from voiceassist.measure.limit import Verdict
from voiceassist.record.outcomes import OUTCOMES, PARKED

#: What a reading can get, as the record has it.
VERDICTS = tuple(verdict.value for verdict in Verdict)
#: How a session can have ended, as the engine names it, or that it has not.
OUTCOMES_ASKED = (*OUTCOMES, OPEN, PARKED)
_AS_ASKED = ("order", "vehicle", "technician", "procedure", "cause", "said")


def wanted(asked: Mapping[str, str], limit: int = 0) -> Wanted:
    """The sessions that are asked for by the options of ``records``, each by its name.

    Raises:
        SettingsError: a value is none that its option knows.
    """
    given = {name: value for name, value in asked.items() if value}
    return Wanted(
        **{name: given[name] for name in _AS_ASKED if name in given},
        outcome=outcome_of(given.get("outcome", "")),
        verdict=verdict_of(given.get("verdict", "")),
        since=first_moment(given.get("since", "")),
        until=last_moment(given.get("until", "")),
        limit=limit,
    )


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
    return _among(OUTCOMES_ASKED, text, "--outcome", "outcome")


def verdict_of(text: str) -> str:
    """A verdict as the record has it.

    Raises:
        SettingsError: there is none of that name.
    """
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
