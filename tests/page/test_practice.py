"""The page of a rehearsal tells the fault, the mark and what each test was worth."""

import io

import pypdf

from voiceassist.page.html import html
from voiceassist.page.pdf import pdf
from voiceassist.page.practice import practice
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import session_report
from voiceassist.record.lines import MarkGiven

MARK = {
    "event": "mark",
    "fault": "broken-wire",
    "named": "earth-side",
    "found": False,
    "points": 35,
    "off": {"lost": 50, "condemned": 15},
    "minutes": 6.5,
    "quickest": {"steps": ["feed", "whole"], "minutes": 2.0},
    "condemned": ["side lamp"],
    "slips": ["A <b>plug</b> was pulled live.", "A <b>plug</b> was pulled live."],
    "misread": ["At feed you told 9.4 V, where the meter showed 12.44 V."],
    "tests": [
        {"step": "feed", "shown": 0.0123, "bits": 0.9, "best": "feed", "best_bits": 0.9,
         "likely": [{"finding": "feed-side", "share": 0.81}]},
        {"step": "", "shown": "off", "bits": None, "best": "whole", "best_bits": 0.5,
         "likely": []},
        {"step": "feed", "shown": 0.0123, "bits": 0.0, "best": "whole", "best_bits": 0.5,
         "likely": [{"finding": "feed-side", "share": 0.81}]},
    ],
}  # fmt: skip
AT = "2026-11-29T10:00:00.000+00:00"
HEAD = {"event": "session", "seq": 1, "at": AT, "title": "Rehearsal: x"}
REHEARSAL = HEAD | {"rehearsal": {"mode": "led"}}
END = {"event": "end", "seq": 3, "at": AT, "outcome": "rehearsed"}


def test_what_a_mark_tells_is_told_in_words() -> None:
    told = practice(MarkGiven(MARK))
    assert (told.fault, told.points) == ("broken wire", 35)
    assert told.verdict == "Another cause was named: earth side."
    assert told.off == "50 for the cause that was not named, 15 for good parts that were blamed"
    assert told.took == "3 tests, about 6 min"
    assert told.quickest == "2 tests, about 2 min: feed, whole"
    assert told.slips == ("A <b>plug</b> was pulled live.",)
    first, own, again = told.tried
    assert (first.worth, first.better, first.likely) == ("0.90 bits", "", ("feed side 81 %",))
    assert (own.what, own.worth, own.better) == ("a test of one's own", "not known", "whole")
    assert (again.worth, again.better) == ("nothing", "whole")
    assert first.shares == (0.81,)


def test_what_the_meter_showed_stands_as_it_was_told_and_what_cannot_be_is_not_named() -> None:
    likely = [{"finding": "a-b", "share": 0.997}, {"finding": "c", "share": 0.003}]
    told = practice(MarkGiven({"event": "mark", "tests": [{"shown": "12.44 V", "likely": likely}]}))
    assert told.tried[0].shown == "12.44 V"
    assert told.tried[0].likely == ("a b 100 %",)


def test_a_mark_of_which_parts_are_missing_is_told_as_far_as_it_goes() -> None:
    told = practice(MarkGiven({"event": "mark", "tests": [{}], "quickest": {"steps": 3}}))
    assert told.fault == "none"
    assert (told.quickest, told.off) == ("", "")
    assert told.tried[0].likely == ()


def test_the_shop_and_the_instructor_see_it_and_a_customer_does_not() -> None:
    report = session_report([REHEARSAL, MARK | {"seq": 2, "at": AT}, END])
    for reader in (Reader.SHOP, Reader.INSTRUCTOR):
        screen = html(report, reader)
        assert "What each test was worth" in screen
        assert "35 of 100" in screen
        assert "At feed you told 9.4 V, where the meter showed 12.44 V." in screen
        assert "<b>plug</b>" not in screen
        pages = pypdf.PdfReader(io.BytesIO(pdf(report, reader))).pages
        paper = "".join(page.extract_text() for page in pages)
        assert "35 of 100" in paper
        assert "At feed you told 9.4 V, where the meter showed 12.44 V." in paper.replace("\n", " ")
        assert "Likely then: feed side 81 %" in paper
    assert "What each test was worth" not in html(report, Reader.CUSTOMER)


def test_a_job_has_no_such_part() -> None:
    report = session_report([HEAD, END | {"outcome": "found"}])
    assert report.practice is None
    assert "What each test was worth" not in html(report, Reader.SHOP)
