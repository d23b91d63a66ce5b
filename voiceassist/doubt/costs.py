"""What mistakes and questions cost."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Costs:
    """In units of one short question.

    Parts:
        wrong_value: a wrong value or word that leads where the right one would have led.
        wrong_turn: a wrong value or word that leads elsewhere; at least ``wrong_value``.
        none: above this probability of "none of these" the speech is let pass.
        worth: an understanding less likely than this is not worth a question.
        astray: a wrong value that turns the job, though it is read back with its verdict.
    """

    wrong_value: float = 40.0
    wrong_turn: float = 150.0
    none: float = 0.5
    worth: float = 0.05
    astray: float = 1000.0

    def __post_init__(self) -> None:
        if not 0 < self.wrong_value <= self.wrong_turn < math.inf:
            raise ValueError("a wrong turn must cost no less than a wrong value, and both cost")
        if not 0 < self.astray < math.inf:
            raise ValueError("a wrong value that turns the job costs something")
        if not (0 < self.none <= 1 and 0 < self.worth <= 1):
            raise ValueError("none and worth are probabilities above 0")
