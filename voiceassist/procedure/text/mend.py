"""Stand-ins for bad parts of a file, so that one fault does not hide the next.

A mended file is never used: the fault that made it necessary stops the load.
"""

from voiceassist.procedure.text.tree import Value

Place = tuple[int | str, ...]

#: What stands in for a part that must be there: at the top of a file, and in a part of a block.
_AT_TOP: dict[str, Value] = {
    "procedure": "unnamed",
    "meter": "unnamed",
    "title": "untitled",
    "for": "unknown",
}
_INSIDE: dict[str, Value] = {
    "signal": "NOTICE",
    "hazard": "unknown",
    "avoid": "unknown",
    "where": "unknown",
    "cause": "unknown",
    "correction": "unknown",
    "direction": "rising",
    "top": "9 V",
    "resolution": "1 mV",
    "accuracy": "1 % + 1",
}
_INSIDE_DEPTH = 3


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
    stand_ins = _AT_TOP if len(reached) == 1 else _INSIDE if len(reached) >= _INSIDE_DEPTH else {}
    if key in stand_ins:
        holder[key] = stand_ins[key]
        return {place}
    if missing and len(place) > 1:
        return mend(value, place[:-1], missing=False)
    holder.pop(key, None)
    return {place, reached}


def _holder(value: dict[str, Value], place: Place) -> tuple[dict[str, Value], str, Place]:
    """The mapping that holds the deepest named part of ``place``, that part's key and place."""
    holder, key, reached = value, str(place[0]), place[:1]
    child: Value | None = value
    for i, part in enumerate(place):
        if isinstance(child, dict):
            holder, key, reached = child, str(part), place[: i + 1]
            child = child.get(key)
        elif isinstance(child, list) and isinstance(part, int) and part < len(child):
            child = child[part]
        else:
            break
    return holder, key, reached
