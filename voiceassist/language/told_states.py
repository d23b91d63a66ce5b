"""States of the vehicle that are told among other words: "key's off and she's at twelve six"."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from voiceassist.language.expectation import Choice

_BELONGING = "'s"
#: So many words before a state may deny it.
_CLOSELY = 3
#: States that a place may stand behind.
_PLACES = frozenset({"in", "on"})

_Ways = Mapping[tuple[str, ...], str]


@dataclass(frozen=True, slots=True)
class ToldState:
    """A state told in a phrase.

    Parts:
        name: of condition and state, as its ``Choice`` has it.
        start, end: its words, from and before.
        named: whether its condition is told with it; "on low" tells the state alone.
    """

    name: str
    start: int
    end: int
    named: bool


@dataclass(frozen=True, slots=True)
class Around:
    """Words of a language around a state.

    Parts:
        lightly: may stand between the words of one and carry nothing.
        denial: one of these before a state tells that it is not so.
        no_setting: in a bare setting, behind it, or as a name, they tell that it is none of the
            vehicle.
        figures: and so do these in a bare setting, or behind it.
        place: behind a state that is a place too they tell that it is the place.
        between: between things of the same state they carry nothing: "front and rear plugged in".
    """

    lightly: Set[str] = frozenset()
    denial: Set[str] = frozenset()
    no_setting: Set[str] = frozenset()
    figures: Set[str] = frozenset()
    place: Set[str] = frozenset()
    between: Set[str] = frozenset()


def states_told(
    words: Sequence[str], named: Sequence[Choice], bare: Sequence[Choice], around: Around
) -> tuple[ToldState, ...]:
    """Every state that ``words`` tell, as it comes; the longest way to say it counts.

    Args:
        words: what was said, with its commas.
        named: states, each with its ways to be told with what it is the state of.
        bare: the same told alone, "on low".
        around: words of the language.
    """
    tables = (_table(named), _table(bare))
    at = [(n, _plain(word)) for n, word in enumerate(words)]
    # "I put the plug back" is told by a word that mostly carries nothing.
    ends = around.lightly - {way[-1] for way in tables[0]}
    for nothing in (around.lightly, ends):
        full = [(n, word) for n, word in at if words[n] not in nothing]
        if found := tuple(_found(words, full, tables, around)):
            return found
    return ()


def _found(
    words: Sequence[str],
    at: Sequence[tuple[int, str]],
    tables: tuple[_Ways, _Ways],
    around: Around,
) -> Iterator[ToldState]:
    here, together = 0, _things(tables[0])
    while here < len(at):
        rest = [word for _, word in at[here:]]
        taken, name, named = _longest(rest, tables)
        names: tuple[str, ...] = (name,)
        if not taken:
            taken, names = _listed(rest, together, around.between)
            named = True
        start, end = at[here][0], at[here + max(taken, 1) - 1][0] + 1
        if taken and _is_state(words, start, end, around, named=named):
            yield from (ToldState(each, start, end, named) for each in names)
        here += max(taken, 1)


def _things(table: _Ways) -> Mapping[tuple[str, ...], _Ways]:
    """By the last words of a way: the things that it may be told of, each with its state."""
    found: dict[tuple[str, ...], dict[tuple[str, ...], str]] = {}
    for way, name in table.items():
        for cut in range(1, len(way)):
            found.setdefault(way[cut:], {})[way[:cut]] = name
    return found


def _listed(
    words: Sequence[str], together: Mapping[tuple[str, ...], _Ways], between: Set[str]
) -> tuple[int, tuple[str, ...]]:
    """How many words tell one state of several things, and of which: "key and lights off"."""
    for at in range(2, len(words)):
        for end in range(len(words), at, -1):
            things = together.get(tuple(words[at:end]), {})
            names = _named([word for word in words[:at] if word not in between], things)
            if len(names) > 1 and words[0] not in between:
                return end, names
    return 0, ()


def _named(words: Sequence[str], things: _Ways) -> tuple[str, ...]:
    """The states of the things that ``words`` are, one behind another; none with a word left."""
    if not words or not things:
        return ()
    for taken in range(len(words), 0, -1):
        name = things.get(tuple(words[:taken]), "")
        others = _named(words[taken:], things) if name else ()
        if name and (others or taken == len(words)):
            return (name, *others)
    return ()


def _is_state(words: Sequence[str], start: int, end: int, around: Around, *, named: bool) -> bool:
    """Whether the words from ``start`` to ``end`` tell a state, and are not denied."""
    denied = around.denial & set(words[max(start - _CLOSELY, 0) : end])
    if named:
        other = around.no_setting & set(words[start : start + 1])
    else:
        other = (around.no_setting | around.figures) & set(words[start : end + 1])
    at_a_place = words[end - 1] in _PLACES and around.place & set(words[end : end + 1])
    return not (denied or other or at_a_place)


def _longest(words: Sequence[str], tables: tuple[_Ways, _Ways]) -> tuple[int, str, bool]:
    for taken in range(min(len(words), _most(tables)), 0, -1):
        way = tuple(words[:taken])
        for table, named in zip(tables, (True, False), strict=True):
            if way in table:
                return taken, table[way], named
    return 0, "", False


def _most(tables: tuple[_Ways, _Ways]) -> int:
    return max((len(way) for table in tables for way in table), default=0)


def _table(choices: Sequence[Choice]) -> _Ways:
    """Each way to tell a state; one that tells two of them is left out."""
    found: dict[tuple[str, ...], str] = {}
    for choice in choices:
        for phrase in choice.phrases:
            way = tuple(phrase.split())
            found[way] = "" if found.get(way, choice.name) != choice.name else choice.name
    return {way: name for way, name in found.items() if name}


def _plain(word: str) -> str:
    """ "Key" of "key's"."""
    return word.removesuffix(_BELONGING)
