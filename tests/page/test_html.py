"""The HTML page: whole, safe whatever is written into it, and fit for paper."""

import re
import shutil
import subprocess
from base64 import b64decode
from collections.abc import Mapping
from pathlib import Path

import html5lib
import pypdf
import pytest
from handed_out import HOSTILE, account_of, lines_of
from hypothesis import given, settings
from hypothesis import strategies as st
from web_page import Parsed, assert_harmless

from voiceassist.app.pages.pages import PageRequest, page
from voiceassist.page import scripts
from voiceassist.page.html import html
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import SessionReport, session_report
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_journal import verify
from voiceassist.record.webvtt import one_line

Line = Mapping[str, object]


def shop(told: SessionReport) -> Parsed:
    return Parsed(html(told, Reader.SHOP))


@pytest.mark.parametrize("reader", list(Reader))
def test_hostile_words_stay_words(astray: SessionFolder, reader: Reader) -> None:
    page = html(account_of(astray), reader)
    assert_harmless(page)
    text = Parsed(page).text
    for value in HOSTILE.values():
        assert one_line(value) in text


def test_a_hostile_note_stays_words(astray: SessionFolder) -> None:
    # Typed notes lose their signs, those of another program or an edited journal need not.
    words = "green & worn --> <script src=x></script></table></style><!-- {{ 7*7 }}"
    lines = lines_of(astray)
    kept = [{**line, "words": words} if line["event"] == "note" else line for line in lines]
    page = html(session_report(kept))
    assert_harmless(page)
    assert words in Parsed(page).text


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize(
    "verdict", ["pass", "low", "high", "fail", "too close to call", "not valid"]
)
def test_a_reading_is_shown_on_its_bar_whatever_its_verdict(verdict: str, reader: Reader) -> None:
    at = "2026-01-02T08:00:00.000+01:00"
    given = {"step": "feed", "text": "11.95 V."}
    lines: list[Line] = [
        {"event": "session", "procedure": "lamp", "title": "A lamp", "facts": {}},
        {"event": "reading", **given, "value": "11.95", "unit": "V", "shown": "11.95 V"},
        {"event": "verdict", **given, "reading": "11.95 V", "limit": "at least 12 V",
         "low": "12 V", "guard_low": "12.1 V", "verdict": verdict},
    ]  # fmt: skip
    told = session_report(
        [{"seq": n, "at": at, "hash": "ab" * 32, **li} for n, li in enumerate(lines, 1)]
    )
    text = html(told, reader)
    assert_harmless(text)
    assert reader is Reader.CUSTOMER or "11.95 V" in Parsed(text).text
    assert reader is Reader.CUSTOMER or text.count('<svg class="bar"') >= 1


KINDS = ["say", "heard", "note", "reading", "verdict", "finding", "caution", "skipped", "fact"]
FIELDS = ["text", "words", "shown", "verdict", "limit", "cause", "signal", "name", "reason", "step"]
NASTY = st.sampled_from(["<script>", "</style>", "\"'>", "onload=", "&lt;", "\u202e", "{{", "\x00"])
WORDS = st.lists(NASTY | st.text(max_size=4), max_size=4).map("".join)


@settings(max_examples=40)
@given(st.lists(st.tuples(st.sampled_from(KINDS), st.dictionaries(st.sampled_from(FIELDS), WORDS))))
def test_no_journal_makes_a_harmful_page(said: list[tuple[str, dict[str, str]]]) -> None:
    head: Line = {"event": "session", "facts": {"vehicle": "<b onclick=x>"}, "title": "</style><a>"}
    lines = [head, *({"event": event} | fields for event, fields in said)]
    kept = [
        {"seq": n, "at": "2026-01-02T08:00:00.000+01:00", "hash": "", **line}
        for n, line in enumerate(lines, 1)
    ]
    with pytest.MonkeyPatch.context() as patch:  # it takes long, and hangs on nothing that is said
        patch.setattr(scripts, "fonts_for", lambda signs: (b"font",) if signs else ())
        assert_harmless(html(session_report(kept), Reader.INSTRUCTOR))


@pytest.mark.parametrize("reader", list(Reader))
def test_the_page_is_html_without_a_fault(
    demo: SessionFolder, astray: SessionFolder, reader: Reader
) -> None:
    for folder in (demo, astray):
        parser = html5lib.HTMLParser(strict=True)
        parser.parse(html(account_of(folder), reader))
        assert parser.errors == []


def test_every_reading_and_caution_is_on_the_page(astray: SessionFolder) -> None:
    text = shop(account_of(astray)).text
    for line in lines_of(astray):
        if line["event"] in {"reading", "caution"}:
            assert str(line.get("shown") or line["text"]) in text
    assert "8 Ω" in text


def test_heard_words_stand_with_what_they_were_taken_for(astray: SessionFolder) -> None:
    text = shop(account_of(astray)).text
    assert "correction twelve point six volts understood as correction to 12.6 V, typed" in text


def test_each_bar_tells_in_words_what_it_draws(demo: SessionFolder) -> None:
    parsed = shop(account_of(demo))
    labels = [a["aria-label"] for tag, a in parsed.elements if tag == "svg" and "aria-label" in a]
    assert "12.3 V, limit 3 V to 6 V: high" in labels
    assert "0.05 V, limit at most 0.1 V: pass" in labels


