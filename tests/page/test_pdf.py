"""The PDF: the same words as the page on a screen, readable by any reader of PDF."""

import re
import shutil
import subprocess
import unicodedata
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from handed_out import account_of, lines_of

from voiceassist.page.joined import joined
from voiceassist.page.letters import PLAIN, Letters
from voiceassist.page.paper import PAPERS
from voiceassist.page.pdf import _behind, pdf
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import session_report
from voiceassist.record.folder import SessionFolder

Line = Mapping[str, object]


def pages(content: bytes) -> list[str]:
    """The text of each page, single spaces between words."""
    reader = pypdf.PdfReader(BytesIO(content))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def small(**facts: str) -> list[Line]:
    at = "2026-01-02T08:00:00.000+01:00"
    head = {"seq": 1, "at": at, "event": "session", "title": "A lamp", "facts": facts}
    said = {"seq": 2, "at": at, "event": "say", "text": "20.5 °C, 4.7 kΩ, 33 µF — 10 ≤ 12 ±0.5"}
    return [head, said]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_first_page_holds_all_that_matters(demo: SessionFolder, paper: str) -> None:
    told = account_of(demo)
    first, second, *_ = pages(pdf(told, Reader.SHOP, paper))
    for text in (told.summary.complaint, told.cause, told.correction, told.last_hash):
        assert text in first
    for row in (*told.proving, *told.repaired):
        assert row.label in first
        assert row.measured.shown in first
    assert "The whole session" in second


@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_paper_has_the_size_that_was_asked_for(
    demo: SessionFolder, paper: str, size: tuple[float, float]
) -> None:
    # ISO 216 and ANSI/ASME Y14.1, in millimetres; a point is 1/72 inch.
    box = pypdf.PdfReader(BytesIO(pdf(account_of(demo), paper=paper))).pages[0].mediabox
    assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(
        size, abs=0.1
    )


def test_every_reading_and_caution_is_in_the_details(astray: SessionFolder) -> None:
    text = " ".join(pages(pdf(account_of(astray)))[1:])
    for line in lines_of(astray):
        if line["event"] == "reading":
            assert str(line["shown"]) in text
        elif line["event"] == "caution":
            # A long caution runs over lines, which the text of a PDF does not join.
            assert str(line["text"])[:40] in text
    assert "8 Ω" in text
    assert "understood as correction to 12.6 V, typed" in text


def test_signs_of_units_and_names_with_accents_are_shown() -> None:
    names = {"technician": "Zoë Łukasz-Núñez Őry Żółć", "vehicle": "Иван Ωμέγα"}
    text = " ".join(pages(pdf(session_report(small(**names)))))
    for shown in (*names.values(), "20.5 °C, 4.7 kΩ, 33 µF — 10 ≤ 12 ±0.5"):
        assert shown in text
    assert "Signs that this font lacks" not in text


def test_signs_that_the_font_lacks_are_owned_up_to() -> None:
    # Syriac letters join, and no font here has them; U+1FAD7 is newer than the fonts.
    text = " ".join(pages(pdf(session_report(small(technician="\u0710\u0712 \U0001fad7")))))
    assert "Signs that this font lacks are shown as ◊: U+0710, U+0712, U+1FAD7" in text
    assert "?" not in text


#: Names as people of these scripts write them (from memory).
NAMES = {
    "Hebrew": "דנה לוי",
    "Arabic": "محمد الخطيب",
    "Persian": "گاراژ پارس",
    "Urdu": "ٹرک نمبر",
    "Hangul": "김민수",
    "Greek": "Ωμέγα",
    "Cyrillic": "Иван",
    "Han": "王小明",
}


@pytest.mark.parametrize("script", NAMES)
def test_names_in_other_scripts_are_shown_with_their_own_letters(
    tmp_path: Path, script: str
) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed")
    path = tmp_path / "page.pdf"
    path.write_bytes(pdf(session_report(small(customer=NAMES[script])), Reader.CUSTOMER))
    # An independent reader of PDF, which undoes the order of right to left.
    done = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=True)
    text = done.stdout.decode()
    plain = re.sub("[\\u200e\\u200f\\u202a-\\u202e]", "", text)
    # NFKC makes plain letters of the forms that joined letters have.
    assert NAMES[script] in unicodedata.normalize("NFKC", plain)
    assert "?" not in text
    assert "lacks" not in text
    assert "\ufffd" not in text


#: Letter, and whether it stands alone, begins, is in the middle or ends: code points of the forms
#: as the Unicode Standard lists them (Arabic Presentation Forms-B, U+FE70 to U+FEFF).
FORMS = {
    "\u0628": [0xFE8F],
    "\u0628\u0628\u0628": [0xFE91, 0xFE92, 0xFE90],
    "\u062f\u0628": [0xFEA9, 0xFE8F],
    "\u0644\u0627": [0xFEFB],
}


