"""The page in a real browser: sessions are followed by whoever looks, and by nobody else."""

import csv
import io
import json
import re
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from html import unescape
from pathlib import Path

import browser
import pytest
from bays import ASK, CAUTION, END, FINDING, HEARD, READING, VERDICT, Answer, Bay, Bench, bench
from browser import Browser, Page
from running import call

from voiceassist.record.instructor import NOTE, waiting

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(browser.lacking()), reason=browser.lacking() or "-"),
]
HOSTILE = "<script>document.title='hostile'</script><img src=x onerror=document.title='hostile'>"
VOLTS = {**READING, "value": "12.5", "unit": "V"}
AXE = Path(__file__).parent.parent / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with browser.running(tmp_path_factory.mktemp("profile")) as running:
        yield running


@pytest.fixture(scope="module")
def there(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """The page of a folder that the tests of this module share."""
    records = tmp_path_factory.mktemp("home") / "records"
    records.mkdir()
    with bench(records) as running:
        yield running


@pytest.fixture
def records(there: Bench) -> Path:
    return Path(there.about["records"])


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    opened = chromium.page()
    opened.size(1280, 800)
    yield opened
    chromium.close(opened)


def at(there: Bench, bay: Bay) -> str:
    return f"{there.url}session/{bay.id}"


def test_a_job_is_followed_to_its_end_and_then_its_page_is_shown(
    there: Bench, records: Path, page: Page
) -> None:
    page.go(there.url)
    bay = Bay(records, complaint="cab heater fan runs", vehicle="number 7")
    page.wait_for("cab heater fan runs")  # it appears by itself
    page.eval("[...document.links].find(l => l.innerText === 'cab heater fan runs').click()")
    page.wait_for("number 7", "#head")
    bay.tell(CAUTION, ASK)
    page.wait_for("Measure the feed.", "#step .ask")
    assert "WARNING" in page.text("#caution")
    assert "Should be: 12 V to 13 V" in page.text("#step")
    bay.tell(HEARD, READING, VERDICT)
    page.wait_for("PASS", "#reading")
    assert "87% sure" in page.text("#heard")
    assert page.eval("document.querySelector('#reading svg.bar').getAttribute('aria-label')") == (
        "12.5 V on the limit 12 V to 13 V, PASS"
    )
    page.wait_for("12.5 V", "#way")
    bay.tell(FINDING, END)
    bay.close()
    page.wait_for("the wire is broken")
    page.wait("location.pathname.endsWith('/page')")
    page.wait_for("Cause")
    page.wait_for("the wire is broken", "main")
    assert page.eval("document.querySelectorAll('[style]').length") == 0
    page.wait("getComputedStyle(document.querySelector('main')).maxWidth !== 'none'")
    assert page.console == []
    page.go(at(there, bay))  # whoever comes later is led there too
    assert page.eval("location.pathname.endsWith('/page')")


def test_two_sessions_are_told_apart(there: Bench, records: Path, page: Page) -> None:
    one, two = Bay(records, complaint="first bay"), Bay(records, complaint="second bay")
    page.go(there.url)
    page.wait_for("first bay")
    page.wait_for("second bay")
    page.go(at(there, one))
    two.tell({**ASK, "text": "Measure the earth."})
    one.tell(ASK)
    page.wait_for("Measure the feed.")
    assert "earth" not in page.text()
    for bay in (one, two):
        bay.close()
    page.wait_for("Nobody has this session open.")


def test_what_people_say_never_becomes_part_of_the_page(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint=HOSTILE, vehicle=HOSTILE, technician="\u202eKim\x1b[2J")
    bay.tell({**ASK, "step": HOSTILE, "text": HOSTILE, "limit": HOSTILE})
    page.go(at(there, bay))
    bay.tell(
        {**HEARD, "step": HOSTILE, "words": HOSTILE},
        {**READING, "shown": HOSTILE, "step": HOSTILE},
        {**VERDICT, "step": HOSTILE, "reading": HOSTILE, "limit": HOSTILE, "verdict": HOSTILE},
    )  # fmt: skip
    page.wait_for(HOSTILE, "#reading")
    for part in ("#head", "#step", "#heard", "#way"):
        assert HOSTILE.casefold()[:20] in page.text(part).casefold()
    assert page.eval("document.querySelectorAll('main script, main img').length") == 0
    assert page.eval("document.title") != "hostile"
    page.go(there.url)
    page.wait_for(HOSTILE)
    assert page.eval("document.title") == "Bench"
    assert "\u202e" not in page.text()
    bay.close()


def test_nothing_is_asked_of_anybody_else(there: Bench, records: Path, page: Page) -> None:
    bay = Bay(records, complaint="asks nobody")
    page.go(at(there, bay))
    page.wait_for("asks nobody")
    page.go(there.url)
    assert page.asked
    assert {each.startswith(there.url.removesuffix("/bench/")) for each in page.asked} == {True}
    bay.close()


def test_without_script_the_page_refreshes_itself(there: Bench, records: Path, page: Page) -> None:
    bay = Bay(records, complaint="no script here")
    page.script(on=False)
    page.go(at(there, bay))
    assert page.eval("document.querySelector('noscript meta').content") == "5"
    assert "no script here" in page.text()
    bay.tell(ASK)
    page.wait_for("Measure the feed.")
    bay.close()


def test_the_connection_is_lost_and_regained(chromium: Browser, tmp_path: Path) -> None:
    records = tmp_path / "records"
    bay = Bay(records, complaint="the network goes")
    page = chromium.page()
    with bench(records) as first:
        port = first.address[1]
        page.go(at(first, bay))
        page.wait_for("the network goes")
    page.wait_for("Connection lost; trying again.", "#connection")
    bay.tell(ASK)  # the session does not mind
    with bench(records, "--port", str(port)):
        page.wait_for("Measure the feed.")
        page.wait("document.getElementById('connection').innerText === ''")
    chromium.close(page)
    bay.close()


class Between:
    """Passes on what goes between a browser and the page; can be cut.

    Args:
        to: address of the page.
    """

    def __init__(self, to: tuple[str, int]) -> None:
        self._to = to
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        self._ends: list[socket.socket] = []
        #: What a stream is cut in, as soon as it comes.
        self.cut_in = b""
        self.cuts = 0
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        with suppress(OSError):
            while True:
                near, _ = self._listening.accept()
                far = socket.create_connection(self._to)
                self._ends += [near, far]
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._pass_on, args=(one, other), daemon=True).start()

    def _pass_on(self, here: socket.socket, there: socket.socket) -> None:
        mine, theirs = (f"127.0.0.1:{port}".encode() for port in (self.port, self._to[1]))
        with suppress(OSError):
            while data := here.recv(65536):
                if self.cut_in and (at := data.find(self.cut_in)) >= 0:
                    self.cut_in, self.cuts = b"", self.cuts + 1
                    there.sendall(data[:at])
                    break
                there.sendall(data.replace(mine, theirs))
        for end in (here, there):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        with suppress(OSError):
            self._listening.shutdown(socket.SHUT_RDWR)
        for end in (self._listening, *self._ends):
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()


