"""How a state of the vehicle is asked about: in its own words, or in words made by rule."""

import re
from types import MappingProxyType

from voiceassist.procedure.model import Procedure, Wording

#: States that follow "is the plug" in plain English.
_PLAIN = frozenset(
    {"in", "out", "on", "off", "open", "shut", "closed", "free", "pressed", "released"}
    | {"unplugged", "plugged in", "connected", "up", "down", "lowered", "raised", "loose"}
)
#: "Not off" is a double negative by ear, so its opposite is told.
_OPPOSITE = MappingProxyType({"off": "on", "out": "in", "unplugged": "plugged in"})
_NUMBERED = re.compile(r"\b(?:one|two|three|four|five|six|seven|eight|nine|ten|\d+)$")
_PLURAL = re.compile(r"[^sui]s$")
_WAS = re.compile(r"\b(was|were) not\b")
_IS = MappingProxyType({"was": "is", "were": "are"})


def is_plain(state: str) -> bool:
    """True when the words made for ``state`` are English."""
    return state in _PLAIN


def is_plural(name: str) -> bool:
    """True when ``name`` tells of several things: "the work lamps are"."""
    return _PLURAL.search(name) is not None


def tells_a_state(denied: str) -> bool:
    """True when what holds can be told from ``denied``: "the key was not in run"."""
    return _WAS.search(denied) is not None


def wording(name: str, state: str, instruction: str, ask: str = "", denied: str = "") -> Wording:
    """The words for ``state`` of the condition ``name``; what is not given is made by rule.

    A state that is no plain word is asked about by its instruction: "did you set the fan
    control to its lowest speed".
    """
    the = name if _NUMBERED.search(name) else f"the {name}"
    plural = is_plural(name)
    made = (f"did you {instruction}", f"you did not {instruction}")
    if is_plain(state):
        verb, past = ("are", "were") if plural else ("is", "was")
        still = f"still {_OPPOSITE[state]}" if state in _OPPOSITE else f"not {state}"
        made = (f"{verb} {the} {state}", f"{the} {past} {still}")
    statement = denied.rstrip(". ")
    holds = f"{the} {'are' if plural else 'is'} {'' if is_plain(state) else 'at '}{state}"
    if statement:
        holds = _WAS.sub(lambda match: _IS[match[1]], statement)
    return Wording(ask.rstrip("?. ") or made[0], statement or made[1], holds)


def wording_in(procedure: Procedure, name: str, state: str) -> Wording:
    """The words of ``procedure`` for ``state`` of the condition ``name``."""
    known = procedure.wordings.get(name, {}).get(state)
    instruction = procedure.conditions.get(name, {}).get(state, f"bring {name} to {state}")
    return known or wording(name, state, instruction)
