"""How many complaints of ``tests/app/complaints_told.py`` lead where: counts alone."""

from collections import Counter

from app.complaints_told import FIRST, KEPT

from voiceassist.app.catalogue import shipped
from voiceassist.app.intake.fitting import Fitting

#: So many are asked between by name.
_FEW = 4


def led(fitting: Fitting, said: str, name: str) -> str:
    """Where the complaint ``said`` leads, which is about the procedure ``name``."""
    fits = fitting.complaints(said)
    if len(fits) > 1 or fits[0].clear:
        right = len(fits) == 1 and fits[0].names == (name,)
        return "begun rightly" if right else "begun wrongly"
    return "short choice" if name in fits[0].names and len(fits[0].names) <= _FEW else "missed"


if __name__ == "__main__":
    known = Fitting(shipped())
    for part, told in (("first", FIRST), ("kept", KEPT)):
        print(part, len(told), dict(Counter(led(known, *each) for each in told)))
