"""Which letters stand in a drawing of a circuit, and the room they take beside the paths."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from voiceassist.draw.canvas import widest
from voiceassist.draw.canvas import wrapped as _wrapped
from voiceassist.draw.elements import COIL, CONTACT, Element, Joint, sides
from voiceassist.draw.instrument import Instrument, PulledPlug, has_leads, is_unnamed
from voiceassist.draw.look import AT_REST, LIVE, Look, spoken
from voiceassist.draw.paths import PathPlan
from voiceassist.draw.symbols import SIGNS, WIDE
from voiceassist.draw.values import value_text

NAME, TEXT, NODE = 11.0, 10.0, 10.0
#: Letters beside a path are wrapped at this width.
_WIDTH = 86.0
#: The names of nodes begin nearer to their path than the letters of things.
_FURTHER = 12.0
#: Bold letters are so much wider.
_BOLDER = 1.1
#: Letters that are broader than others, and by how much of their height.
_BROAD, _BROADER = "mwMW", 0.36
wrapped = partial(_wrapped, split_words=False)
#: A line of letters and its style.
Line = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Lettering:
    """All letters of a sheet.

    Parts:
        row: level below which each thing stands.
        beside: lines at each thing.
        node_at: the path at which each node is named, and whether below its bar.
        above, below: by level, the height that names of nodes take above and below the things.
        right: by path, the room to its right.
        half: of each box, how far it reaches beyond its outer paths.
        nodes: the lines in which each node is named.
    """

    row: Mapping[int, int]
    beside: Mapping[int, list[Line]]
    node_at: Mapping[str, tuple[int, bool]]
    above: list[float]
    below: list[float]
    right: list[float]
    half: Mapping[int, float]
    nodes: Mapping[str, list[str]]


def letters_of(
    sheet: PathPlan, numbers: Mapping[int, int], look: Look = AT_REST, width: float = _WIDTH
) -> Lettering:
    """The letters of ``sheet``, wrapped at ``width``; ``numbers`` tells the path of each thing."""
    row = {i: sides(one, sheet.level)[0] for i, one in enumerate(sheet.elements)}
    beside = {i: _told(sheet, i, numbers, look, width) for i in row}
    named = (node for node in sheet.level if look.names(node) and not is_unnamed(node))
    nodes = {node: node_lines(node, look, width + _FURTHER) for node in named}
    node_at = {node: _named_at(sheet, node) for node in nodes}
    above, below = [0.0] * (sheet.depth + 1), [0.0] * (sheet.depth + 1)
    right = [WIDE + 8.0] * len(sheet.paths)
    for node, (number, under) in node_at.items():
        lines = nodes[node]
        height = NODE * (0.6 + 1.15 * len(lines))
        level = sheet.level[node]
        if under:
            above[level] = max(above[level], height)
        elif level:
            below[level - 1] = max(below[level - 1], height)
        right[number] = max(right[number], 5 + widest(lines, NODE))
    runs = Counter(run.element for path in sheet.paths for run in path)
    half = {
        i: _half(one, beside[i], runs[i])
        for i, one in enumerate(sheet.elements)
        if not is_sign(one)
    }
    for number, path in enumerate(sheet.paths):
        for run in path:
            right[number] = max(
                right[number],
                half[run.element] + 12
                if run.element in half
                else beside_x(sheet.elements[run.element]) + _widest(beside[run.element]),
            )
    return Lettering(row, beside, node_at, above, below, right, half, nodes)


def is_sign(one: Element) -> bool:
    """True for what has a sign in a path; the others are boxes."""
    if isinstance(one.part, PulledPlug):
        return True
    return len(one.joints) == 2 and (one.kind in SIGNS or isinstance(one.part, Instrument))


def _half(one: Element, lines: list[Line], paths: int) -> float:
    """How far a box reaches beyond its outer paths; what is said in it has to fit into one path."""
    words = [terminal(joint) for joint in one.joints]
    broad = max(sum(map(word.count, _BROAD)) for word in words) * _BROADER * TEXT
    terminals = (widest(words, TEXT) + broad) / 2 + 6
    return max(22.0, terminals, _widest(lines) / 2 + 6 if paths == 1 else 0.0)


def _widest(lines: list[Line]) -> float:
    return max((widest([said], TEXT, bold="bold" in style) for said, style in lines), default=0.0)


def beside_x(one: Element) -> float:
    """How far from its path the letters of a thing begin."""
    return 8.0 if one.kind == "wire" or isinstance(one.part, PulledPlug) else WIDE + 3


def _named_at(sheet: PathPlan, node: str) -> tuple[int, bool]:
    """The first path in which a line leaves the node downwards, or else upwards; a lead is none."""
    for leads in (False, True):
        for under in (True, False):
            for number, path in enumerate(sheet.paths):
                for run in path:
                    joint = run.joint if under else run.other
                    is_lead = has_leads(sheet.elements[run.element].part)
                    if joint is not None and joint.node == node and is_lead is leads:
                        return number, under
    return 0, True


def _told(
    sheet: PathPlan, index: int, numbers: Mapping[int, int], look: Look, width: float
) -> list[Line]:
    """Name, what it is, the plug it is behind, and where the other half of a relay stands."""
    one = sheet.elements[index]
    wide = width if len(one.joints) <= 2 else 1.6 * width
    name = one.part.label or one.part.name
    if isinstance(one.part, PulledPlug):
        return [(line, "bold") for line in wrapped(_behind(one.joints[0].plug, look), wide, TEXT)]
    if isinstance(one.part, Instrument):
        return [(line, "bold") for line in wrapped(name, wide, TEXT * _BOLDER)]
    rest = [one.part.drawn or value_text(one.part) if one.half != CONTACT else ""]
    rest += [_other_half(sheet, index, numbers)] if one.half else []
    rest += [_behind(plug, look) for plug in sorted({j.plug for j in one.joints if j.plug})]
    rest += [_state(one, look)]
    lines: list[Line] = [(line, "bold") for line in wrapped(name, wide, TEXT * _BOLDER)]
    return lines + [(line, "pale") for told in rest for line in wrapped(told, wide, TEXT)]


def _behind(plug: str, look: Look) -> str:
    if look.is_state:
        return f"{plug}: open" if plug in look.open_plugs else ""
    return f"behind {plug}"


def _state(one: Element, look: Look) -> str:
    """Whether it lets current pass, where that can change."""
    if one.half == COIL:
        return ""
    name = one.part.name
    return "closed" if name in look.closed else "open" if name in look.opened else ""


def _other_half(sheet: PathPlan, index: int, numbers: Mapping[int, int]) -> str:
    one = sheet.elements[index]
    for i, other in enumerate(sheet.elements):
        if other.part.name == one.part.name and other.half != one.half:
            return f"{CONTACT if one.half == COIL else COIL}: path\u00a0{numbers[i]}"
    return ""


def terminal(joint: Joint) -> str:
    """The name of a terminal, short."""
    return joint.terminal.removeprefix("pin-")


def node_lines(node: str, look: Look = AT_REST, width: float = _WIDTH) -> list[str]:
    """The name of a node in lines, and whether it is live."""
    return wrapped(f"{spoken(node)}, {LIVE}" if node in look.live else spoken(node), width, NODE, 3)
