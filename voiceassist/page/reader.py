"""Whom a page is made for, and what it takes from the procedure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Takes:
    """What the steps of a procedure take: by step, a line of all, and the parts fitted."""

    lines: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


class Reader(StrEnum):
    """For whom pages are made."""

    SHOP = "shop"
    CUSTOMER = "customer"
    INSTRUCTOR = "instructor"
