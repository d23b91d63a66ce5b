"""Stand-ins for bad parts of a file, so that one fault does not hide the next.

A mended file is never used as a procedure: the fault that made it necessary stops the load.
"""

from voiceassist.procedure.tree import Value

Place = tuple[int | str, ...]

#: What stands in for a part that must be there.
_STAND_INS: dict[str, Value] = {
    "procedure": "unnamed",
    "title": "untitled",
    "for": "unknown",
    "signal": "NOTICE",
    "hazard": "unknown",
    "avoid": "unknown",
    "cause": "unknown",
    "correction": "unknown",
}


def copied(value: dict[str, Value]) -> dict[str, Value]:
    """A copy that can be mended without touching the original."""
    return {key: _copy(child) for key, child in value.items()}


def _copy(value: Value) -> Value:
    if isinstance(value, dict):
        return copied(value)
    return [_copy(child) for child in value] if isinstance(value, list) else value


def mend(value: dict[str, Value], place: Place, *, missing: bool) -> set[Place]:
    """Take the bad part at ``place`` out of ``value``, or put a stand-in for a missing one.

    Returns:
        The places whose later faults would only be echoes of this one.
    """
    holder, key, reached = _holder(value, place)
    if key in _STAND_INS:
        holder[key] = _STAND_INS[key]
        return {place}
    if missing and len(place) > 1:
        return mend(value, place[:-1], missing=False)
    holder.pop(key, None)
    return {place, reached}


def _holder(value: dict[str, Value], place: Place) -> tuple[dict[str, Value], str, Place]:
    """The mapping that holds the deepest named part of ``place``, that part's key and place."""
    holder = value
    for i, part in enumerate(place):
        child = holder.get(str(part))
        if not isinstance(child, dict) or i == len(place) - 1:
            return holder, str(part), place[: i + 1]
        holder = child
    raise ValueError("an empty place holds nothing")