def test_an_event_that_is_cut_in_the_middle_is_made_good(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint="cut in the middle")
    with closing(Between(there.address)) as between:
        page.go(at(there, bay).replace(f":{there.address[1]}", f":{between.port}"))
        page.wait_for("cut in the middle")
        between.cut_in = b"Measure the"
        bay.tell(ASK)
        page.wait_for("Measure the feed.")
        assert between.cuts == 1
        bay.tell(HEARD, READING, VERDICT)
        page.wait_for("PASS", "#reading")
    bay.close()


@pytest.mark.skipif(not AXE.exists(), reason="npm ci --prefix tests was not run")
@pytest.mark.parametrize("dark", [False, True])
def test_a_screen_reader_finds_nothing_serious(
    there: Bench, records: Path, page: Page, dark: bool
) -> None:
    """By axe-core, whose rules follow WCAG (Deque; from the package registry of node)."""
    bay = Bay(records, complaint="read aloud", vehicle="number 7")
    bay.tell(CAUTION, ASK, HEARD, READING, VERDICT)
    page.size(1280, 800, dark=dark)
    for url in (there.url, at(there, bay)):
        page.go(url)
        page.wait_for("read aloud")
        page.call("Page.setBypassCSP", enabled=True)
        page.eval(AXE.read_text(encoding="utf-8") + ";0")
        found = page.eval(
            "axe.run().then(r => r.violations.map(v => [v.impact, v.id, v.nodes[0].html]))"
        )
        assert [one for one in found if one[0] in {"serious", "critical"}] == []
    bay.close()


