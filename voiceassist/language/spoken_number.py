"""The value of number tags, exactly as spoken. One instance takes one number."""

from dataclasses import dataclass, field
from decimal import Decimal

#: No reading has more digits before its point.
MOST_WHOLE_DIGITS = 6


@dataclass(slots=True)
class SpokenNumber:
    """Gathers the tags of one number.

    Parts:
        whole, fraction: digits before and behind the point, as far as they are settled.
        words: counting words of the current run, not yet turned into digits.
    """

    whole: str = ""
    fraction: str = ""
    words: list[int] = field(default_factory=list)
    runs: list[int] = field(default_factory=list)
    behind: bool = False
    negative: bool = False
    more: Decimal | None = None
    scale: int = 0

    def take(self, word: str, argument: str) -> None:
        """One number tag."""
        match word:
            case "add":
                self.words.append(int(argument))
            case "times":
                self._multiply(int(argument))
            case "digit":
                self.settle()
                self._append(argument)
            case "join":
                self.settle()
            case "point":
                self.settle()
                self.behind = True
            case "minus":
                self.negative = True
            case "plus":
                self.more = Decimal(argument) + (self.more or 0)
            case "scale":
                self.scale += int(argument)
            case _:
                raise ValueError(f"{word!r} is not a number tag")

    def settle(self) -> None:
        """Turn the counting words so far into digits."""
        if self.words:
            run = sum(self.words)
            self.runs.append(run)
            self._append(str(run))
            self.words.clear()

    def value(self) -> Decimal | None:
        """The number; None when it is none, or one that nobody says on purpose."""
        self.settle()
        if not self.sensible():
            return None
        number = Decimal(
            f"{self.whole or '0'}.{self.fraction}" if self.fraction else self.whole or "0"
        )
        if self.more is not None:
            number += self.more
        if self.scale:
            number = Decimal(f"{number.scaleb(self.scale):f}")
        return -number if self.negative and number else number

    def sensible(self) -> bool:
        """False for nothing at all, a bare point, too many digits, and a word said twice."""
        if not (self.whole or self.fraction or self.more is not None):
            return False
        if self.behind and not self.fraction:
            return False
        twice = len(self.runs) == 2 and self.runs[0] == self.runs[1] and self.runs[0] > 9
        return len(self.whole) <= MOST_WHOLE_DIGITS and not twice

    def _append(self, digits: str) -> None:
        if self.behind:
            self.fraction += digits
        else:
            self.whole += digits

    def _multiply(self, factor: int) -> None:
        below = 0
        while self.words and self.words[-1] < factor:
            below += self.words.pop()
        self.words.append((below or 1) * factor)
