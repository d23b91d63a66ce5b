"""Where an instrument is held, from the words of a step: "voltage from the feed pin to earth"."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.errors import CircuitError

_LAMP_HELD = re.compile(r"\bwith the (?:test )?lamp\b|\blamp still\b")
_LAMP_SAID = re.compile(r"\bwith (?:a|the) (?:test )?lamp\b|\blamp (?:across|still)\b")
_CLAMP = re.compile(r"\bclamp\b")
#: "from the feed pin to earth", whatever the two are.
_ANY_TWO = re.compile(
    r"\b(?:from|between) (?:the |an? )?(.+?),? (?:to|and) (?:the |an? )?(.+?)(?:,|$)"
)
_AND = r",?\s+(?:to|and)\s+"


@dataclass(frozen=True, slots=True)
class SpokenPlaces:
    """The names a step can use.

    Parts:
        nodes: name to its node.
        pairs: name to plus and minus node.
        parts: name of a part to its ends.
    """

    nodes: Mapping[str, str]
    pairs: Mapping[str, tuple[str, str]]
    parts: Mapping[str, tuple[str, str]]


def places_in(circuit: Circuit) -> SpokenPlaces:
    """The nodes, points and parts of ``circuit`` by the names that steps may use."""
    points = circuit.points
    parts = {name: list(part.terminals.values()) for name, part in circuit.parts.items()}
    return SpokenPlaces(
        {**{node: node for node in circuit.nodes}, **{n: p[0] for n, p in _of(points, 1)}},
        {name: (point[0], point[1]) for name, point in _of(points, 2)},
        {name: (ends[0], ends[-1]) for name, ends in parts.items()},
    )


def _of(points: Mapping[str, tuple[str, ...]], many: int) -> Iterable[tuple[str, tuple[str, ...]]]:
    return ((name, nodes) for name, nodes in points.items() if len(nodes) == many)


def probe_of(
    step: str,
    text: str,
    shows: Shows,
    places: SpokenPlaces,
    earth: str,
    lit: tuple[str, str] | None = None,
) -> Probe:
    """Where the instrument of ``step`` is held.

    Understood are "from A to B" and "between A and B" with test points; "across", "along" or
    "of" a part or a pair of points; "in" or "through" a wire, part or pin for a current; "at" or
    "on" a point, over earth. "with a lamp from A to B" puts a lamp beside, and "with the lamp"
    leaves it where the step before held it.

    Args:
        step: its name.
        text: what it measures, in the words of the file.
        shows: the instrument.
        places: the names it can use.
        earth: the node a single point is measured over.
        lit: nodes of the last lamp held before this step; None when there is none.

    Raises:
        CircuitError: the words do not tell the points, or there is no lamp that could stay.
    """
    rest, lamp = _without_lamp(step, text, shows, places, lit)
    clamp = _CLAMP.search(rest) is not None
    if shows is Shows.CURRENT and (through := _carrier(rest, places)):
        return Probe(shows, through=through, clamp=clamp, lamp=lamp)
    ends = _ends(rest, places, earth)
    if ends is None:
        raise CircuitError(
            f"the step {step!r} does not say where in the circuit it measures ({text!r})"
            f"{_unknown(rest, places)}",
            remedy="write 'from A to B' with test points of the circuit, put it so under "
            "'probes:' in the circuit, or give its reading under 'answers:' there",
        )
    return Probe(shows, *ends, clamp=clamp, lamp=lamp)


def said_otherwise(text: str, probe: Probe, places: SpokenPlaces) -> str:
    """How the spoken ``text`` of a step belies ``probe``; empty when it does not.

    What is spoken is what the technician does: a proof of anything else proves nothing.
    """
    beside = probe.lamp is not None
    if probe.shows is not Shows.LAMP and beside != (_LAMP_SAID.search(text) is not None):
        if beside:
            return "a lamp is held here, of which the words tell nothing; say 'lamp across them'"
        return (
            "the words tell of a lamp, and none is held in the circuit; write 'with a lamp from "
            "A to B' with test points of the circuit, here or under 'probes:'"
        )
    rest, _ = _without_lamp("", text, probe.shows, places, (probe.red, probe.black))
    said = re.search(rf"\b{_two(places.nodes)}", rest)
    held = (probe.red, probe.black)
    if said is None or probe.through:
        return ""
    ends = places.nodes[said[1]], places.nodes[said[2]]
    if ends == held or (probe.shows is not Shows.VOLTAGE and ends == held[::-1]):
        return ""
    return f"the words say {said[0]!r}, and 'probes:' {' and '.join(held)}; write both alike"


def _unknown(text: str, places: SpokenPlaces) -> str:
    """Which of the two points that ``text`` names is none."""
    named = _ANY_TWO.search(text)
    strange = [name for name in named.groups() if name not in places.nodes] if named else []
    return f": there is no point {strange[0]!r}" if strange else ""


def _without_lamp(
    step: str, text: str, shows: Shows, places: SpokenPlaces, lit: tuple[str, str] | None
) -> tuple[str, tuple[str, str] | None]:
    """The words without those that hold a lamp beside, and the nodes of that lamp."""
    beside = re.search(rf"\bwith a (?:test )?lamp {_two(places.nodes)}", text)
    if beside is not None:
        rest = text[: beside.start()] + text[beside.end() :]
        return rest, (places.nodes[beside[1]], places.nodes[beside[2]])
    if shows is Shows.LAMP or not _LAMP_HELD.search(text):
        return text, None
    if lit is None:
        raise CircuitError(
            f"no lamp is held before the step {step!r} ({text!r})",
            remedy="write 'with a lamp from A to B'",
        )
    return text, lit


def _ends(text: str, places: SpokenPlaces, earth: str) -> tuple[str, str] | None:
    """The nodes of the two leads."""
    if found := re.search(rf"\b{_two(places.nodes)}", text):
        return places.nodes[found[1]], places.nodes[found[2]]
    whole = {**places.parts, **places.pairs}
    if found := re.search(rf"\b(?:across|between|along|over|of) {_one(whole)}", text):
        return whole[found[1]]
    if found := re.search(rf"\b(?:at|on|of) {_one(places.nodes)}", text):
        return places.nodes[found[1]], earth
    return None


def _carrier(text: str, places: SpokenPlaces) -> str:
    """The part or node a current is read in; empty when none is told."""
    names = {**places.nodes, **{name: name for name in places.parts}}
    found = re.search(rf"\b(?:in|through|of) {_one(names)}", text)
    return names[found[1]] if found else ""


def _two(names: Iterable[str]) -> str:
    return rf"(?:from|between) {_one(names)}{_AND}{_one(names)}"


def _one(names: Iterable[str]) -> str:
    return _any_of(tuple(names))


@lru_cache(maxsize=64)
def _any_of(names: tuple[str, ...]) -> str:
    """A pattern for any of ``names``, the longest first; it matches nothing when there is none."""
    longest = sorted(names, key=len, reverse=True)
    return rf"(?:the |a )?({'|'.join(map(re.escape, longest)) or '(?!)'})\b"
