"""How fast the archive finds and takes in: ``archive.py [--sessions N] [--archive URL]``.

Puts N made-up sessions of 20 readings each (100 000 unless told) through the same door as real
ones, then asks for them by every field and by words, 100 questions of each kind, 20 answers at
most, as ``voiceassist records find`` does. Then writes journals and rebuilds from them.
The archive is a new SQLite file unless ``--archive`` names an empty database. Prints what was
found beside the goals: every kind of question under 100 ms at the 95th percentile, a rebuild
of more than 5000 lines a second. Exit 1 when a goal is missed.
"""

import argparse
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from voiceassist.archive.find import Wanted
from voiceassist.archive.rows import TakenSession
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.record import folder, times
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.summary import Measured, SessionSummary

GOAL_MS, GOAL_LINES = 100, 5000
READINGS, QUESTIONS, ANSWERS = 20, 100, 20
JOURNALS, FOLDERS = 300, 5000
BEGAN = datetime(2020, 1, 1, 7, 0, tzinfo=UTC)
STEPS = [f"step-{n}" for n in range(READINGS)]
VERDICTS = ["pass"] * 80 + ["low"] * 12 + ["high"] * 6 + ["too close to call"] * 2
PARTS = ["fuse", "earth", "module", "relay", "switch", "motor", "plug", "wire", "lamp", "sensor"]
FAULTS = ["is open", "is corroded", "does not follow", "is loose", "draws too much", "is bent"]


def words(dice: random.Random) -> list[str]:
    """Two thousand made-up words; the first ones are the commonest."""
    parts = ["ba", "ke", "lo", "mi", "nu", "ra", "se", "ti", "vo", "zu"]
    return ["".join(dice.choices(parts, k=dice.randint(2, 4))) for _ in range(2000)]


class Shop:
    """Makes sessions, each like those of a shop: few procedures, many vehicles, common words."""

    def __init__(self, seed: int = 1) -> None:
        self.dice = random.Random(seed)
        self.vocabulary = words(self.dice)
        self._weights = [1 / rank for rank in range(1, len(self.vocabulary) + 1)]

    def phrase(self, length: int) -> str:
        """Words, the common ones more often."""
        return " ".join(self.dice.choices(self.vocabulary, self._weights, k=length))

    def session(self, number: int) -> TakenSession:
        """Session ``number``, half an hour after the one before."""
        began = BEGAN + timedelta(minutes=30 * number)
        at = times.written(began)
        part, fault = self.dice.choice(PARTS), self.dice.choice(FAULTS)
        told = SessionSummary(
            began=at,
            last_at=at,
            ended=True,
            procedure=f"procedure-{self.dice.randrange(40)}",
            procedure_sha256=f"{number % 40:064x}",
            facts={"repair order": f"RO {number}", "vehicle": self._vehicle()},
            complaint=f"the {part} does nothing",
            outcome="repaired",
            cause=f"the {part} of circuit {self.dice.randrange(500)} {fault}",
            readings=tuple(self._readings(at)),
            said=tuple(self.phrase(5) for _ in range(30)),
        )
        return TakenSession(f"{began:%Y%m%d-%H%M%S}-made-{number:06x}", told, [f"{number:064x}"])

    def _vehicle(self) -> str:
        return f"Quillback {self.dice.randrange(12)}, number {self.dice.randrange(3000)}"

    def _readings(self, at: str) -> Iterator[Measured]:
        volt = unit("V")
        for seq, step in enumerate(STEPS, 1):
            value = Quantity(Decimal(self.dice.randrange(1500)).scaleb(-2), volt)
            verdict = self.dice.choice(VERDICTS)
            yield Measured(seq, at, step, str(value), value, "8 V to 9 V", verdict)


def questions(shop: Shop, sessions: int) -> dict[str, Callable[[], Wanted]]:
    """Kinds of question; each call asks something else."""
    dice = shop.dice

    def day() -> datetime:
        return BEGAN + timedelta(minutes=30 * dice.randrange(sessions))

    def rare() -> str:
        return dice.choice(shop.vocabulary[500:])

    return {
        "no field": lambda: Wanted(limit=ANSWERS),
        "repair order": lambda: Wanted(order=f"ro{dice.randrange(sessions)}", limit=ANSWERS),
        "vehicle": lambda: Wanted(vehicle=shop._vehicle(), limit=ANSWERS),
        "vehicle, begin of a word": lambda: Wanted(vehicle="quill* 7", limit=ANSWERS),
        "procedure": lambda: Wanted(procedure=f"procedure-{dice.randrange(40)}", limit=ANSWERS),
        "verdict": lambda: Wanted(verdict=dice.choice(VERDICTS), limit=ANSWERS),
        "verdict nobody got": lambda: Wanted(verdict="not valid", limit=ANSWERS),
        "cause": lambda: Wanted(cause=f"{dice.choice(PARTS)} open", limit=ANSWERS),
        "common word": lambda: Wanted(said=dice.choice(shop.vocabulary[:5]), limit=ANSWERS),
        "rare word": lambda: Wanted(said=rare(), limit=ANSWERS),
        "unknown word": lambda: Wanted(said=f"x{dice.random()}", limit=ANSWERS),
        "two common words in a row": lambda: Wanted(said=f'"{shop.phrase(2)}"', limit=ANSWERS),
        "three words": lambda: Wanted(said=shop.phrase(3), limit=ANSWERS),
        "since and until": lambda: Wanted(
            since=(d := day()), until=d + timedelta(7), limit=ANSWERS
        ),
        "words, verdict, procedure": lambda: Wanted(
            said=shop.phrase(1), verdict="high", procedure="procedure-7", limit=ANSWERS
        ),
        "vehicle and verdict": lambda: Wanted(
            vehicle=f"number {dice.randrange(3000)}", verdict="high", limit=ANSWERS
        ),
    }


