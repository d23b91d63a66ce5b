"""Tries planted mistakes, each in a process forked from one that has only collected the tests.

A run without any mistake notes first which lines each test comes by, and how long it takes. A
mistake is then tried with the tests that come by its own statement, the likely and quick ones
first, until one fails. The processes have worked out nothing yet, so no kept value hides a mistake;
only what runs while the program is imported has to be tried in a process that begins anew.
"""

import ast
import contextlib
import os
import pickle
import select
import signal
import sys
import textwrap
import threading
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import CodeType, FrameType
from typing import TYPE_CHECKING, TypeVar

import pytest
from mutmut.mutation import trampoline

#: Dearer tests are kept together by module, so that they share what is set up for all of them.
_QUICK_S = 0.3
#: What takes ten times as long as without the mistake, and this beside, hangs.
_PATIENCE_S = 10

if TYPE_CHECKING:
    from _typeshed import TraceFunction

Line = tuple[str, int]
_EVERY: set[Line] = {("every file", 0)}
T = TypeVar("T")


@dataclass(frozen=True)
class Mistake:
    """One of them, and the lines of which a test comes by at least one if it can see it."""

    name: str
    file: str
    lines: range

    @property
    def module(self) -> str:
        return self.name.rpartition(".")[0]


def lines_of(before: str, after: str, start: int) -> range:
    """Of a function that begins at line ``start``: the statement in which the two first differ."""
    old, new = before.splitlines(), after.splitlines()
    same = (i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b and "def " not in a)
    line = next(same, None)
    [function] = ast.parse(textwrap.dedent(before)).body
    assert isinstance(function, ast.FunctionDef)
    first = function.body[0].lineno
    if line is None or line + 1 < first:  # its arguments: whoever calls it comes by
        return range(start, start + len(old))
    inside = [n for n in ast.walk(function) if isinstance(n, ast.stmt | ast.ExceptHandler)]
    holds = (n for n in inside if n.lineno <= line + 1 <= (n.end_lineno or n.lineno))
    least = min(holds, key=lambda n: (n.end_lineno or n.lineno) - n.lineno)
    body: Sequence[ast.stmt] = getattr(least, "body", ())
    end = body[0].lineno - 1 if body else least.end_lineno or least.lineno
    if line + 1 > end:  # between the parts of a statement, such as ``else``
        end = least.end_lineno or least.lineno
    return range(start + least.lineno - 1, start + end)


