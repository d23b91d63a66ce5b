"""What the technician said, each time with what came of it. Pure: journal lines in, values out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from voiceassist.record.lines import AskLine, Heard, Line, SentenceLine

#: Kinds of meaning that hold a value.
_VALUES = frozenset({"reading", "spread", "series", "over_range", "lamp", "identifier"})


@dataclass(frozen=True, slots=True)
class Exchange:
    """Words of the technician, and all that was kept until the next ones."""

    heard: Heard
    answers: tuple[Line, ...]

    @property
    def question(self) -> str:
        """What the assistant asked instead of taking the words; empty when it took them."""
        asked = next((a.text for a in self.answers if isinstance(a, AskLine | SentenceLine)), "")
        return asked if self._is_unsure or self._was_only_asked else ""

    @property
    def _is_unsure(self) -> bool:
        line = self.heard
        return ("meanings" in line and len(line.meanings) != 1) or line.doubtful

    @property
    def _was_only_asked(self) -> bool:
        """A value was said, and nothing came of it yet but a question."""
        meanings = self.heard.meanings
        is_value = bool(meanings) and str(meanings[0].get("kind")) in _VALUES
        return is_value and bool(self.answers) and all(isinstance(a, AskLine) for a in self.answers)


def exchanges(lines: Sequence[Line]) -> Iterator[Exchange]:
    """Everything heard, in order."""
    heard = [(i, line) for i, line in enumerate(lines) if isinstance(line, Heard)]
    ends = [*(i for i, _ in heard[1:]), len(lines)]
    for (here, line), there in zip(heard, ends, strict=False):
        yield Exchange(line, tuple(lines[here + 1 : there]))