@pytest.mark.parametrize("word", FORMS)
def test_arabic_letters_join_as_the_standard_has_them(word: str) -> None:
    assert [ord(c) for c in joined(word)] == FORMS[word]
    assert joined(joined(word)) == joined(word)


def test_brackets_around_what_is_read_from_the_right_open_the_right_way() -> None:
    # Unicode Standard Annex 9, rule L4: of a pair in such a text the mirrored sign is drawn.
    letters = Letters(_behind(set("אב")))
    (_, piece), *_ = letters.runs(letters.shown("א (ב) א", PLAIN), PLAIN)
    whole = "".join(text for _, text in letters.runs(letters.shown("א (ב) א", PLAIN), PLAIN))
    assert piece == "א"
    assert whole == "א (ב) א"


def test_an_arabic_letter_without_joined_forms_is_owned_up_to() -> None:
    # U+08A0 has none among the presentation forms (Unicode Character Database).
    text = " ".join(pages(pdf(session_report(small(technician="\u08a0\u0628")))))
    assert "lacks are shown as ◊: U+08A0" in text


def test_a_customer_gets_one_page(demo: SessionFolder) -> None:
    (page,) = pages(pdf(account_of(demo), Reader.CUSTOMER))
    assert "too high" in page
    assert "probability" not in page


def test_the_lesson_has_its_page(astray: SessionFolder) -> None:
    second = pages(pdf(account_of(astray), Reader.INSTRUCTOR))[1]
    assert "What can be learnt" in second
    assert "put right: 12.8 V became 12.6 V" in second


def test_the_same_session_gives_the_same_file(demo: SessionFolder) -> None:
    told = account_of(demo)
    assert pdf(told) == pdf(told)


def test_words_without_any_space_do_not_leave_the_paper() -> None:
    long = "x" * 4000
    content = pdf(session_report(small(vehicle=long, complaint=long)))
    assert "".join(pages(content)).replace(" ", "").count("x") >= 2 * len(long)
    assert min(heights(content)) >= LOWEST


def test_a_customer_gets_one_page_however_long_the_words() -> None:
    long = "x " * 50_000
    facts = {"customer": long, "vehicle": long, "complaint": f"said {long}"}
    (page,) = pages(pdf(session_report(small(**facts)), Reader.CUSTOMER))
    assert page.count("the shop's record has the whole") == 3


@pytest.mark.parametrize("reader", sorted(set(Reader) - {Reader.CUSTOMER}))
def test_a_text_longer_than_a_page_goes_on_on_the_next(reader: Reader) -> None:
    long = " ".join(f"word{number}" for number in range(3000))
    content = pdf(session_report(small(vehicle=long, complaint=f"said {long}")), reader)
    assert min(heights(content)) >= LOWEST
    assert len(pages(content)) >= 4
    found = re.findall(r"word(\d+)", " ".join(pages(content)))
    assert [int(number) for number in found].count(2999) >= 2
    assert set(map(int, found)) == set(range(3000))


#: The foot of a page, in points from the bottom; nothing is written below it.
LOWEST = 44.0 - 18.0


def heights(content: bytes) -> list[float]:
    """Where each piece of text stands, in points from the bottom."""
    found: list[float] = []

    def seen(text: str, _cm: object, matrix: list[float], _font: object, _size: float) -> None:
        if text.strip():
            found.append(matrix[5])

    for page in pypdf.PdfReader(BytesIO(content)).pages:
        page.extract_text(visitor_text=seen)
    return found


@pytest.mark.slow
def test_nothing_is_drawn_in_the_margins(astray: SessionFolder, tmp_path: Path) -> None:
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is not installed")
    path = tmp_path / "report.pdf"
    path.write_bytes(pdf(account_of(astray)))
    subprocess.run(["pdftoppm", "-r", "36", "-gray", str(path), str(tmp_path / "page")], check=True)
    found = sorted(tmp_path.glob("page*.pgm"))
    assert len(found) == len(pages(path.read_bytes()))
    for page in found:
        magic, width, height, _, dots = re.split(rb"\s", page.read_bytes(), maxsplit=4)
        assert magic == b"P5"
        rows = [dots[i * int(width) : (i + 1) * int(width)] for i in range(int(height))]
        # 44 points of margin are 22 dots here; two are left for the softness of an edge.
        assert min(min(row[:20] + row[-20:]) for row in rows) == 255
        assert min(min(row) for row in rows) < 100