def milliseconds(work: Callable[[], object]) -> float:
    """How long ``work`` takes."""
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000


def fill(archive: Archive, shop: Shop, sessions: int) -> None:
    """Put the sessions, 500 at a time."""
    began = time.perf_counter()
    for first in range(0, sessions, 500):
        archive.put([shop.session(n) for n in range(first, min(first + 500, sessions))])
    archive.tune()
    took = time.perf_counter() - began
    print(f"{sessions} sessions with {sessions * READINGS} readings put in {took:.0f} s")


def ask(archive: Archive, shop: Shop, sessions: int) -> bool:
    """Ask everything and print the table; True when every goal is met."""
    print(f"\n{'find by, milliseconds':<34} {'median':>8} {'p95':>8} {'goal':>8}")
    good = True
    for kind, wanted in questions(shop, sessions).items():
        took = [milliseconds(lambda w=wanted: archive.find(w())) for _ in range(QUESTIONS)]  # type: ignore[misc]
        p95 = statistics.quantiles(took, n=20)[-1]
        good = good and p95 < GOAL_MS
        print(f"{kind:<34} {statistics.median(took):>8.2f} {p95:>8.2f} {'<' + str(GOAL_MS):>8}")
    took = [milliseconds(lambda: archive.trends("step 7"))]
    print(f"{'(trend of one test point)':<34} {took[0]:>8.0f}")
    return good


# --- rebuild ---


def lines(shop: Shop) -> Iterator[dict[str, object]]:
    """The lines of a session, like those that a spoken one leaves."""
    yield {"event": "session", "procedure": "made", "title": "Made", "facts": {"vehicle": "7"}}
    for step in STEPS:
        heard = shop.phrase(5)
        meaning = {"kind": "reading", "name": "", "text": "", "unit": "V", "value": "12.60"}
        rest = [{"meanings": [meaning], "probability": 0.9, "words": shop.phrase(5)}] * 4
        yield {"event": "ask", "step": step, "text": f"Measure the voltage. {shop.phrase(9)}"}
        yield {"event": "heard", "words": heard, "meanings": [meaning], "candidates": rest}
        yield {"event": "reading", "step": step, "value": "12.60", "unit": "V", "shown": "12.60 V"}
        yield {"event": "verdict", "step": step, "reading": "12.60 V", "verdict": "pass"}
        yield {"event": "condition", "name": "key", "state": "off", "met": True, "step": step}
    yield {"event": "end", "outcome": "found"}


def write_journals(records: Path, shop: Shop, count: int, most: int) -> int:
    """Write ``count`` journals of at most ``most`` lines; the lines of all."""
    written = 0
    for number in range(count):
        began = BEGAN + timedelta(minutes=number)
        made = folder.create(records, "made", began)
        prev, content = FIRST_PREV, b""
        for seq, fields in enumerate(list(lines(shop))[:most], 1):
            entry = Entry.made(fields, seq=seq, at=times.written(began), prev=prev)
            prev, content, written = entry.hash, content + entry.line, written + 1
        made.journal.write_bytes(content)
    return written


def rebuild(archive: Archive, shop: Shop, home: Path) -> bool:
    """Rebuild from journals, and look through many that did not change."""
    records, many = home / "records", home / "many"
    written = write_journals(records, shop, JOURNALS, 1000)
    sync(archive, records)
    took = milliseconds(lambda: sync(archive, records, anew=True)) / 1000
    rate = written / took
    print(f"\nrebuild: {written} lines in {took:.1f} s, {rate:.0f} lines/s (goal: > {GOAL_LINES})")
    with Archive.open(str(home / "many.db")) as other:
        write_journals(many, shop, FOLDERS, 2)
        sync(other, many)
        took = milliseconds(lambda: sync(other, many))
        print(f"one look through {FOLDERS} sessions that did not change: {took:.0f} ms")
    return rate > GOAL_LINES


def main(arguments: Sequence[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--sessions", type=int, default=100_000)
    parser.add_argument("--archive", default="", help="URL of an empty database")
    asked = parser.parse_args(arguments)
    shop = Shop()
    with tempfile.TemporaryDirectory() as home:
        where = asked.archive or str(Path(home) / "archive.db")
        with Archive.open(where, "benchmark") as archive:
            fill(archive, shop, asked.sessions)
            good = ask(archive, shop, asked.sessions)
        with Archive.open(where, "rebuild") as archive:
            good = rebuild(archive, shop, Path(home)) and good
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
