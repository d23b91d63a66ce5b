"""What can hurt somebody or something, and the words by which a caution is known to tell of it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from voiceassist.procedure.model import Caution


class Danger(StrEnum):
    """What is dangerous about a step, or does damage."""

    OHMS_LIVE = "ohms on a live circuit"
    AMMETER = "ammeter across a source"
    AMMETER_FAULT = "ammeter overloaded with a fault"
    LEADS = "red lead in the current socket"
    LAMP = "test lamp on electronics"
    LIVE_PLUG = "plug moved live"
    LIVE_WORK = "work on a live circuit"
    TOUCHED = "hand on what turns"
    FUSE_RATING = "wrong fuse"
    FUSE_EARLY = "fuse before the short is mended"
    HELD = "held too long"
    LEFT = "vehicle left otherwise than found"
    CLAMP = "unfused cable with the battery on"
    CAUTION = "caution missing"


@dataclass(frozen=True, slots=True)
class Hazard:
    """One danger at one step.

    Parts:
        danger: what it is.
        step: where it is; empty for the end of the job.
        message: one sentence: what happens, and what would do.
    """

    danger: Danger
    step: str
    message: str


class Topic(StrEnum):
    """What a caution is about; the words are looked for in its name, hazard and advice."""

    MOVING = r"fan|belt|blade|turn|move|start|jump|crush|window|wiper|linkage|crank|gear"
    BATTERY = r"gas|explode|burst|acid|\bposts?\b"
    FUEL = r"fuel|petrol|vapour|pressure"
    HOT = r"\bhot\b|burn|cool"
    AIRBAG = r"airbag|restraint|belt tensioner"


def is_told(topic: Topic, cautions: Iterable[Caution]) -> bool:
    """True when one of ``cautions`` is about ``topic``."""
    words = (f"{c.name} {c.hazard} {c.avoid}" for c in cautions)
    return any(re.search(topic, text) for text in words)
