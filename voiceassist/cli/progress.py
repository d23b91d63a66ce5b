"""A bar on the terminal that tells how far a long work is; nothing where nobody looks."""

from types import TracebackType
from typing import Self

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn


class Bar:
    """A progress bar on standard error, shown while it is a terminal. Use it in a ``with``.

    Args:
        what: is going on.
        console: where it is shown; None for standard error.
        quiet: show nothing.
    """

    def __init__(self, what: str, console: Console | None = None, *, quiet: bool = False) -> None:
        self._quiet = quiet
        self._console = console if console is not None else Console(stderr=True)
        self._what = what
        self._progress: Progress | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.clear()

    def at(self, done: int, of: int) -> None:
        """So much is done."""
        if self._quiet or not self._console.is_terminal:
            return
        if self._progress is None:
            self._progress = Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                MofNCompleteColumn(),
                TimeRemainingColumn(),
                console=self._console,
                transient=True,
            )
            self._progress.add_task(self._what)
            self._progress.start()
        self._progress.update(self._progress.task_ids[0], completed=done, total=of)

    def clear(self) -> None:
        """Take the bar away, before something is written where it stands."""
        if self._progress is not None:
            self._progress.stop()
            self._progress = None
