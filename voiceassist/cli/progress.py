"""A bar on the terminal that tells how far a long work is; nothing where nobody looks."""

import sys
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    from rich.console import Console
    from rich.progress import Progress


class ProgressBar:
    """A progress bar on standard error, shown while it is a terminal. Use it in a ``with``.

    Args:
        what: is going on.
        console: where it is shown; None for standard error.
        quiet: show nothing.
    """

    def __init__(self, what: str, console: "Console | None" = None, *, quiet: bool = False) -> None:
        self._quiet = quiet
        self._console = console
        self._what = what
        self._progress: Progress | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        self.clear()

    def at(self, done: int, of: int) -> None:
        """So much is done."""
        shown = self._console.is_terminal if self._console else sys.stderr.isatty()
        if self._quiet or not shown:
            return
        if self._progress is None:
            self._progress = self._begun()
        self._progress.update(self._progress.task_ids[0], completed=done, total=of)

    def _begun(self) -> "Progress":
        """What draws it; it takes a while to import, and mostly nobody looks."""
        from rich import progress
        from rich.console import Console

        begun = progress.Progress(
            progress.TextColumn("{task.description}"),
            progress.BarColumn(),
            progress.MofNCompleteColumn(),
            progress.TimeRemainingColumn(),
            console=self._console or Console(stderr=True),
            transient=True,
        )
        begun.add_task(self._what)
        begun.start()
        return begun

    def clear(self) -> None:
        """Take the bar away, before something is written where it stands."""
        if self._progress is not None:
            self._progress.stop()
            self._progress = None