def test_all_of_it_is_reached_by_the_keyboard(there: Bench, records: Path, page: Page) -> None:
    bay = Bay(records, complaint="no mouse")
    page.go(there.url)
    page.wait_for("no mouse")
    page.key("Tab", 9)
    assert page.eval("document.activeElement.innerText") == "To the page"
    reached = set()
    for _ in range(40):
        page.key("Tab", 9)
        reached.add(page.eval("document.activeElement.innerText"))
    assert {"Bench", "List", "Find", "Trend", "Totals", "no mouse"} <= reached
    page.eval("[...document.links].find(l => l.innerText === 'no mouse').focus()")
    page.key("Enter", 13, "\r")
    page.wait("location.pathname.includes('/session/')")
    bay.close()


def test_the_archive_answers_in_the_words_of_the_command(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint="to be found", vehicle="number 9")
    bay.tell({**HEARD, "words": "quite unmistakable"}, VOLTS, VERDICT, END)
    bay.close()
    page.go(f"{there.url}records/find")
    page.eval("document.querySelector('[name=said]').value = 'unmistakable'")
    page.eval("document.querySelector('main button').click()")
    page.wait_for(bay.id, "main td")
    assert "voiceassist records find --said unmistakable" in page.text("footer")
    page.eval(f"[...document.links].find(l => l.innerText === '{bay.id}').click()")
    page.wait_for("Questions, corrections and notes")
    assert "12 V to 13 V" in page.text("main")
    page.eval("[...document.links].find(l => l.innerText === 'feed').click()")
    page.wait("document.querySelectorAll('figure svg').length")
    assert "12.5 V" in page.text("main")
    assert page.console == []


@pytest.mark.parametrize("verb", ["list", "find", "show", "trend", "totals"])
def test_every_answer_has_its_link_to_the_same_as_csv_and_json(
    there: Bench, records: Path, verb: str
) -> None:
    bay = Bay(records, technician="=cmd()", vehicle="number 9")
    bay.tell(VOLTS, VERDICT, END)
    bay.close()
    asked = {"find": "?vehicle=number", "show": f"?session={bay.id}", "trend": "?point=feed"}
    html = there.ask(f"/bench/records/{verb}{asked.get(verb, '')}").text
    links = re.findall(rf'href="(/bench/records/{verb}\.(?:csv|json)\?[^"]*)"', html)
    assert len(links) == 2
    for link in map(unescape, links):
        answer = there.ask(link)
        content = answer.text
        assert answer.status == 200
        if ".json" in link:
            assert json.loads(content)
        else:
            rows = list(csv.reader(io.StringIO(content)))
            assert len(rows) > 1
            assert not [c for row in rows for c in row if c.startswith(("=", "+", "@"))]


