"""The journal and kill -9: what was acknowledged is there, once, and in order.

A kill shows what a crash of the program does; what a power cut does depends on the disk too.
"""

import random
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify

WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from voiceassist.record.journal import Journal
journal = Journal.open(Path(sys.argv[1]), lambda: datetime.now(UTC))
while True:
    entries = journal.append([{"event": "say", "text": "x" * 300}] * (1 + len(journal.entries) % 3))
    assert journal.durable
    print(entries[-1].seq, flush=True)
"""


def acknowledged_before_the_kill(path: Path, chance: random.Random) -> int:
    """Number of the last line a writer had acknowledged when it was killed at a random moment."""
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE)
    with writer:
        assert writer.stdout is not None
        first = writer.stdout.readline()
        time.sleep(chance.uniform(0, 0.03))
        writer.send_signal(signal.SIGKILL)
        rest = writer.stdout.read()
    assert writer.returncode == -signal.SIGKILL
    whole = [line for line in (first + rest).split(b"\n")[:-1] if line]
    return int(whole[-1])


def kill(times: int, path: Path, chance: random.Random) -> None:
    Journal.create(path, lambda: datetime.now(UTC)).close()
    for _ in range(times):
        last = acknowledged_before_the_kill(path, chance)
        entries = read(path)
        assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))
        # One batch more may be there: kept, but killed before it was acknowledged.
        assert last <= len(entries) <= last + 3
    Journal.open(path, lambda: datetime.now(UTC)).close()
    assert verify(path).fault is None


def test_no_acknowledged_line_is_missing_or_doubled_after_25_kills(path: Path) -> None:
    kill(25, path, random.Random(25))


@pytest.mark.slow
@pytest.mark.census
def test_no_acknowledged_line_is_missing_or_doubled_after_200_kills(tmp_path: Path) -> None:
    for part in range(8):
        kill(25, tmp_path / f"{part}.jsonl", random.Random(part))
