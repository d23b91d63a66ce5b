"""A step's grammar as an automaton of letters, made the plain and slow way."""

from voiceassist.language.network import Node
from voiceassist.language.step import StepGrammar
from voiceassist.language.walking import Place, Stack, _endings, _moves
from voiceassist.recognise.ear.automaton import Automaton, spellings
from voiceassist.recognise.ear.shape import BLANK, NUMBERS

#: What may follow inside a word, and the places of the grammar behind it.
Rest = tuple[str, frozenset[Place]]


def plain_automaton(grammar: StepGrammar) -> Automaton:
    """Every state of the grammar a state of its own: what leads to the same is not shared."""
    start = frozenset([(grammar.heard.root, None)])
    known: dict[frozenset[Place], dict[str, frozenset[Place]]] = {}

    def ways(places: frozenset[Place]) -> dict[str, frozenset[Place]]:
        """The words from here, by the moves of the parser, which keeps all tags apart."""
        if places not in known:
            words = {word for node, stack in places for word in _all_words(node, stack)}
            known[places] = {
                word: frozenset(p for place in places for _, p in _moves(place, word))
                for word in words
            }
        return known[places]

    def begun(places: frozenset[Place]) -> set[Rest]:
        return {(way, to) for word, to in ways(places).items() for way in spellings(word)}

    def onward(rests: frozenset[Rest]) -> dict[str, frozenset[Rest]]:
        found: dict[str, set[Rest]] = {}
        for rest, behind in rests:
            if rest:
                found.setdefault(rest[0], set()).add((rest[1:], behind))
            elif ways(behind):
                found.setdefault(" ", set()).update(begun(behind))
        return {sign: frozenset(to) for sign, to in found.items()}

    states: list[tuple[str, frozenset[Rest]]] = [("", frozenset(begun(start)))]
    numbers = {states[0]: 0}
    on: list[tuple[int, ...]] = []
    for _, rests in states:
        here = []
        for key in onward(rests).items():
            if key not in numbers:
                numbers[key] = len(states)
                states.append(key)
            here.append(numbers[key])
        on.append(tuple(here))
    return Automaton(
        tuple(NUMBERS.get(sign, BLANK) for sign, _ in states),
        tuple(any(not rest and _ends(behind) for rest, behind in rests) for _, rests in states),
        tuple(on),
        {
            way: word
            for places in known.values()
            for word in places
            for way in spellings(word)
            if way != word
        },
    )


def _all_words(node: Node, stack: Stack) -> set[str]:
    words = set(node.moves)
    while stack is not None and node.ends:
        node, stack = stack
        words |= set(node.moves)
    return words


def _ends(places: frozenset[Place]) -> bool:
    return any(True for place in places for _ in _endings(place))
