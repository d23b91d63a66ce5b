"""Facts of the job by their names, however somebody wrote them. Pure."""

from collections.abc import Mapping

from voiceassist.record.webvtt import one_line


def plain_name(name: str) -> str:
    """The name of a fact as it is compared: "Repair-Order" and "repair order" are one."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def fact(known: Mapping[str, str], name: str) -> str:
    """The fact ``name``, given as ``plain_name`` has it; empty when it is not known."""
    found = [value for key, value in known.items() if plain_name(key) == name]
    return one_line(found[-1]) if found else ""
