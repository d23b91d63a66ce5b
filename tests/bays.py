"""Sessions that are under way, as their journals show them, and the bench page beside them."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

from voiceassist import resources
from voiceassist.record import times
from voiceassist.record.folder import create
from voiceassist.record.journal import Journal

Line = dict[str, object]

CAUTION: Line = {
    "event": "caution", "step": "feed", "name": "blades", "signal": "WARNING", "acknowledge": True,
    "text": "WARNING: the fan may start. Keep clear.",
}  # fmt: skip
ASK: Line = {
    "event": "ask", "step": "feed", "text": "Measure the feed.", "limit": "12 V to 13 V",
}  # fmt: skip
HEARD: Line = {
    "event": "heard", "step": "feed", "words": "twelve point five volts", "probability": 0.87,
    "meanings": [{"kind": "reading", "value": "12.5", "unit": "V"}], "start_s": 8.0, "end_s": 9.0,
}  # fmt: skip
READING: Line = {"event": "reading", "step": "feed", "text": "12.5 V.", "shown": "12.5 V"}
VERDICT: Line = {
    "event": "verdict", "step": "feed", "text": "That is good.", "reading": "12.5 V",
    "limit": "12 V to 13 V", "verdict": "pass", "low": "12 V", "high": "13 V",
    "guard_low": "12.1 V", "guard_high": "12.9 V",
}  # fmt: skip
FINDING: Line = {
    "event": "finding", "step": "feed", "name": "broken", "text": "Finding: the wire is broken.",
    "cause": "the wire is broken", "correction": "mend the wire", "because": ["feed: 3 V"],
}  # fmt: skip
END: Line = {"event": "end", "step": "feed", "text": "The job is closed.", "outcome": "found"}


class Bay:
    """A session that holds its journal open, as one that runs does.

    Args:
        records: the folder.
        procedure: a shipped one, whose file it brings along; empty for none.
        rehearsal: what is practised; None for a job.
        facts: of the job.
    """

    def __init__(
        self,
        records: Path,
        procedure: str = "",
        rehearsal: Mapping[str, str] | None = None,
        **facts: str,
    ) -> None:
        self.folder = create(records, procedure or "fan", times.here())
        if procedure:
            self.folder.write(
                "procedure.yaml", resources.read_text(resources.procedure_path(procedure))
            )
        self.journal = Journal.create(self.folder.journal, times.here)
        self.tell(
            {
                "event": "session", "step": "", "text": "Fan", "title": "Fan runs too fast",
                "procedure": procedure or "fan", "facts": facts,
                **({"rehearsal": rehearsal} if rehearsal else {}),
            }
        )  # fmt: skip

    @property
    def id(self) -> str:
        """What the session is called."""
        return self.folder.id

    def tell(self, *lines: Mapping[str, object]) -> None:
        """Write lines."""
        self.journal.append(list(lines))

    def close(self) -> None:
        """End the process, whether the job is closed or not."""
        self.journal.close()


@dataclass(frozen=True, slots=True)
class Answer:
    """Of the server.

    Parts:
        cookie: that it sets; empty for none.
    """

    status: int
    text: str
    cookie: str


class Bench:
    """The command, running.

    Parts:
        url: where the page is, as it was printed.
        process: it.
    """

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self.process = process
        assert process.stdout is not None
        self.about = json.loads(process.stdout.readline() or "{}")
        self.url = str(self.about.get("url", ""))

    @property
    def address(self) -> tuple[str, int]:
        """Host and port."""
        parts = urlsplit(self.url)
        return parts.hostname or "", parts.port or 0

    def ask(
        self, path: str = "/bench/", method: str = "GET", body: bytes | None = None, **headers: str
    ) -> Answer:
        """What the server answers; underscores in names of headers stand for hyphens."""
        with closing(HTTPConnection(*self.address, timeout=20)) as connection:
            named = {name.replace("_", "-"): value for name, value in headers.items()}
            connection.request(method, path, body, named)
            got = connection.getresponse()
            return Answer(got.status, got.read().decode(), str(got.getheader("set-cookie", "")))

    def end(self) -> str:
        """Stop it; what it told people."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        return self.process.communicate(timeout=20)[1]


@contextmanager
def bench(records: Path, *arguments: str, home: Path | None = None) -> Iterator[Bench]:
    """The command on any free port."""
    own = {**os.environ, "HOME": str(home or records.parent)}
    own = {name: value for name, value in own.items() if not name.startswith("XDG_")}
    process = subprocess.Popen(
        [
            sys.executable, "-m", "voiceassist", "bench", "--records", str(records),
            *(() if "--port" in arguments else ("--port", "0")), "--json", *arguments,
        ],
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env=own,
    )  # fmt: skip
    running = Bench(process)
    try:
        yield running
    finally:
        running.end()
