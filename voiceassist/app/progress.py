"""Who is told how far something long has come."""

from collections.abc import Callable

#: How much is done so far, and all that there is; a later call may have more of both.
Progress = Callable[[int, int], None]


def no_progress(done: int, of: int) -> None:
    """For those who do not look."""
