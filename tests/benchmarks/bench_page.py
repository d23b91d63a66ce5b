"""The bench page: from an event to the picture, its size, first paint, memory, and what it costs.

    python tests/benchmarks/bench_page.py --watchers 20 --events 200

One page of a headless Chromium watches with as many others as are asked for; an event is a line
that a session's journal takes (one write, one fsync), and its picture is there when the browser
has changed the page and is about to paint it. Both clocks are of this computer.
"""

import argparse
import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from http.client import HTTPConnection
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import browser
from bays import ASK, CAUTION, HEARD, READING, VERDICT, Bay, Bench, bench

from voiceassist import resources

#: Notes when each new step stands in the page, at the next frame.
_WATCH = """
window.seen = {};
new MutationObserver(() => {
  const words = document.querySelector('#step .ask');
  const number = words && /number (\\d+)/.exec(words.innerText);
  if (number && !(number[1] in window.seen)) {
    window.seen[number[1]] = 0;
    requestAnimationFrame(() => { window.seen[number[1]] = Date.now() / 1000; });
  }
}).observe(document.getElementById('step'), {childList: true, subtree: true, characterData: true});
0
"""


def main() -> None:
    """Measure, and print a table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--watchers", type=int, default=20)
    asked.add_argument("--events", type=int, default=200)
    asked.add_argument("--pause", type=float, default=0.15, help="seconds between events")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as name, ExitStack() as stack:
        folder = Path(name)
        bay = _bay(folder / "records")
        there = stack.enter_context(bench(folder / "records"))
        chromium = stack.enter_context(browser.running(folder / "profile"))
        page = chromium.page()
        page.size(1280, 800)
        _size_and_paint(there, bay, page)
        for _ in range(given.watchers - 1):
            stack.enter_context(_watching(there, bay))
        page.eval(_WATCH)
        late = _events(bay, page, given.events, given.pause)
        _tell(f"event to picture, {given.watchers} watchers", late)
        _memory(there)
        bay.close()
    _answers(given.events)


def _bay(records: Path) -> Bay:
    made = Bay(records, "heater-fan-module", complaint="fan runs", vehicle="number 7")
    made.folder.write("meter.yaml", resources.read_text(resources.meter_path("ordinary")))
    made.tell(CAUTION, ASK, HEARD, READING, VERDICT)
    return made


def _size_and_paint(there: Bench, bay: Bay, page: browser.Page) -> None:
    """All that a first visit loads, and when something is painted."""
    url = f"{there.url}session/{bay.id}"
    page.go(url)
    page.wait("document.querySelector('.step-picture')", 60)
    paints = []
    for _ in range(7):
        page.call("Network.clearBrowserCache")
        page.go(url)
        page.wait("performance.getEntriesByName('first-contentful-paint').length")
        paints.append(
            page.eval("performance.getEntriesByName('first-contentful-paint')[0].startTime") / 1000
        )
    _tell("first contentful paint", paints)
    size = page.eval(
        "['navigation', 'resource'].flatMap(kind => performance.getEntriesByType(kind))"
        ".filter(e => !e.name.endsWith('/events')).reduce((sum, e) => sum + e.decodedBodySize, 0)"
    )
    print(f"page with style, script and the step's picture: {size / 1000:.1f} kB")


@contextmanager
def _watching(there: Bench, bay: Bay) -> Iterator[None]:
    """Another watcher, who reads all that he is sent."""
    connection = HTTPConnection(*there.address, timeout=60)
    connection.request("GET", f"/bench/session/{bay.id}/events")
    answer = connection.getresponse()

    def read() -> None:
        with suppress(Exception):
            while answer.readline():
                pass

    threading.Thread(target=read, daemon=True).start()
    try:
        yield
    finally:
        connection.close()


def _events(bay: Bay, page: browser.Page, count: int, pause_s: float) -> list[float]:
    sent: dict[int, float] = {}
    for number in range(count):
        line = {**ASK, "text": f"Measure number {number}."}
        sent[number] = time.time()
        bay.tell(line)
        time.sleep(pause_s)
    page.wait(f"window.seen['{count - 1}'] > 0")
    seen = page.eval("window.seen")
    lost = [number for number in sent if str(number) not in seen]
    print(f"pictures that another overtook: {len(lost)} of {count}")
    return [seen[str(number)] - at for number, at in sent.items() if seen.get(str(number))]


def _memory(there: Bench) -> None:
    main_pid = there.process.pid
    print(f"memory of the bench process: {_resident_mb(main_pid):.1f} MB")
    beside = [_resident_mb(pid) for pid in _children(main_pid)]
    told = ", ".join(f"{each:.0f}" for each in beside if each > 20)
    print(f"of the processes beside it, let go when nothing is asked of them: {told or 'none'} MB")


def _resident_mb(pid: int) -> float:
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _children(pid: int) -> list[int]:
    return [int(each) for each in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def _answers(count: int) -> None:
    """What a session waits for its journal, with nobody watching and with the page beside it.

    That is all the two have in common: a line kept, and a look whether a note is there.
    """
    from voiceassist.app.live.instructor import InstructorNotes

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        bay = _bay(folder / "records")
        notes = InstructorNotes()
        notes.use(bay.folder.path, [])
        alone = [_kept(bay, notes) for _ in range(count)]
        with bench(folder / "records") as there, _watching(there, bay):
            time.sleep(1)
            beside = [_kept(bay, notes) for _ in range(count)]
        began = time.perf_counter()
        for _ in range(count):
            notes.next()
        look_s = (time.perf_counter() - began) / count
        bay.close()
    _tell("a line kept, no page", alone)
    _tell("a line kept, a page beside it", beside)
    print(f"looking for a note, at each pause: {look_s * 1e6:.0f} µs")


def _kept(bay: Bay, notes: object) -> float:
    began = time.perf_counter()
    bay.tell(ASK)
    took = time.perf_counter() - began
    time.sleep(0.02)
    return took


def _tell(what: str, seconds: Sequence[float]) -> None:
    ordered = sorted(seconds)
    p95 = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    middle = statistics.median(ordered)
    print(
        f"{what}: median {middle * 1000:.1f} ms, 95th percentile {p95 * 1000:.1f} ms,"
        f" most {ordered[-1] * 1000:.1f} ms, of {len(ordered)}"
    )


if __name__ == "__main__":
    main()
