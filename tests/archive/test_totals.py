"""Jobs found by technician, outcome and day, and what they come to together."""

import statistics
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from shelf import BEGAN, Line, add, head, heard, reading, verdict

from voiceassist.archive.find import Wanted
from voiceassist.archive.plot_totals import drawing_of_totals
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.archive.totals import Totals
from voiceassist.record.folder import create

#: Technician, day, minutes worked, outcome ("" for a job that is open), questions, step skipped.
JOBS = [
    ("Kim", date(2026, 1, 1), 10, "repaired", 0, "feed"),
    ("Kim Lee", date(2026, 1, 4), 20, "repaired", 2, "feed"),
    ("kim", date(2026, 1, 5), 30, "found", 1, "earth"),
    ("Z. Őry_100%", date(2026, 1, 20), 40, "stopped", 0, ""),
    ("Z. Őry", date(2026, 1, 21), 50, "", 4, ""),
]


@pytest.fixture(scope="module")
def filled(standing: Archive, tmp_path_factory: pytest.TempPathFactory) -> Archive:
    records = tmp_path_factory.mktemp("records")
    for who, day, minutes, outcome, questions, skipped in JOBS:
        began = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        facts = {"technician": who, "repair order": "1"}
        lines = [head(facts=facts), reading("12.60"), verdict("12.60 V", "pass")]
        lines += [heard("eight", doubtful=True)] * questions
        if skipped:
            lines.append({"event": "skipped", "step": skipped, "reason": "no access"})
        last = (began + timedelta(minutes=minutes)).isoformat()
        closing: Line = {"event": "end", "outcome": outcome, "at": last}
        still_open: Line = {"event": "say", "text": "x", "at": last}
        lines.append(closing if outcome else still_open)
        if outcome == "found":  # what is added a month later is no work of the job
            late = (began + timedelta(days=30)).isoformat()
            lines.append({"event": "picture", "file": "picture-001.jpg", "at": late})
        add(create(records, "lamp", began), lines, began)
    sync(standing, records)
    return standing


@pytest.mark.parametrize(
    ("asked", "days"),
    [
        ({"technician": "kim"}, [5, 4, 1]),
        ({"technician": "LEE kim"}, [4]),
        ({"technician": "Őry"}, [21, 20]),
        ({"technician": "100%"}, [20]),
        ({"technician": "_100"}, [20]),
        ({"technician": "%"}, [20]),
        ({"outcome": "repaired"}, [4, 1]),
        ({"outcome": "open"}, [21]),
        ({"outcome": "repaired", "technician": "lee"}, [4]),
        ({"outcome": "repaired", "since": datetime(2026, 1, 2, tzinfo=UTC)}, [4]),
    ],
)
def test_sessions_are_found_by_technician_and_outcome(
    filled: Archive, asked: dict[str, object], days: list[int]
) -> None:
    found = filled.find(Wanted(**asked))  # type: ignore[arg-type]
    assert [int(row["began"][8:10]) for row in found] == days


def test_totals_are_what_counting_by_hand_gives(filled: Archive) -> None:
    told = filled.totals(Wanted())
    assert told.jobs == len(JOBS)
    assert dict(told.outcomes) == {"repaired": 2, "found": 1, "stopped": 1, "open": 1}
    # The standard library counts minutes and questions here, and ISO 8601 the weeks.
    assert told.minutes is not None
    assert told.questions is not None
    assert told.minutes.median == statistics.median([10, 20, 30, 40])
    assert told.questions.median == statistics.median(job[4] for job in JOBS)
    assert told.skipped == (("lamp", "feed", 2), ("lamp", "earth", 1))
    by_week: dict[tuple[int, int], int] = {}
    for _, day, *_ in JOBS:
        week = day.isocalendar()[:2]
        by_week[week] = by_week.get(week, 0) + 1
    told_weeks = {w.monday.isocalendar()[:2]: w.jobs for w in told.weeks}
    assert {week: jobs for week, jobs in told_weeks.items() if jobs} == by_week
    assert all(week.monday.isoweekday() == 1 for week in told.weeks)
    assert len(told.weeks) == 4  # the one without a job too
    assert sum(week.jobs for week in told.weeks) == len(JOBS)


def test_totals_of_no_job_are_nothing(filled: Archive) -> None:
    assert filled.totals(Wanted(technician="nobody")) == Totals()


def test_a_demonstration_is_found_as_one_and_counts_for_no_job(tmp_path: Path) -> None:
    end: Line = {"event": "end", "outcome": "repaired"}
    lines = [reading("12.60"), verdict("12.60 V", "pass"), end]
    for demo in (True, False):
        add(create(tmp_path / "records", "lamp", BEGAN), [head(demo=demo), *lines])
    with Archive.open(str(tmp_path / "archive.db")) as archive:
        sync(archive, tmp_path / "records")
        assert archive.totals(Wanted()).jobs == 1
        assert len(archive.find(Wanted(outcome="demo"))) == 1
        (feed,) = archive.trends("feed")
        assert len(feed.samples) == 1


def test_the_drawing_holds_every_week_and_outcome_in_words(filled: Archive) -> None:
    told = filled.totals(Wanted())
    drawn = drawing_of_totals(told, {"found": "cause <found> & told"})
    root = ElementTree.fromstring(drawn)
    texts = " ".join(element.text or "" for element in root.iter() if element.text)
    for week in told.weeks:
        assert f"week of {week.monday}: {week.jobs} jobs" in texts
    assert "cause <found> & told" in texts
    assert "feed (lamp)" in texts
    assert "no jobs" in drawing_of_totals(Totals(), {})


def test_many_weeks_and_long_names_stay_on_the_drawing(tmp_path: Path) -> None:
    with Archive.open(str(tmp_path / "archive.db")) as archive:
        records = tmp_path / "records"
        for number in range(2):
            began = datetime(2020 + 5 * number, 1, 1, tzinfo=UTC)
            skipped: Line = {"event": "skipped", "step": "x" * 300, "reason": ""}
            add(create(records, "lamp", began), [head(), skipped], began)
        sync(archive, records)
        root = ElementTree.fromstring(drawing_of_totals(archive.totals(Wanted()), {}))
    width = float(root.attrib["width"])
    for rect in root.iter("{http://www.w3.org/2000/svg}rect"):
        x, wide = float(rect.attrib.get("x", 0)), float(rect.attrib["width"])
        assert 0 <= x <= x + wide <= width + 0.1
    assert all(len(element.text or "") < 120 for element in root.iter())
