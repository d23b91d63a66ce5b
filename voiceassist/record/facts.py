"""Facts of the job by their names, however somebody wrote them. Pure."""

from collections.abc import Mapping

from voiceassist.record.webvtt import one_line


def plain_name(name: str) -> str:
    """The name of a fact as it is compared: "Repair-Order" and "repair order" are one."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def order_key(repair_order: str) -> str:
    """A repair order as it is compared: "RO-10 42" and "ro1042" are one."""
    return "".join(c for c in repair_order.casefold() if c.isalnum())


def fact(known: Mapping[str, str], name: str) -> str:
    """The fact ``name``, given as ``plain_name`` has it; empty when it is not known."""
    found = [value for key, value in known.items() if plain_name(key) == name]
    return one_line(found[-1]) if found else ""
