"""A wait that is over, and what has come of the states it was waited for."""

from dataclasses import dataclass

from voiceassist.session.copying import replace


@dataclass(frozen=True, slots=True)
class Wait:
    """A wait that is over.

    Parts:
        step: its step.
        states: condition and state that it holds for.
        wait_s: how long it was, in seconds.
        broken: those of its conditions that were changed since.
    """

    step: str
    states: tuple[tuple[str, str], ...]
    wait_s: int
    broken: tuple[str, ...] = ()

    def broken_by(self, *names: str) -> "Wait":
        """The wait after the conditions ``names`` were changed."""
        new = tuple(n for n in dict.fromkeys(names) if n not in self.broken)
        return replace(self, broken=(*self.broken, *new)) if new else self

    def after(self, changes: tuple[tuple[str, str], ...]) -> "Wait":
        """The wait after ``changes`` to the vehicle."""
        own = dict(self.states)
        return self.broken_by(*(n for n, state in changes if own.get(n, state) != state))
