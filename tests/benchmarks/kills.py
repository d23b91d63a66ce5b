"""Kills a typed session with SIGKILL again and again: ``kills.py [--kills N] [--seed N] [--json]``.

Each run is a process of its own, forked when all is imported, that reads the technician's words
from a pipe. It is killed at a random moment, then gone on with as ``run --resume`` does. What it
had given out must be in the journal, nothing may be there twice, and when the job ends it must
have come to the same readings, verdicts, path and outcome as one that nobody disturbed.
"""

import argparse
import json
import os
import random
import select
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from importlib import import_module
from pathlib import Path

from voiceassist.app import build
from voiceassist.cli.main import main as voiceassist
from voiceassist.record.chain import Harm
from voiceassist.record.read_journal import verify

PROCEDURE = "heater-fan-module"
#: What the technician says, up to the end of the job.
JOB = [
    "affirm", "done", "twelve point eight volts", "correction twelve point six volts",
    "affirm", "done", "twelve point five volts", "bright", "bright",
    "zero point zero five volts", "done", "eight point four volts", "done",
    "two point five volts", "done", "twelve point three volts", "done", "affirm", "affirm",
    "done", "seven point two amps", "twelve point two volts", "affirm", "done", "done",
    "affirm", "done", "four point two volts", "done", "twelve point one volts", "affirm",
    "done",
]  # fmt: skip
#: Kinds of line that make up what a job came to.
COUNTED = frozenset({"reading", "verdict", "condition", "finding", "end", "acknowledged", "done"})
#: A kill strikes after a line given out, at a moment within the time of so many more.
_LINES_LATER = 3
#: One kill in so many strikes at any moment from the start of the process on.
_AT_ANY_MOMENT = 4
_PATIENCE_S = 60.0

Line = dict[str, object]
Fact = tuple[object, ...]


@dataclass(slots=True)
class Tally:
    """What came of it.

    Parts:
        kills: how many processes were killed; torn: journals that ended in half a line then.
        sessions: jobs that came to their end; resumed: how often one was gone on with.
        lost: lines that were given out and are not kept, and facts that are missing at the end.
        doubled: words and facts that are there twice.
        otherwise: jobs that took another path or came to another end.
        where: place in the job, to how often a kill struck there.
    """

    kills: int = 0
    torn: int = 0
    sessions: int = 0
    resumed: int = 0
    lost: int = 0
    doubled: int = 0
    otherwise: int = 0
    where: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Run:
    """One process.

    Parts:
        lines: what it gave out.
        code: its exit code; the negative number of the signal that killed it.
        first_s, seconds: how long its first line took, and all of it.
    """

    lines: list[Line]
    code: int
    first_s: float
    seconds: float

    @property
    def killed(self) -> bool:
        """It did not end by itself."""
        return self.code == -signal.SIGKILL


def kept(records: Path) -> list[Line]:
    """The lines of the only session there; none before it is begun."""
    journals = [path for path in records.glob("*/journal.jsonl") if path.stat().st_size]
    lines: list[Line] = []
    for journal in journals:
        report = verify(journal)
        assert report.fault is None or report.fault.harm is Harm.TORN, report.fault
        lines += [entry.to_json() for entry in report.entries]
    return lines


def heard(lines: Sequence[Line]) -> list[str]:
    """The words in ``lines``."""
    return [str(line["words"]) for line in lines if line["event"] == "heard"]


def facts(lines: Sequence[Line]) -> list[Fact]:
    """What the job came to, without times; a condition that is asked for again is no fact yet."""
    names = ("event", "step", "text", "name", "value", "met", "verdict", "outcome")
    came = [line for line in lines if line["event"] in COUNTED and line.get("met") is not False]
    return [tuple(map(line.get, names)) for line in came]


def path_of(lines: Sequence[Line]) -> list[object]:
    """The steps, as they were asked."""
    steps = [line["step"] for line in lines if line["event"] in COUNTED]
    return [step for at, step in enumerate(steps) if at == 0 or step != steps[at - 1]]


def run(records: Path, words: Sequence[str], kill_s: float | None = None, after: int = 0) -> Run:
    """Begin or resume the job in a process, and kill it.

    Args:
        records: folder of records, of this job alone.
        words: what is said.
        kill_s: when to kill it, in seconds; None for never.
        after: the line given out from which the seconds are counted; 0 for its start.
    """
    task = ["--resume"] if kept(records) else [PROCEDURE]
    arguments = ["run", *task, "--typed", "--silent", "--json", "--records", str(records)]
    (words_in, words_out), (lines_in, lines_out) = os.pipe(), os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(words_out)
        os.close(lines_in)
        _child(arguments, words_in, lines_out, records.with_suffix(".told"))
    os.close(words_in)
    os.close(lines_out)
    with suppress(BrokenPipeError):
        os.write(words_out, "".join(f"{line}\n" for line in words).encode())
    os.close(words_out)
    done = _watched(pid, lines_in, kill_s, after)
    if not done.killed and done.code not in {0, 1}:
        raise SystemExit(
            f"exit code {done.code}: {records.with_suffix('.told').read_text()[-2000:]}"
        )
    return done


