"""One page for the rehearsals of a class: who, which faults, where time is lost."""

import csv
import io
import json
from collections.abc import Mapping
from pathlib import Path

import pypdf
import pytest
from running import Done, call
from web_page import Parsed, assert_harmless

from voiceassist.page.attempt import CHANGES, OWN, Attempt
from voiceassist.page.classroom import Classroom, Grid
from voiceassist.page.html import class_html
from voiceassist.page.pdf import class_pdf
from voiceassist.record.lines import MarkGiven


def attempt(
    who: str, began: str = "2026-11-02 09:00", mark: Mapping[str, object] | None = None
) -> Attempt:
    told: dict[str, object] = {
        "event": "mark", "fault": "broken-wire", "named": "feed-side", "found": True, "points": 90,
        "minutes": 6.5, "quickest": {"steps": ["feed", "whole"], "minutes": 4.0, "changes": 1.0},
        "tests": [{"step": "feed", "minutes": 2.0}, {"step": "earth", "minutes": 1.0},
                  {"step": "feed", "minutes": 1.0}, {"step": "", "minutes": 1.0}],
    }  # fmt: skip
    return Attempt(
        "a-session", began, who, "side-lamp", "Rehearsal: x", MarkGiven({**told, **(mark or {})})
    )


def ten() -> Classroom:
    wrong = {"found": False, "named": "lamp", "points": 30, "condemned": ["side lamp"],
             "slips": ["A plug was pulled live.", "A plug was pulled live."]}  # fmt: skip
    good = [attempt(who, f"2026-11-0{i} 09:00") for i, who in enumerate("ABCA" * 2, 1)]
    return Classroom("Monday <b>", (*good, attempt("B", mark=wrong), attempt("D", mark=wrong)))


def table(of: Classroom, title: str) -> Grid:
    return next(one for one in of.tables() if one.title == title)


def test_time_is_lost_at_tests_that_the_shortest_way_lacks_or_makes_once() -> None:
    # By hand: feed again 1, earth 1, one of one's own 1; 6.5 less 5 for tests are changes, of
    # which the shortest way needs 1.
    lost = attempt("A").lost
    assert lost == pytest.approx({"earth": 1.0, "feed": 1.0, OWN: 1.0, CHANGES: 0.5})
    assert attempt("A").over == pytest.approx(2.5)


def test_a_lucky_guess_is_no_time_gained() -> None:
    quick = attempt("A", mark={"minutes": 0.5, "tests": []})
    assert quick.over == 0
    assert quick.lost == {}


def test_who_took_no_longer_in_all_lost_no_time_at_any_step() -> None:
    assert attempt("A", mark={"minutes": 3.9}).lost == {}


def test_each_trainee_has_a_row_with_what_was_found_and_missed() -> None:
    rows = [row.cells for row in table(ten(), "Who").rows]
    assert rows[0] == ("A", "4", "4 of 4", "90", "2.5 min", "0", "0")
    assert rows[1] == ("B", "3", "2 of 3", "70", "2.5 min", "1", "1")


def test_each_fault_has_a_row_with_what_was_named_instead() -> None:
    (row,) = table(ten(), "Which faults").rows
    assert row.cells == ("broken wire", "side-lamp", "8 of 10", "2.5 min", "lamp")


def test_what_was_missed_is_told_once_with_who_it_was() -> None:
    (slip,) = table(ten(), "Cautions missed").rows
    assert slip.cells == ("A plug was pulled live.", "2", "B, D")
    (part,) = table(ten(), "Parts condemned wrongly").rows
    assert part.cells == ("side lamp", "2", "B, D")
    none = table(Classroom("", (attempt("A"),)), "Cautions missed")
    assert (none.rows, none.none) == ((), "No caution was missed.")


def test_the_most_time_comes_first_and_bars_go_by_it() -> None:
    rows = table(ten(), "Where time is lost").rows
    assert [row.share for row in rows] == sorted((row.share for row in rows), reverse=True)
    assert rows[0].share == 1
    assert rows[-1].cells == (CHANGES, "side-lamp", "10", "5.0 min")


def test_a_mark_of_which_parts_are_missing_is_told_as_far_as_it_goes() -> None:
    bare = Attempt(
        "s", "", "A", "p", "", MarkGiven({"event": "mark", "tests": [{}, 3], "quickest": 1})
    )
    assert (bare.fault, bare.result, bare.over) == ("none", "not found, none named", 0.0)
    assert list(Classroom("", (bare,)).tables())


def test_ten_rehearsals_are_printed_and_every_row_says_that_it_is_one() -> None:
    page = class_html(ten())
    assert_harmless(page)
    assert Parsed(page).text.count("rehearsal 2026-11-") == 10
    reader = pypdf.PdfReader(io.BytesIO(class_pdf(ten())))
    paper = " ".join(" ".join(one.extract_text().split()) for one in reader.pages)
    for text in (Parsed(page).text, paper):
        assert "Monday <b>" in text
        assert "10 rehearsals by 4 trainees, from 2026-11-01" in text
        assert "none of them is a job" in text
        assert "not found, named lamp" in text
    assert len(reader.pages) <= 2


# --- the command ---


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two rehearsals and a job that is none."""
    from prove.shop import LAMP

    base = tmp_path_factory.mktemp("class")
    (base / "lamp.yaml").write_text(LAMP, encoding="utf-8")
    for who, named in (("=Kim", "feed side"), ("Ada", "lamp")):
        rehearsed(base, who, ("switch the side lights on", "voltage from lamp feed to frame",
                              f"it is the {named}", "finish"))  # fmt: skip
    call("run", str(base / "lamp.yaml"), "--typed", "--silent", "--records", str(base / "kept"),
         typed="affirm\ntwelve point six\nstop\naffirm\n")  # fmt: skip
    return base / "kept"


def rehearsed(base: Path, who: str, said: tuple[str, ...]) -> None:
    done = call(
        *("rehearse", str(base / "lamp.yaml"), "--free", "--fault", "broken-wire", "--seed", "4"),
        *("--typed", "--silent", "--set", f"technician={who}", "--records", str(base / "kept")),
        typed="".join(f"{line}\n" for line in said),
        XDG_CACHE_HOME=str(base / "cache"),
    )
    assert done.returncode == 0, done.stderr


def of_class(records: Path, *arguments: str) -> Done:
    return call("records", "class", *arguments, "--records", str(records))


def test_the_page_has_the_rehearsals_alone(records: Path, tmp_path: Path) -> None:
    out = tmp_path / "class.html"
    done = of_class(records, "Monday group", "--out", str(out), "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["rehearsals"] == 2
    text = Parsed(out.read_text(encoding="utf-8")).text
    assert "2 rehearsals by 2 trainees" in text
    assert "Monday group" in text


def test_as_a_table_each_rehearsal_is_a_row_that_says_so_and_no_cell_is_a_formula(
    records: Path,
) -> None:
    kim, ada = csv.DictReader(io.StringIO(of_class(records, "--as", "csv").stdout))
    assert {kim["kind"], ada["kind"]} == {"rehearsal"}
    assert (kim["trainee"], kim["found"], ada["found"]) == ("'=Kim", "yes", "no")
    assert (kim["minutes"], kim["fault"], ada["named"]) == ("1.5", "broken wire", "lamp")


def test_where_no_rehearsal_fits_it_is_said_what_would_do(records: Path) -> None:
    none = of_class(records, "--technician", "Nobody")
    assert none.returncode == 2
    assert "no rehearsal with a mark is kept here, or none fits" in none.stderr
    assert of_class(records, "--as", "docx").returncode == 2
