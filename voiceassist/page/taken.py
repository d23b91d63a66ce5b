"""How the readings of a session came in: spoken or typed. Pure: journal lines in, words out."""

from collections.abc import Mapping, Sequence

from voiceassist.record.summary import Measured

Line = Mapping[str, object]


def how_taken(lines: Sequence[Line], measured: Sequence[Measured]) -> str:
    """ "6 spoken", "6 typed", "4 spoken, 2 typed"; empty without a reading that counts.

    A reading came in with the words heard last before it; a listener's name is kept with words
    that were spoken, and none with those that were typed.
    """
    counting = {one.seq for one in measured if one.counts}
    spoken = typed = 0
    listener: object = None
    for line in lines:
        if line["event"] == "heard":
            listener = line.get("listener")
        elif line.get("seq") in counting and listener is not None:
            spoken, typed = (spoken + 1, typed) if listener else (spoken, typed + 1)
    found = ((spoken, "spoken"), (typed, "typed"))
    return ", ".join(f"{count} {how}" for count, how in found if count)
