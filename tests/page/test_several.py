"""One page for the sessions of a repair order, and one that compares a trainee's sessions."""

import csv
import io
import json
import shutil
import subprocess
import time
from pathlib import Path

import pypdf
import pytest
from handed_out import ASTRAY, demo_words, lines_of, session
from running import call, lines
from web_page import Parsed, assert_harmless

from voiceassist.record.folder import SessionFolder


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three sessions of a trainee, two of them of one repair order, and one of another's."""
    base = tmp_path_factory.mktemp("several")
    for number, (typed, who, order) in enumerate(
        [
            (ASTRAY, "Kim <b>Lee</b>", "ro1042"),
            (demo_words(), "Kim <b>Lee</b>", "RO-1042"),
            (demo_words(), "Kim <b>Lee</b>", "7"),
            (demo_words(), "Another", "8"),
        ]
    ):
        facts = {"technician": who, "repair order": order, "internal note": "pays late"}
        # Sessions that begin in one second stand in any order.
        time.sleep(1 - time.time() % 1)
        made = session(base / str(number), typed, **facts)
        shutil.move(made.path, base / "all" / made.id)
    return base / "all"


def text_of(path: Path) -> str:
    if path.suffix == ".html":
        page = path.read_text("utf-8")
        assert_harmless(page)
        return Parsed(page).text
    return " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages)


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_one_page_tells_all_sessions_of_a_repair_order(
    records: Path, tmp_path: Path, form: str
) -> None:
    out = tmp_path / f"order.{form}"
    done = call(
        *("records", "order", "ro 1042", "--for", "customer", "--out", str(out), "--json"),
        *("--records", str(records)),
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["sessions"] == 2
    text = text_of(out)
    assert text.count("The fan module does not follow a good command.") >= 2
    assert text.count("Readings that prove the cause") == 2
    assert "pays late" not in text
    assert "Repair order" in text
    ids = [SessionFolder(p).id for p in records.iterdir() if p.is_dir()]
    assert len(ids) == 4


def test_a_repair_order_of_no_session_is_told(records: Path) -> None:
    done = call("records", "order", "9999", "--records", str(records))
    assert done.returncode == 2
    assert "no session has the repair order '9999'" in done.stderr


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_page_compares_the_sessions_of_a_trainee(
    records: Path, tmp_path: Path, form: str
) -> None:
    out = tmp_path / f"trainee.{form}"
    asked = ("records", "trainee", "kim", "--out", str(out), "--records", str(records))
    done = call(*asked)
    assert done.returncode == 0, done.stderr
    text = text_of(out)
    # Counted in the journals: what was skipped, and verdicts on values that did not count.
    folders = [SessionFolder(path) for path in records.iterdir() if path.is_dir()]
    journals = sorted((lines_of(folder) for folder in folders), key=lambda each: str(each[0]["at"]))
    skipped = [sum(line["event"] == "skipped" for line in each) for each in journals[:3]]
    refused = [sum(line.get("verdict") == "not valid" for line in each) for each in journals[:3]]
    assert skipped[0] == 1
    assert refused[0] == 2
    assert "Steps skipped " + " ".join(map(str, skipped)) in text
    assert "Readings that did not count " + " ".join(map(str, refused)) in text
    assert "Motor current" in text
    assert "Another" not in text
    assert call(*asked).returncode == 2  # the file is there already


def test_jobs_are_exported_as_a_table_and_as_json(records: Path, tmp_path: Path) -> None:
    out = tmp_path / "jobs.csv"
    where = ("--records", str(records))
    done = call("records", "export", "--all", "--out", str(out), *where)
    assert done.returncode == 0, done.stderr
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 4
    assert {row["outcome"] for row in rows} == {"repaired"}
    asked = ("--technician", "kim", "--outcome", "repaired", "--from", "2000-01-01")
    told = json.loads(call("records", "export", *asked, *where).stdout)
    assert len(told) == 3
    assert {reading["verdict"] for job in told for reading in job["readings"]} > {"pass", "high"}
    none = call("records", "export", "--to", "2000-01-01", "--as", "csv", *where)
    assert len(list(csv.reader(io.StringIO(none.stdout)))) == 1


def test_what_does_not_go_together_in_an_export_is_told(records: Path) -> None:
    where = ("--records", str(records))
    named = call("records", "export", "last", "--technician", "kim", *where)
    assert (named.returncode, "leave one of them out" in named.stderr) == (2, True)
    form = call("records", "export", "--all", "--as", "zip", *where)
    assert (form.returncode, "use csv, json" in form.stderr) == (2, True)
    outcome = call("records", "find", "--outcome", "splendid", *where)
    assert (outcome.returncode, "'splendid' is not a known outcome" in outcome.stderr) == (2, True)


def test_totals_are_told_and_drawn(records: Path, tmp_path: Path) -> None:
    plot = tmp_path / "totals.svg"
    done = call("records", "totals", "--plot", str(plot), "--records", str(records))
    assert done.returncode == 0, done.stderr
    assert "4 jobs" in done.stdout
    assert "repaired, and the repair proved" in done.stdout
    assert "(heater-fan-module)" in done.stdout
    assert plot.read_text("utf-8").startswith("<svg")
    (about,) = lines(call("records", "totals", "--json", "--records", str(records)))
    assert about["outcomes"] == {"repaired": 4}
    assert sum(week["jobs"] for week in about["weeks"]) == 4
    nobody = call("records", "totals", "--technician", "nobody", "--records", str(records))
    assert (nobody.returncode, nobody.stdout.strip()) == (1, "0 jobs")


@pytest.mark.slow
def test_the_pages_of_several_sessions_are_drawn(records: Path, tmp_path: Path) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed")
    out = tmp_path / "order.pdf"
    call("records", "order", "RO1042", "--out", str(out), "--records", str(records))
    done = subprocess.run(["pdftotext", str(out), "-"], capture_output=True, check=True)
    assert b"Report of several diagnoses" in done.stdout
