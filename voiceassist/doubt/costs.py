"""What mistakes and questions cost."""

import math
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Costs:
    """In units of one short question.

    Parts:
        wrong_value: a wrong value or word that leads where the right one would have led.
        wrong_turn: a wrong value or word that leads elsewhere; at least ``wrong_value``.
        none: above this probability of "none of these" the speech is let pass.
        worth: an understanding less likely than this is not worth a question.
        astray: a wrong value that turns the job, though it is read back with its verdict.
        read_back: a wrong value that records the same verdict and leads to the same place, and is
            read back before anything rests on it. Chosen on jobs of the part "fit": from 20 down
            to 5 a mistake more saves three or four questions, further down but one.
    """

    wrong_value: float = 40.0
    wrong_turn: float = 150.0
    none: float = 0.5
    worth: float = 0.05
    astray: float = 1000.0
    read_back: float = 5.0

    def __post_init__(self) -> None:
        if not 0 < self.wrong_value <= self.wrong_turn < math.inf:
            raise ValueError("a wrong turn must cost no less than a wrong value, and both cost")
        if not (0 < self.astray < math.inf and 0 < self.read_back < math.inf):
            raise ValueError("a wrong value that is read back costs something")
        if not (0 < self.none <= 1 and 0 < self.worth <= 1):
            raise ValueError("none and worth are probabilities above 0")

    def where_read_back(self) -> "Costs":
        """What mistakes cost where a value is read back and nothing else rests on it."""
        return replace(self, wrong_value=min(self.read_back, self.wrong_value))
