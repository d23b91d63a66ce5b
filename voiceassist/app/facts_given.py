"""Facts of the job as they are given on the command line."""

from collections.abc import Sequence

from voiceassist.errors import SettingsError
from voiceassist.record.facts import plain_name


def facts_given(pairs: Sequence[str]) -> dict[str, str]:
    """The job facts in ``--set name=value`` options.

    Raises:
        SettingsError: one has no "=", or no name before it, or a fact is given twice.
    """
    found: dict[str, str] = {}
    names: dict[str, str] = {}  # as it is compared, to as it was written first
    for pair in pairs:
        name, equals, value = (part.strip() for part in pair.partition("="))
        if not name or not equals:
            raise SettingsError(
                f"found {pair!r}", place="--set", remedy='write it like --set "vehicle=number 7"'
            )
        first = names.setdefault(plain_name(name), name)
        if first in found:
            raise SettingsError(_twice(first, name), place="--set", remedy="give it once")
        found[name] = value
    return found


def _twice(first: str, name: str) -> str:
    return f"{first!r} is given twice" if first == name else f"{first!r} and {name!r} are one fact"