@pytest.mark.parametrize(
    ("path", "status", "told"),
    [
        ("records/find?since=never", 400, "--since: found &#39;never&#39;"),
        ("records/find?outcome=happy", 400, "is not a known outcome"),
        ("records/list?limit=-1", 400, "--limit"),
        ("records/show?session=nobody", 400, "no session is called"),
        ("records/erase", 404, "There is nothing at this address."),
        ("records/list.exe", 404, "There is nothing at this address."),
        ("session/nobody", 404, "There is no such session, or it was deleted."),
        ("session/nobody/page", 404, "no session is called"),
        ("session/..%2F..%2Fetc/page", 404, ""),
        ("static/..%2Fsite.py", 404, ""),
        ("nothing", 404, "Not Found"),
    ],
)  # fmt: skip
def test_what_cannot_be_answered_is_told_in_a_sentence(
    there: Bench, path: str, status: int, told: str
) -> None:
    answer = there.ask(f"/bench/{path}")
    content = answer.text
    assert answer.status == status
    assert told in content
    assert "Traceback" not in content


# --- the instructor's note ---


def sent(there: Bench, bay: Bay, body: bytes, **headers: str) -> Answer:
    """A note, as the form of the page sends it."""
    host, port = there.address
    kind = "application/x-www-form-urlencoded"
    own = {"Origin": f"http://{host}:{port}", "Content_Type": kind, **headers}
    return there.ask(f"/bench/session/{bay.id}/note", "POST", body, **own)


def test_a_note_is_left_for_the_session_and_nothing_else_is_written(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint="with a note")
    before = {path.name for path in bay.folder.path.iterdir()}
    page.go(at(there, bay))
    page.eval("document.querySelector('[name=by]').value = 'Jo'")
    page.eval("document.querySelector('[name=words]').value = 'look at the plug'")
    page.eval("document.querySelector('#note button').click()")
    page.wait_for("The note waits for the next pause.")
    assert page.eval("document.querySelector('[name=by]').value") == "Jo"
    note = waiting(bay.folder.path)
    assert note is not None
    assert (note.by, note.words) == ("Jo", "look at the plug")
    assert {path.name for path in bay.folder.path.iterdir()} - before == {NOTE}
    bay.tell({"event": "instructor-note", "by": "Jo", "words": note.words, "note": note.id,
              "text": "Note from Jo: look at the plug"})  # fmt: skip
    page.wait_for("note of Jo", "#way")
    bay.close()


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (b"by=Jo&words=", "The note is empty; write one."),
        (b"by=&words=look", "The name is empty; write one."),
        (b"by=Jo&words=" + b"x" * 201, "The note has 201 characters; write at most 200."),
        (b"by=Jo&words=%3Cscript%3E", "a character that cannot be said, U+003C"),
        (b"by=Jo&words=%1b%5b2J", "a character that cannot be said, U+001B"),
        (b"\xff\xfe", "The note is not text; write plain words."),
        (b"&".join([b"a=b"] * 100), "The note is not text; write plain words."),
        (b"words=" + b"x" * 10_000_000, "The note is too large; write at most 200 characters."),
    ],
    ids=lambda each: each[:12] if isinstance(each, bytes) else "",
)
def test_a_note_that_nobody_could_say_is_refused_in_a_sentence(
    there: Bench, records: Path, body: bytes, sentence: str
) -> None:
    bay = Bay(records)
    answer = sent(there, bay, body)
    assert answer.status == 400
    assert sentence in unescape(answer.text)
    assert waiting(bay.folder.path) is None
    bay.close()


def test_a_session_that_nobody_has_open_takes_no_note(there: Bench, records: Path) -> None:
    bay = Bay(records)
    bay.close()
    assert "Nobody has this session open" in sent(there, bay, b"by=Jo&words=look").text
    assert waiting(bay.folder.path) is None


def test_another_page_can_leave_no_note(there: Bench, records: Path) -> None:
    bay = Bay(records)
    answer = sent(there, bay, b"by=Jo&words=look", Origin="http://evil.example")
    assert answer.status == 403
    assert there.ask(f"/bench/session/{bay.id}/note").status == 405
    assert waiting(bay.folder.path) is None
    bay.close()


