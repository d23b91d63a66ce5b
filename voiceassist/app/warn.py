"""Who is told what a session can do without, one sentence at a time."""

from collections.abc import Callable

Warn = Callable[[str], None]