def test_the_last_hash_of_the_journal_is_on_every_page(demo: SessionFolder) -> None:
    last = str(lines_of(demo)[-1]["hash"])
    for reader in Reader:
        assert last in html(account_of(demo), reader)


def test_a_customer_reads_plain_words_and_one_page(demo: SessionFolder) -> None:
    page = html(account_of(demo), Reader.CUSTOMER)
    text = Parsed(page).text
    for told in ("The fan module does not follow a good command.", "Changed the fan module."):
        assert told in text
    assert "too high" in text
    assert "The whole session" not in text
    for word in ("probability", "Hatched", "understood as", "Working time"):
        assert word not in text
    assert "#doubt)" not in page


def test_the_lesson_is_there_when_it_is_asked_for_or_was_one(
    demo: SessionFolder, astray: SessionFolder
) -> None:
    heading = "What can be learnt"
    assert heading not in html(account_of(demo), Reader.SHOP)
    assert heading in html(account_of(demo), Reader.INSTRUCTOR)
    assert heading in html(account_of(astray), Reader.SHOP)


def test_the_page_has_a_style_for_paper(demo: SessionFolder) -> None:
    page = html(account_of(demo))
    assert "@media print" in page
    assert "break-before: page" in page
    assert 'name="viewport"' in page


# --- on paper, by a browser ---


def printed(page: Path, target: Path) -> pypdf.PdfReader:
    """What a browser prints of ``page``."""
    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("chromium is not installed")
    subprocess.run(
        [
            browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
            f"--user-data-dir={target.parent / 'profile'}", "--no-pdf-header-footer",
            f"--print-to-pdf={target}", page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=60,
    )  # fmt: skip
    return pypdf.PdfReader(target)


@pytest.mark.slow
def test_the_first_printed_page_holds_all_that_matters(demo: SessionFolder, tmp_path: Path) -> None:
    told = account_of(demo)
    path = tmp_path / "report.html"
    path.write_text(html(told), encoding="utf-8")
    reader = printed(path, tmp_path / "report.pdf")
    first = " ".join(reader.pages[0].extract_text().split())
    for text in (told.summary.complaint, told.cause, told.correction, told.last_hash):
        assert text in first
    for row in (*told.proving, *told.repaired):
        assert row.label in first
        assert row.measured.shown in first
    assert "The whole session" in reader.pages[1].extract_text()


def chart(folder: SessionFolder, reader: Reader) -> str:
    """The picture of the way taken, as SVG; empty without one."""
    made = page(folder, verify(folder.journal).entries, PageRequest(reader)).decode("utf-8")
    found = re.findall(r'src="data:image/svg\+xml;base64,([^"]*)"', made)
    assert len(found) <= 1
    return b64decode(found[0]).decode("utf-8") if found else ""


def test_the_way_that_was_taken_is_bold_in_the_flow_chart(demo: SessionFolder) -> None:
    lines = lines_of(demo)
    found = [line["event"] for line in lines].index("finding")
    steps = {line["step"] for line in lines[:found] if line["step"]}
    bold = re.findall(r'class="taken"', chart(demo, Reader.SHOP))
    assert len(bold) > len(steps) > 5  # the finding stands there, too


def test_a_customer_gets_no_flow_chart(demo: SessionFolder) -> None:
    assert chart(demo, Reader.CUSTOMER) == ""


def test_a_lesson_shows_the_steps_at_which_readings_failed(demo: SessionFolder) -> None:
    failed = {x["step"] for x in lines_of(demo) if x.get("verdict") in {"low", "high"}}
    assert failed
    made = page(demo, verify(demo.journal).entries, PageRequest(Reader.INSTRUCTOR)).decode("utf-8")
    (section,) = re.findall(r'<section class="steps">.*?</section>', made, re.DOTALL)
    pictures = re.findall(r"base64,([^\"]*)", section)
    assert len(pictures) == min(len(failed), 4)
    svgs = [b64decode(picture).decode("utf-8") for picture in pictures]
    assert all("reads: " in svg for svg in svgs)
    named = re.findall(r'alt="([^:]*):', section)
    assert {name.replace(" ", "-") for name in named} <= failed
    assert "red lead at motor wire, module plug pin 4, GY grey" in section
    shop = page(demo, verify(demo.journal).entries, PageRequest(Reader.SHOP)).decode("utf-8")
    assert 'class="steps"' not in shop


@pytest.mark.parametrize("reader", list(Reader))
def test_parts_that_were_fitted_stand_on_the_page(demo: SessionFolder, reader: Reader) -> None:
    made = page(demo, verify(demo.journal).entries, PageRequest(reader)).decode("utf-8")
    assert "<dt>Parts</dt><dd>Fan module</dd>" in made
    told = ("4 min; tools: torx 20, torque wrench; parts: fan module; torque: module screws 2 N·m",)
    assert all((one in made) is (reader is not Reader.CUSTOMER) for one in told)


def test_a_repair_that_was_not_done_fitted_no_parts(astray: SessionFolder) -> None:
    made = page(astray, verify(astray.journal).entries, PageRequest(Reader.SHOP)).decode("utf-8")
    assert ("<dt>Parts</dt>" in made) is bool(account_of(astray).done)