def test_a_note_is_spoken_by_the_session_and_stands_in_its_journal_with_the_name(
    tmp_path: Path,
) -> None:
    """A whole job by its command, with the page beside it."""
    records = tmp_path / "records"
    records.mkdir()
    program = [
        sys.executable,
        "-m",
        "voiceassist",
        "run",
        "heater-fan-module",
        "--typed",
        "--silent",
    ]
    with (
        bench(records) as there,
        subprocess.Popen(
            [*program, "--records", str(records)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        ) as job,
    ):  # fmt: skip
        assert job.stdin is not None
        assert job.stdout is not None
        job.stdin.write("affirm\n")
        job.stdin.flush()
        session = _running(there)
        folder = records / session
        due = time.monotonic() + 60
        while "acknowledged" not in (folder / "journal.jsonl").read_text():
            assert time.monotonic() < due
            time.sleep(0.05)
        host, port = there.address
        answer = there.ask(
            f"/bench/session/{session}/note", "POST", b"by=Jo+Meyer&words=look+at+the+plug",
            Origin=f"http://{host}:{port}",
        )  # fmt: skip
        assert answer.status == 303
        spoken, _ = job.communicate("done\nfinish\nyes\n", timeout=60)
    assert "Note from Jo Meyer: look at the plug" in spoken
    kept = [json.loads(line) for line in (folder / "journal.jsonl").read_text().splitlines()]
    (note,) = [line for line in kept if line["event"] == "instructor-note"]
    assert (note["by"], note["words"]) == ("Jo Meyer", "look at the plug")
    assert not (folder / NOTE).exists()
    assert call("records", "verify", session, "--records", str(records)).returncode == 0
    shown = call("records", "show", session, "--records", str(records)).stdout
    assert "instructor's note" in shown
    assert "Jo Meyer: look at the plug" in shown


def _running(there: Bench) -> str:
    """The session that is under way."""
    due = time.monotonic() + 60
    while time.monotonic() < due:
        found = re.search(r'href="/bench/session/([^"/]+)"', there.ask().text)
        if found:
            return found[1]
        time.sleep(0.1)
    raise AssertionError("no session appeared")


# --- the archive by screen reader, and on paper ---


@pytest.mark.skipif(not AXE.exists(), reason="npm ci --prefix tests was not run")
def test_a_screen_reader_finds_nothing_serious_in_the_archive(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint="kept", vehicle="number 9")
    bay.tell(HEARD, VOLTS, VERDICT, END)
    bay.close()
    pages = ("list", "find?vehicle=number", f"show?session={bay.id}", "trend?point=feed", "totals")
    for path in pages:
        page.go(f"{there.url}records/{path}")
        page.call("Page.setBypassCSP", enabled=True)
        page.eval(AXE.read_text(encoding="utf-8") + ";0")
        found = page.eval(
            "axe.run().then(r => r.violations.map(v => [v.impact, v.id, v.nodes[0].html]))"
        )
        assert [one for one in found if one[0] in {"serious", "critical"}] == [], path


def test_on_paper_the_session_stands_without_what_is_for_the_screen(
    there: Bench, records: Path, page: Page
) -> None:
    bay = Bay(records, complaint="on paper")
    bay.tell(CAUTION, ASK, HEARD, READING, VERDICT)
    page.go(at(there, bay))
    page.call("Emulation.setEmulatedMedia", media="print")
    shown = "!!document.querySelector({!r}).getClientRects().length"
    assert [page.eval(shown.format(place)) for place in ("nav", "#note form")] == [False, False]
    assert [page.eval(shown.format(place)) for place in ("#caution", "#step", "svg.bar")] == [
        True
    ] * 3
    bay.close()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (390, 844)])
def test_nothing_stands_out_at_the_side(
    there: Bench, records: Path, page: Page, width: int, height: int
) -> None:
    bay = Bay(records, complaint="a" * 300, vehicle="b" * 300, technician=HOSTILE)
    bay.tell(CAUTION, {**ASK, "text": f"Measure {'c' * 200}."}, HEARD, READING, VERDICT)
    page.size(width, height)
    for url in (there.url, at(there, bay), f"{there.url}records/find?vehicle=b*"):
        page.go(url)
        assert page.eval("document.documentElement.scrollWidth") <= width, url
    bay.close()
