"""How the readings of a session came in: spoken or typed. Pure: journal lines in, words out."""

from collections.abc import Sequence

from voiceassist.record.lines import Heard, Line
from voiceassist.record.summary import Measured


def how_taken(lines: Sequence[Line], measured: Sequence[Measured]) -> str:
    """ "6 spoken", "6 typed", "4 spoken, 2 typed"; empty without a reading that counts.

    A reading came in with the words heard last before it; typed words are certain.
    """
    counting = {one.seq for one in measured if one.counts}
    spoken = typed = 0
    heard: Heard | None = None
    for line in lines:
        if isinstance(line, Heard):
            heard = line
        elif line.seq in counting and heard is not None:
            by_key = heard.certain
            spoken, typed = spoken + (not by_key), typed + by_key
    found = ((spoken, "spoken"), (typed, "typed"))
    return ", ".join(f"{count} {how}" for count, how in found if count)