def _child(arguments: Sequence[str], words_in: int, lines_out: int, told: Path) -> None:
    """Never returns; what people would be told goes to the file ``told``."""
    code = 70
    try:
        os.dup2(words_in, 0)
        os.dup2(lines_out, 1)
        os.dup2(os.open(told, os.O_WRONLY | os.O_CREAT | os.O_APPEND), 2)
        os.close(words_in)
        os.close(lines_out)
        sys.stdin = os.fdopen(0, encoding="utf-8")
        sys.stdout = os.fdopen(1, "w", encoding="utf-8")
        voiceassist(list(arguments))
    except SystemExit as done:
        code = done.code if isinstance(done.code, int) else 70
    except BaseException:
        traceback.print_exc()
        sys.stderr.flush()
    finally:
        os._exit(code)


def _watched(pid: int, lines_in: int, kill_s: float | None, after: int) -> Run:
    began, first_s, after_s, given = time.monotonic(), 0.0, 0.0, b""
    while time.monotonic() - began < _PATIENCE_S:
        due_s = None if kill_s is None or (after and not after_s) else after_s + kill_s
        if due_s is not None and time.monotonic() - began >= due_s:
            os.kill(pid, signal.SIGKILL)  # not reaped yet, so the number is still its own
            kill_s = None
        wait_s = 1.0 if due_s is None else max(0.0, began + due_s - time.monotonic())
        if select.select([lines_in], [], [], min(wait_s, 1.0))[0]:
            part = os.read(lines_in, 1 << 16)
            if not part:
                break
            given += part
            first_s = first_s or time.monotonic() - began
            if after and not after_s and given.count(b"\n") >= after:
                after_s = time.monotonic() - began
    else:
        os.kill(pid, signal.SIGKILL)
        raise SystemExit("a session did not end")
    os.close(lines_in)
    _, status = os.waitpid(pid, 0)
    code = os.waitstatus_to_exitcode(status)
    lines = [json.loads(line) for line in given.split(b"\n")[:-1]]
    return Run(lines, code, first_s, time.monotonic() - began)


def compared(records: Path, undisturbed: Sequence[Line], tally: Tally) -> None:
    """Hold a job that came to its end against the one that nobody disturbed."""
    lines = kept(records)
    want, have = Counter(facts(undisturbed)), Counter(facts(lines))
    tally.lost += (want - have).total()
    tally.doubled += (have - want).total()
    tally.otherwise += path_of(lines) != path_of(undisturbed) or facts(lines) != facts(undisturbed)


def kill_again_and_again(home: Path, kills: int, seed: int) -> Tally:
    """Run jobs in folders of ``home`` until so many processes were killed."""
    warm()
    chance, tally = random.Random(seed), Tally()
    whole = run(home / "undisturbed", JOB)
    undisturbed = kept(home / "undisturbed")
    assert heard(undisturbed) == JOB
    line_s = (whole.seconds - whole.first_s) / len(whole.lines)
    records = home / "0"
    while tally.kills < kills:
        lines = kept(records)
        left = JOB[len(heard(lines)) :]
        rest = max(1, len(whole.lines) * len(left) // len(JOB))
        after, longest_s = chance.randint(1, rest), _LINES_LATER * line_s
        if chance.randrange(_AT_ANY_MOMENT) == 0:
            after, longest_s = 0, whole.seconds * rest / len(whole.lines)
        tally.resumed += bool(lines)
        done = run(records, left, chance.uniform(0, longest_s), after)
        _count(records, done, tally)
        if not done.killed or any(line["event"] == "end" for line in kept(records)):
            tally.sessions += 1
            compared(records, undisturbed, tally)
            records = home / str(tally.sessions)
    if kept(records):
        tally.resumed += 1
        run(records, JOB[len(heard(kept(records))) :])
        tally.sessions += 1
        compared(records, undisturbed, tally)
    return tally


def _count(records: Path, done: Run, tally: Tally) -> None:
    lines = kept(records)
    safe = {line["hash"] for line in lines}
    tally.lost += sum(line["hash"] not in safe for line in done.lines)
    words = heard(lines)
    tally.doubled += max(0, len(words) - len(JOB))
    tally.lost += words != JOB[: len(words)]
    if done.killed:
        tally.kills += 1
        tally.where[_place(lines)] = tally.where.get(_place(lines), 0) + 1
        sizes = [verify(path).tail for path in records.glob("*/journal.jsonl")]
        tally.torn += any(sizes)


def _place(lines: Sequence[Line]) -> str:
    """Where in the job the last line stands."""
    if not lines:
        return "before the first line"
    over = any(line["event"] == "end" for line in lines)
    return "after the end" if over else f"step {lines[-1]['step'] or 'of the opening'}"


def warm() -> None:
    """Load the grammar and the page once, for all the processes that are forked from here."""
    import_module("voiceassist.page.html")
    shop = build.Components(build.settings({}))
    language = shop.language
    build.Components.language = property(lambda _: language)  # type: ignore[assignment]


def main() -> None:
    """Kill and print; exit 1 when something was lost, doubled or came out otherwise."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true", help="one JSON object")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        began = time.monotonic()
        tally = kill_again_and_again(Path(folder), asked.kills, asked.seed)
        took_s = time.monotonic() - began
    if asked.json:
        print(json.dumps(asdict(tally)))
    else:
        for name, value in asdict(tally).items():
            goal = "   (goal: 0)" if name in {"lost", "doubled", "otherwise"} else ""
            if name != "where":
                print(f"{name:<10} {value:>5}{goal}")
        print(f"seconds    {took_s:>5.0f}")
        print("killed at:")
        for kind, count in Counter(tally.where).most_common():
            print(f"  {kind:<22} {count:>5}")
    sys.exit(1 if tally.lost or tally.doubled or tally.otherwise else 0)


if __name__ == "__main__":
    main()
