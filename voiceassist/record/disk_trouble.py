"""Why lines of a journal wait in memory."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why lines wait in memory.

    Parts:
        place: the journal.
        found: a clause, such as "the disk is full".
        waiting: how many lines wait.
    """

    place: str
    found: str
    waiting: int

    def __str__(self) -> str:
        lines = "1 line waits" if self.waiting == 1 else f"{self.waiting} lines wait"
        return (
            f"{self.place}: {self.found}; {lines} in memory"
            " and will be written as soon as that can be done"
        )
