"""Which sessions of a folder of records are under way, and what is new in them.

The journals are the only source: they are looked at, never locked, so that no session is held up.
"""

import os
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from voiceassist.bench.now import SessionNow, after_all
from voiceassist.bench.tail import Tail
from voiceassist.errors import RecordError
from voiceassist.record.folder import JOURNAL, STUB, session_names

#: How often the folder is looked at for new sessions, and for which of them are open.
LOOK_S = 0.5
#: A journal that was written so long ago is of the archive, unless a session has it open.
RECENT_S = 12 * 3600
#: So many of the latest are followed, beside those that are open.
MOST = 30
#: Where it cannot be seen who has a journal open, one that was written so lately is taken for so.
_LIKELY_S = 900.0
_LOCKS = Path("/proc/locks")


class Standing(Enum):
    """Where a session stands."""

    RUNNING = "running"
    CUT_OFF = "cut off"
    ENDED = "closed"


@dataclass
class Followed:
    """One session.

    Parts:
        id: name of its folder.
        now: what it shows.
        state: where it stands.
        fault: what is wrong with its journal; empty when nothing is.
        version: grows with each change.
    """

    id: str
    tail: Tail
    now: SessionNow = field(default_factory=SessionNow)
    state: Standing = Standing.RUNNING
    version: int = 0

    @property
    def fault(self) -> str:
        """What is wrong with its journal, and where; empty when nothing is."""
        return self.tail.fault


class Follower:
    """Follows the sessions of a folder.

    Args:
        records: the folder; it need not be there yet.
        clock: seconds since 1970.
        locks: where the system lists locked files (proc(5)).
    """

    def __init__(
        self, records: Path, clock: Callable[[], float] = time.time, locks: Path = _LOCKS
    ) -> None:
        self.records = records
        self.trouble = ""
        self.sessions: dict[str, Followed] = {}
        self._clock = clock
        self._locks = locks
        self._looked_s = -LOOK_S
        self._folder_seen = 0
        self._known: dict[str, int] = {}  # session to the inode of its journal, 0 for none yet

    def look(self) -> set[str]:
        """Read what is new; the sessions that changed."""
        now_s = self._clock()
        if not 0 <= now_s - self._looked_s < LOOK_S:
            self._looked_s = now_s
            before = set(self.sessions)
            self._find()
            held = self._held()
            self._take_up(held)
            changed = before - set(self.sessions)
            changed |= {id_ for id_, one in self.sessions.items() if self._read(one)}
            return changed | self._settle(self.sessions.values(), held)
        return {id_ for id_, one in self.sessions.items() if self._read(one)}

    def one(self, session: str) -> Followed | None:
        """A session of the folder, followed from now on; None where there is none."""
        if session not in self.sessions:
            if session not in self._known:
                self._find()
            if session not in self._known:
                return None
            self._follow(session)
        one = self.sessions.get(session)
        if one is not None:
            self._read(one)
            self._settle([one], self._held())
        return one

    @property
    def empty(self) -> bool:
        """No session is in the folder."""
        return not self._known

    def latest(self) -> list[Followed]:
        """Those that have begun: the running ones first, each kind with the latest first."""
        begun = [one for one in self.sessions.values() if one.now.begun]
        order = list(Standing)
        latest = sorted(begun, key=lambda one: one.id, reverse=True)
        return sorted(latest, key=lambda one: order.index(one.state))

    def _read(self, one: Followed) -> bool:
        was = one.fault
        anew, lines = one.tail.look()
        if not anew and not lines and one.fault == was:
            return False
        one.now = after_all(SessionNow() if anew else one.now, lines)
        if one.now.ended:
            one.state = Standing.ENDED
        one.version += 1
        return True

    # --- the folder ---

    def _find(self) -> None:
        """The names there are, looked for when the folder has changed."""
        try:
            seen = os.stat(self.records).st_mtime_ns
            recent = abs(self._clock() * 1e9 - seen) < 2e9  # a clock is as coarse as its disk's
            if seen == self._folder_seen and not recent:
                names = tuple(name for name, inode in self._known.items() if not inode)
            else:
                names = session_names(self.records)
                self._forget(set(names))
            self._folder_seen, self.trouble = seen, ""
        except FileNotFoundError:
            return
        except (OSError, RecordError) as error:
            self.trouble = str(error)
            return
        for name in names:
            if not self._known.get(name):
                self._known[name] = _inode(self.records / name / JOURNAL)

    def _forget(self, names: set[str]) -> None:
        for gone in [name for name in self._known if name not in names]:
            del self._known[gone]
            self.sessions.pop(gone, None)

    def _take_up(self, held: set[int] | None) -> None:
        """Follow what is open, and what was written lately."""
        named = {inode: name for name, inode in self._known.items() if inode}
        open_ = [named[inode] for inode in held or () if inode in named]
        for name in [*open_, *sorted(self._known, reverse=True)[:MOST]]:
            if name not in self.sessions and (name in open_ or self._is_recent(name)):
                self._follow(name)
        for name in [name for name in self.sessions if (self.records / name / STUB).exists()]:
            del self.sessions[name]

    def _is_recent(self, name: str) -> bool:
        with suppress(OSError):
            written_s = os.stat(self.records / name / JOURNAL).st_mtime
            return self._clock() - written_s < RECENT_S
        return False

    def _follow(self, name: str) -> None:
        folder = self.records / name
        if not (folder / STUB).exists():
            self.sessions[name] = Followed(name, Tail(folder / JOURNAL))

    # --- who has what open ---

    def _held(self) -> set[int] | None:
        """The inodes of the files that are locked; None where that cannot be seen."""
        try:
            rows = self._locks.read_text("ascii").splitlines()
        except (OSError, ValueError):
            return None
        fields = [row.split() for row in rows if " FLOCK " in row]
        places = [part for row in fields for part in row if part.count(":") == 2]
        return {int(place.rpartition(":")[2]) for place in places}

    def _settle(self, sessions: Iterable[Followed], held: set[int] | None) -> set[str]:
        """Say of each of ``sessions`` whether it is open; those of which that changed."""
        changed = set()
        for one in sessions:
            if (state := self._state(one, held)) is not one.state:
                one.state = state
                one.version += 1
                changed.add(one.id)
        return changed

    def _state(self, one: Followed, held: set[int] | None) -> Standing:
        if one.now.ended:
            return Standing.ENDED
        if held is None:
            is_open = self._clock() - one.tail.changed_s < _LIKELY_S
        else:
            is_open = one.tail.inode in held
        return Standing.RUNNING if is_open else Standing.CUT_OFF


def _inode(path: Path) -> int:
    try:
        return os.stat(path).st_ino
    except OSError:
        return 0
