"""What was not heard of a turn that was cut short."""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.app.mouth.spoken_turn import Cut
from voiceassist.session.events import Interrupted
from voiceassist.session.outputs import CautionSpoken, Output


@dataclass(frozen=True, slots=True)
class Pending:
    """A cut that the session was not told of yet: perhaps it was only a cough.

    Parts:
        outputs: of the turn that was cut.
        cut: where.
        unheard: cautions in it that were cut off before their hazard.
        at_s: when, in seconds of the session.
    """

    outputs: tuple[Output, ...]
    cut: Cut
    unheard: tuple[str, ...]
    at_s: float

    def event(self, *, went_on: bool) -> Interrupted:
        """What the session gets of it; nothing stays unheard when we ``went_on`` with it."""
        return Interrupted(() if went_on else self.unheard, self.at_s)

    def told(self, *, went_on: bool) -> dict[str, object]:
        """What its line tells: what the session got of it, and where it was cut."""
        return {
            "unheard": list(self.event(went_on=went_on).unheard),
            "sentence": self.outputs[self.cut.index].text,
            "fraction": round(self.cut.fraction, 2),
            "went_on": went_on,
        }


def unheard_cautions(outputs: Sequence[Output], cut: Cut) -> tuple[str, ...]:
    """The cautions among ``outputs`` whose hazard was not spoken whole before ``cut``."""
    found = []
    for index, output in enumerate(outputs):
        if isinstance(output, CautionSpoken) and output.text and index >= cut.index:
            letters = cut.letters if index == cut.index else 0
            if letters < _hazard_end(output):
                found.append(output.name)
    return tuple(found)


def _hazard_end(caution: CautionSpoken) -> int:
    """Letters of the caution up to the end of its hazard; all of them when it is not in it."""
    at = caution.text.find(caution.hazard)
    return at + len(caution.hazard) if at >= 0 and caution.hazard else len(caution.text)
