"""Our own voice, should the microphone hear it after all."""

#: What repeats us and begins so soon after our last word is our own voice.
_REPEATS_S = 1.5
#: One or two words of ours may well be his answer to "say done": those only when they are our
#: very last ones and begin sooner than anybody answers (common experience, no source).
_SHORT = 2
_AT_ONCE_S = 0.5


def is_echo(words: str, said: str, after_s: float) -> bool:
    """True when ``words`` are most likely the end of what we just said.

    Args:
        words: heard, lower-case.
        said: what we said, in words.
        after_s: from our last word to the first of these, in seconds; below zero while we speak.
    """
    heard = words.split()
    ours = "".join(c if c.isalnum() or c == "'" else " " for c in said.lower()).split()
    if not heard or after_s > _REPEATS_S:
        return False
    if len(heard) <= _SHORT:
        return after_s < _AT_ONCE_S and ours[-len(heard) :] == heard
    starts = range(len(ours) - len(heard) + 1)
    return any(ours[at : at + len(heard)] == heard for at in starts)
