"""How long the pages of a session of 300 steps take: ``python tests/benchmarks/report.py``.

Prints each figure beside its goal. A step has a caution, changes, questions, words heard with
five candidates, and a reading with its verdict: about ten lines of the journal. "First" is
the first page in a fresh interpreter, with all that has to be loaded for it; "command" is
``voiceassist records report`` as a whole, journal checked and archive opened.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path

from voiceassist.page.html import html
from voiceassist.page.pdf import pdf
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import SessionReport, session_report
from voiceassist.record.folder import create
from voiceassist.record.journal import Journal

STEPS, TIMES, GOAL_S = 300, 5, 1.0
Line = dict[str, object]

_HEARD: Line = {
    "event": "heard",
    "decision": "accept",
    "probability": 0.994,
    "candidates": [
        {"words": "twelve point five volts", "probability": 0.99, "meanings": []},
        *({"words": "twelve point nine volts", "probability": 0.002, "meanings": []},) * 4,
    ],
}
_FIRST = """
import json, sys, time
lines = json.load(sys.stdin)
began = time.perf_counter()
from voiceassist.page.session_report import session_report
from voiceassist.page.{form} import {form}
{form}(session_report(lines))
print(time.perf_counter() - began)
"""


def head() -> Line:
    """The first line of the journal."""
    facts = {"repair order": "1042", "vehicle": "Quillback 26, number 7", "technician": "A. P."}
    return {"event": "session", "procedure": "long", "title": "A long procedure", "facts": facts}


def step(number: int) -> Iterator[Line]:
    """The lines of a step."""
    name = {"step": f"step-{number}"}
    volts = [{"kind": "reading", "value": "12.5", "unit": "V"}]
    done = [{"kind": "answer", "name": "done"}]
    yield {"event": "caution", "name": "blades", "signal": "WARNING", **name,
           "text": "WARNING: the fan may start by itself. Keep fingers clear of it."}  # fmt: skip
    yield {"event": "condition", "met": False, "text": "Turn the key to run.", **name}
    yield {"event": "ask", "text": "Say done when ready.", **name}
    yield {**_HEARD, "words": "done", "meanings": done, **name}
    yield {"event": "condition", "met": True, "name": "key", "state": "run", **name}
    yield {"event": "ask", **name,
           "text": f"Measure the voltage from pin {number} of the plug, the thin violet wire, to"
           " body earth. Body earth is bare metal of the body, away from the module."}  # fmt: skip
    yield {**_HEARD, "words": "twelve point five volts", "meanings": volts, **name}
    yield {"event": "reading", "value": "12.5", "unit": "V", "shown": "12.5 V", **name}
    yield {"event": "verdict", "reading": "12.5 V", "limit": "12.1 V to 12.8 V", **name,
           "verdict": "pass", "text": "That is good.", "low": "12.1 V", "high": "12.8 V",
           "guard_low": "12.172 V", "guard_high": "12.728 V"}  # fmt: skip


def written(records: Path) -> list[Line]:
    """A session folder in ``records``; its journal's lines."""
    zero, ticks = datetime(2026, 1, 2, 8, 0, tzinfo=UTC), count()
    folder = create(records, "long", zero)
    lines = [head(), *(line for n in range(1, STEPS + 1) for line in step(n))]
    with Journal.create(folder.journal, lambda: zero + timedelta(seconds=next(ticks))) as journal:
        journal.append(lines)
    content = folder.journal.read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in content]


def median_s(work: Callable[[], object]) -> float:
    """Median time of ``work``."""

    def once() -> float:
        began = time.perf_counter()
        work()
        return time.perf_counter() - began

    return statistics.median(once() for _ in range(TIMES))


def first_s(form: str, lines: list[Line]) -> float:
    """Median time of the first page in a fresh interpreter."""

    def once() -> float:
        done = subprocess.run(
            [sys.executable, "-c", _FIRST.format(form=form)],
            input=json.dumps(lines),
            capture_output=True,
            text=True,
            check=True,
        )
        return float(done.stdout)

    return statistics.median(once() for _ in range(TIMES))


def command(form: str, records: Path, reader: str = "shop") -> None:
    """The whole command, its page thrown away."""
    options = ["records", "report", "last", "--as", form, "--for", reader]
    options += ["--records", str(records)]
    subprocess.run(
        [sys.executable, "-m", "voiceassist", *options], check=True, stdout=subprocess.DEVNULL
    )


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        records = Path(name)
        lines = written(records)
        told: SessionReport = session_report(lines)
        makers = {"html": lambda: html(told, Reader.SHOP), "pdf": lambda: pdf(told, Reader.SHOP)}
        print(f"{STEPS} steps, {len(lines)} lines; medians of {TIMES}, seconds, goal {GOAL_S}")
        print(f"lines to values  {median_s(lambda: session_report(lines)):.3f}")
        for form, make in makers.items():
            print(
                f"{form:<5} from values {median_s(make):.3f}, first {first_s(form, lines):.3f}",
                end="",
            )
            print(f", command {median_s(partial(command, form, records)):.3f}")
        for form in makers:
            took = median_s(partial(command, form, records, "customer"))
            print(f"{form:<5} for the customer, command {took:.3f}")


if __name__ == "__main__":
    main()