@dataclass(eq=False)
class Trial:
    """A plugin of pytest that tries mistakes in place of running the tests once."""

    mistakes: Sequence[Mistake]
    #: Told of each as it is known: its name, and by what it was seen; None by nothing.
    tell: Callable[[str, str | None], None]
    #: Those that run while the program is imported.
    anew: list[str] = field(default_factory=list)
    _lines: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    _known: dict[CodeType, bool] = field(default_factory=dict)
    _met: set[Line] = field(default_factory=set)
    _made: dict[object, tuple[set[Line], float]] = field(default_factory=dict)
    _fails: Callable[[], None] | None = None
    _starts: bool = False

    def __post_init__(self) -> None:
        for mistake in self.mistakes:
            self._lines[mistake.file].update(mistake.lines)
        sys.addaudithook(self._started)
        self._watch(self._called)

    def _started(self, event: str, _args: object) -> None:
        """What a process does that a test starts cannot be seen here: it comes by everything."""
        self._starts = self._starts or event in {"os.fork", "os.posix_spawn", "subprocess.Popen"}

    def _watch(self, called: "TraceFunction | None") -> None:
        sys.settrace(called)
        threading.settrace(called)

    def _called(self, frame: FrameType, _event: str, _arg: object) -> "TraceFunction | None":
        code = frame.f_code
        known = self._known.get(code)
        if known is None:
            wanted = self._lines.get(code.co_filename, set())
            own = {line for _, _, line in code.co_lines() if line is not None}
            known = self._known[code] = bool(wanted & own) and code.co_name != "<module>"
        if not known:
            return None
        self._met.add((code.co_filename, code.co_firstlineno))
        return self._passed

    def _passed(self, frame: FrameType, _event: str, _arg: object) -> "TraceFunction | None":
        self._met.add((frame.f_code.co_filename, frame.f_lineno))
        return self._passed

    def pytest_sessionstart(self) -> None:
        """Let drawn examples be the same each time, and lose no time on small ones."""
        from hypothesis import HealthCheck, Phase, settings  # pytest wants to load it itself

        settings.register_profile(
            "planted",
            deadline=None,
            derandomize=True,
            phases=[Phase.explicit, Phase.generate],
            suppress_health_check=[HealthCheck.too_slow],
        )
        settings.load_profile("planted")

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: object) -> Iterator[None]:
        """Note what a fixture comes by: all tests that use it come by it."""
        outer, self._met, begun = self._met, set(), time.monotonic()
        try:
            return (yield)
        finally:
            lines, _ = self._made.get(fixturedef, (set(), 0))
            self._made[fixturedef] = (lines | self._met, time.monotonic() - begun)
            self._met |= outer

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """One failure is enough."""
        if report.failed and self._fails:
            self._fails()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try each mistake with the tests that come by."""
        if session.testsfailed:
            raise session.Interrupted("the tests cannot be collected")
        imported, items = self._met, session.items
        noted: dict[str, tuple[set[Line], float]] = in_fork(lambda: self._clean(items))
        self._watch(None)
        costs = {name: cost for name, (_, cost) in noted.items()}
        steady = {item.nodeid: item for item in items if item.nodeid in costs}
        for lost in {item.nodeid for item in items} - steady.keys():
            print(f"fails without a mistake, and is left out: {lost}", flush=True)
        sound: set[str] = set()
        seen: dict[str, Counter[str]] = defaultdict(Counter)
        for mistake in self.mistakes:
            where = {(mistake.file, line) for line in mistake.lines}
            first = seen[mistake.module]
            while True:
                near = [
                    i for n, i in steady.items() if where & noted[n][0] or noted[n][0] == _EVERY
                ]
                by = self._tried(mistake.name, _ordered(near, costs, first), costs)
                if by is None or by in sound or not self._tried("", [steady[by]], costs):
                    break
                print(f"fails without a mistake, and is left out: {by}", flush=True)
                del steady[by]
            sound.add(by or "")
            if by is None and where & imported:
                self.anew.append(mistake.name)
                continue
            first[by or ""] += 1
            self.tell(mistake.name, by)
        return True

    def _clean(self, items: Sequence[pytest.Item]) -> dict[str, tuple[set[Line], float]]:
        _quiet()
        noted, failed = {}, []
        self._fails = lambda: failed.append(True)
        for item, after in _pairs(items):
            _forget()
            self._met, self._starts, begun = set(), False, time.monotonic()
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            took = time.monotonic() - begun
            used = [made for one in _fixtures(item) if (made := self._made.get(one))]
            took = max(took, sum(seconds for _, seconds in used))
            if failed:
                failed.clear()
                continue
            met = _EVERY if self._starts else self._met.union(*(lines for lines, _ in used))
            noted[item.nodeid] = (met, took)
        return noted

    def _tried(
        self, name: str, items: Sequence[pytest.Item], costs: Mapping[str, float]
    ) -> str | None:
        """Which of the tests sees it."""
        reader, writer = os.pipe()
        child = os.fork()
        if not child:
            self._child(name, items, costs, writer)
        os.close(writer)
        at: int | None = None
        with os.fdopen(reader, "rb", buffering=0) as said:
            while True:
                cost = costs[items[at].nodeid] if at is not None and at < len(items) else 0
                if not select.select([said], [], [], 6 * _PATIENCE_S + 30 * cost)[0]:
                    break
                if not (word := said.read(4)):
                    break
                at = int.from_bytes(word, "big")
        with_all = at is not None and at == len(items)
        with contextlib.suppress(ProcessLookupError):  # it may be at its end already
            os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return None if with_all or at is None else items[at].nodeid

    def _child(
        self, name: str, items: Sequence[pytest.Item], costs: Mapping[str, float], writer: int
    ) -> None:
        os.setsid()
        _quiet()
        os.environ["MUTANT_UNDER_TEST"] = name
        trampoline.get_mutant_under_test = lambda: name
        self._fails = lambda: os._exit(1)
        try:
            for at, (item, after) in enumerate(_pairs(items)):
                os.write(writer, at.to_bytes(4, "big"))
                signal.setitimer(signal.ITIMER_PROF, _PATIENCE_S + 10 * costs[item.nodeid])
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            os.write(writer, len(items).to_bytes(4, "big"))
        finally:
            os._exit(1)


def in_fork(work: Callable[[], T]) -> T:
    """What ``work`` gives, worked out in a process of its own."""
    reader, writer = os.pipe()
    child = os.fork()
    if not child:
        with os.fdopen(writer, "wb") as out:
            pickle.dump(work(), out)
            out.flush()
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as said:
        found: T = pickle.load(said)
    os.waitpid(child, 0)
    return found


def _forget() -> None:
    """Let each test read its procedure itself, so that it comes by the lines that do."""
    if bench := sys.modules.get("bench"):
        bench.read.cache_clear()


def _quiet() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _pairs(items: Sequence[pytest.Item]) -> Iterable[tuple[pytest.Item, pytest.Item | None]]:
    return zip(items, [*items[1:], None], strict=True) if items else ()


def _fixtures(item: pytest.Item) -> list[object]:
    found: Mapping[str, Sequence[object]] = item._fixtureinfo.name2fixturedefs  # type: ignore[attr-defined]
    return [one for several in found.values() for one in several]


def _ordered(
    items: Sequence[pytest.Item], costs: Mapping[str, float], first: Counter[str]
) -> list[pytest.Item]:
    def rank(item: pytest.Item) -> tuple[bool, int, float | str]:
        dear = costs[item.nodeid] > _QUICK_S
        module, cost = item.nodeid.partition("::")[0], round(costs[item.nodeid], 2)
        return dear, -first[item.nodeid], module if dear else cost

    return sorted(items, key=rank)
