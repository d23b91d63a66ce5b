"""A caution as it was given."""

from dataclasses import dataclass

from voiceassist.record.lines import CautionLine


@dataclass(frozen=True, slots=True)
class Warned:
    """A caution that was acknowledged.

    Parts:
        name: of the caution.
        caution: as it was spoken before; an empty one where the journal has none.
        at: when it was acknowledged, RFC 3339.
    """

    name: str
    caution: CautionLine
    at: str
