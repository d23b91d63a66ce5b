"""Which changes to the vehicle a step needs, in an order that is safe."""

from collections.abc import Iterator, Mapping, Sequence

from voiceassist.procedure.model import Need

#: A change may undo an earlier one (the key goes off while a plug is moved), so the needs are
#: gone through again; what a procedure allows settles in two rounds, a third finds nothing.
_ROUNDS = 3


def changes(
    needs: Sequence[Need],
    known: Sequence[tuple[str, str]],
    before_changing: Mapping[str, Sequence[Need]],
    words: Mapping[str, Mapping[str, str]],
) -> tuple[Need, ...]:
    """The changes that bring ``needs`` about.

    Args:
        needs: states wanted, in the step's order.
        known: condition and state of what is known of the vehicle.
        before_changing: condition to the states that must hold while it is changed.
        words: condition and state to the words that bring it about.

    Returns:
        Each change in order. Conditions that are only safely changed in some state of another
        come first, with the changes to that state; all others follow in the step's order; what
        was only changed on the way is put back as it was.
    """
    planner = _Planner(dict(known), before_changing)
    guarded = [need for need in needs if need.condition in before_changing]
    for _ in range(_ROUNDS):
        for need in (*guarded, *needs):
            planner.bring_about(need, ())
    wanted = {need.condition for need in needs}
    for need in _as_it_was(known, wanted, words):
        planner.bring_about(need, ())
    return tuple(planner.found)


def in_order(
    needs: Sequence[Need],
    known: Sequence[tuple[str, str]],
    before_changing: Mapping[str, Sequence[Need]],
) -> tuple[Need, ...]:
    """The changes that bring ``needs`` about one after another, each as safely as it must be."""
    planner = _Planner(dict(known), before_changing)
    for _ in range(_ROUNDS):
        for need in needs:
            planner.bring_about(need, ())
    return tuple(planner.found)


def _as_it_was(
    known: Sequence[tuple[str, str]], wanted: set[str], words: Mapping[str, Mapping[str, str]]
) -> Iterator[Need]:
    for name, state in known:
        if name not in wanted and state in words.get(name, {}):
            yield Need(name, state, words[name][state])


class _Planner:
    def __init__(self, state: dict[str, str], before: Mapping[str, Sequence[Need]]) -> None:
        self._state = state
        self._before = before
        self.found: list[Need] = []

    def bring_about(self, need: Need, within: tuple[str, ...]) -> None:
        """Make the change unless it holds; ``within`` are the conditions being changed already."""
        if self._state.get(need.condition) == need.state or need.condition in within:
            return
        for first in self._before.get(need.condition, ()):
            self.bring_about(first, (*within, need.condition))
        self.found.append(need)
        self._state[need.condition] = need.state
