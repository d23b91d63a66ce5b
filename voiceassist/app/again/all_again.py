"""Sessions of a folder heard again, one after another, by whoever does the work."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from voiceassist.app.again.hearer import heard_again
from voiceassist.app.again.phrases import SessionAgain
from voiceassist.app.again.tape import tape_of
from voiceassist.app.pages.session_folder import named_outright
from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.settings.chosen import existing_records_folder, settings
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers.base import Here, Workers
from voiceassist.errors import RecordError
from voiceassist.record.folder import SessionFolder, sessions

_SHOWN = 3


def chosen_settings(changes: Mapping[str, object]) -> Settings:
    """Listener, model and folder of records as they are set, with the command line's changes."""
    return settings(changes)


@dataclass(frozen=True, slots=True)
class Which:
    """Which sessions are to be heard again.

    Parts:
        names: of them; none for all.
        since, until: begun not before, and before; None for any time.
    """

    names: Sequence[str] = ()
    since: datetime | None = None
    until: datetime | None = None

    def holds(self, folder: SessionFolder) -> bool:
        """The day and time in its name, by the clock on the wall, lie between both."""
        begun = folder.id[: len(_written(datetime.min))]
        early = self.since is not None and begun < _written(self.since)
        late = self.until is not None and begun >= _written(self.until)
        return not early and not late


def _written(at: datetime) -> str:
    return f"{at:%Y%m%d-%H%M%S}".rjust(15, "0")


def folders(chosen: Settings, which: Which) -> tuple[SessionFolder, ...]:
    """The sessions that were begun and are asked for. The archive is left alone.

    Raises:
        RecordError: there is no such folder of records, or no such session, or several.
    """
    records = existing_records_folder(chosen)
    begun = tuple(folder for folder in sessions(records) if folder.begun or folder.deleted)
    if which.names:
        begun = tuple(dict.fromkeys(_named(records, begun, name) for name in which.names))
    return tuple(folder for folder in begun if which.holds(folder))


def _named(records: Path, begun: Sequence[SessionFolder], name: str) -> SessionFolder:
    outright = named_outright(records, name)
    fitting = [outright] if outright else [f for f in begun if name and f.id.startswith(name)]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        raise RecordError(
            f"no session is called {name!r}",
            place=str(records),
            remedy="give the name of its folder or the beginning of it, or last",
        )
    told = ", ".join(folder.id for folder in fitting[-_SHOWN:])
    raise RecordError(
        f"{len(fitting)} sessions are called {name!r}",
        place=str(records),
        remedy=f"give one whole name; the latest are {told}",
    )


def all_again(
    chosen: Settings,
    found: Sequence[SessionFolder],
    workers: Workers,
    progress: Progress = no_progress,
) -> Iterator[SessionAgain]:
    """Each of ``found``, heard again by the listener that is chosen.

    Raises:
        WorkersError: the workers cannot do it.
    """
    one_is_enough = len(found) == 1 and not workers.stand_by
    some: Workers = Here() if one_is_enough else workers
    tapes = map(tape_of, found)
    for count, one in enumerate(some.each(heard_again, chosen, tapes), 1):
        progress(count, len(found))
        yield one
