"""How the readings of a session came in: spoken or typed. Pure: journal lines in, words out."""

from collections.abc import Sequence

from voiceassist.record.read_session import ReadSession
from voiceassist.record.summary import Measured


def how_taken(read: ReadSession, measured: Sequence[Measured]) -> str:
    """ "6 spoken", "6 typed", "4 spoken, 2 typed"; empty without a reading that counts.

    A reading came in with the words heard last before it; typed words are certain.
    """
    counting = {one.seq for one in measured if one.counts}
    spoken = typed = 0
    for one in read.exchanges:
        came = sum(line.seq in counting for line in one.answers)
        spoken, typed = (spoken, typed + came) if one.heard.certain else (spoken + came, typed)
    found = ((spoken, "spoken"), (typed, "typed"))
    return ", ".join(f"{count} {how}" for count, how in found if count)
