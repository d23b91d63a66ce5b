"""What stands beside the session on its pages: shop, meter, pictures, lines to sign."""

import io
import re
import shutil
import subprocess
from pathlib import Path

import PIL.Image
import pypdf
import pytest
from handed_out import demo_words, lines_of
from running import call

from voiceassist.app.pages.enclosing import Shop, enclosed, shop_of
from voiceassist.app.pages.images import logo, picture
from voiceassist.app.pages.pages import PageRequest, page
from voiceassist.app.settings.settings import Settings
from voiceassist.errors import RecordError, SettingsError
from voiceassist.page.html import html
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import session_report
from voiceassist.record.folder import SessionFolder, sessions
from voiceassist.record.read_journal import read
from voiceassist.record.read_session import ReadSession
from voiceassist.record.summary import summary

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20">{}</svg>'
_MARKS = re.compile(r"<style>.*?</style>|<[^>]+>", re.DOTALL)
SQUARE = '<rect width="40" height="20" fill="#234"/>'
CUSTOMERS = {"customer": "D. Levy", "repair order": "1042", "vehicle": "Quillback 26"}


def png(width: int = 30, height: int = 20) -> bytes:
    content = io.BytesIO()
    PIL.Image.new("RGB", (width, height), "#345").save(content, "PNG")
    return content.getvalue()


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> SessionFolder:
    """The job of the demo with a picture, the shop's own meter, and a fact for the shop alone."""
    base = tmp_path_factory.mktemp("shop")
    (base / "pin.png").write_bytes(png(300, 200))
    ordinary = Path(__file__).parents[2] / "procedures" / "meters" / "ordinary.yaml"
    meter = ordinary.read_text("utf-8").replace(
        "source:", "serial: 4711-208\ncalibrated: 2026-03-01\nsource:"
    )
    (base / "ordinary.yaml").write_text(meter, "utf-8")
    words = demo_words().splitlines()
    words.insert(3, f"note picture {base / 'pin.png'} the burnt pin")
    words.insert(4, f"note picture {base / 'none.png'}")
    facts = {**CUSTOMERS, "internal note": "always pays late"}
    given = [part for item in facts.items() for part in ("--set", "=".join(item))]
    ran = call(
        *("run", "heater-fan-module", "--typed", "--silent", "--records", str(base / "records")),
        *("--meter", str(base / "ordinary.yaml"), *given),
        typed="\n".join(words),
    )
    assert ran.returncode == 0, ran.stderr
    assert "I cannot keep that picture: it cannot be read" in ran.stderr + ran.stdout
    (folder,) = sessions(base / "records")
    return folder


def shop(tmp_path: Path, **more: str) -> PageRequest:
    """A customer's page of a shop with all there is."""
    (tmp_path / "logo.svg").write_text(SVG.format(SQUARE))
    chosen = {
        "shop_name": "Harbour Lane Auto Electrics",
        "shop_address": "12 Harbour Lane; Port Ember",
        "shop_logo": str(tmp_path / "logo.svg"),
    }
    return PageRequest(
        Reader.CUSTOMER, "html", "a4", shop_of(Settings().changed(chosen | more, "test"))
    )


def text_of(folder: SessionFolder, wish: PageRequest) -> str:
    content = page(folder, read(folder.journal), wish)
    if wish.form == "pdf":
        found = pypdf.PdfReader(io.BytesIO(content)).pages
        return " ".join(" ".join(each.extract_text().split()) for each in found)
    return " ".join(_MARKS.sub(" ", content.decode()).split())


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_customer_reads_the_shop_the_meter_and_how_readings_came_in(
    done: SessionFolder, tmp_path: Path, form: str
) -> None:
    wish = shop(tmp_path)
    text = text_of(done, PageRequest(wish.reader, form, wish.paper, wish.shop))
    kept = summary(lines_of(done)).readings  # all of them were typed
    typed = sum(reading.counts for reading in kept)
    assert typed > 10
    for told in (
        *("Harbour Lane Auto Electrics", "12 Harbour Lane", "Port Ember", "D. Levy"),
        *("serial number 4711-208", "calibrated 2026-03-01", f"{typed} typed", "the burnt pin"),
        *("Date", "Signature of the customer", "For the shop"),
    ):
        assert told in text


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_only_facts_meant_for_the_customer_reach_the_customer(
    done: SessionFolder, tmp_path: Path, form: str
) -> None:
    for reader in Reader:
        text = text_of(done, PageRequest(reader, form))
        assert ("always pays late" in text) is (reader is not Reader.CUSTOMER)
    chosen = shop(tmp_path, customer_facts="Repair-Order, internal note").shop
    text = text_of(done, PageRequest(Reader.CUSTOMER, form, "a4", chosen))
    assert "always pays late" in text
    assert "D. Levy" not in text


#: A procedure with a fact for each kind of reader, and one that says nothing of readers.
FACTS = """\
procedure: facts
title: A lamp
for: an invented trailer
facts:
  supply: {say: the nominal supply voltage, unit: V, value: 12 V, shown-to: customer}
  rated: {say: the current on the label, unit: A, shown-to: customer}
  spare: {say: the current of the spare lamp, unit: A}
  secret: {say: what we pay for a lamp, unit: A, shown-to: shop}
steps:
  feed: {measure: voltage at the lamp, accept: 0.9 * supply to 13 V, fail: weak, then: weak}
findings:
  weak: {cause: a weak feed, correction: mend it}
"""


@pytest.fixture(scope="module")
def with_facts(tmp_path_factory: pytest.TempPathFactory) -> SessionFolder:
    base = tmp_path_factory.mktemp("facts")
    (base / "facts.yaml").write_text(FACTS, "utf-8")
    said = ["five amps", "six amps", "seven amps", "eleven volts", "finish", "yes"]
    ran = call(
        *("run", str(base / "facts.yaml"), "--typed", "--silent"),
        *("--records", str(base / "records"), "--set", "vehicle=a trailer"),
        typed="\n".join(said),
    )
    (folder,) = sessions(base / "records")
    told = {line["name"]: line["value"] for line in lines_of(folder) if line["event"] == "fact"}
    assert told == {"rated": "5 A", "spare": "6 A", "secret": "7 A"}, ran.stdout
    return folder


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_procedure_says_which_of_its_facts_the_customer_reads(
    with_facts: SessionFolder, tmp_path: Path, form: str
) -> None:
    for chosen in (Shop(), shop(tmp_path, customer_facts="vehicle, spare, secret").shop):
        text = text_of(with_facts, PageRequest(Reader.CUSTOMER, form, "a4", chosen))
        assert "The nominal supply voltage 12 V" in text
        assert "The current on the label 5 A" in text
        assert "7 A" not in text
        assert ("6 A" in text) is (chosen != Shop())
    assert "7 A" in text_of(with_facts, PageRequest(Reader.SHOP, form))


def test_pages_count_their_pages(done: SessionFolder) -> None:
    content = page(done, read(done.journal), PageRequest(Reader.SHOP, "pdf"))
    found = [each.extract_text() for each in pypdf.PdfReader(io.BytesIO(content)).pages]
    assert len(found) > 2
    for number, text in enumerate(found, 1):
        assert f"page {number} of {len(found)}" in text


def test_a_picture_that_was_changed_is_not_shown_but_told_and_seen_by_verify(
    done: SessionFolder, tmp_path: Path
) -> None:
    copy = SessionFolder(tmp_path / "records" / done.id)
    shutil.copytree(done.path, copy.path)
    assert len(enclosed(copy, ReadSession(lines_of(copy)), Shop(), {}).pictures) == 1
    (copy.path / "picture-001.jpg").write_bytes(picture_of(tmp_path, png(9, 9)))
    assert enclosed(copy, ReadSession(lines_of(copy)), Shop(), {}).missing == ("picture-001.jpg",)
    text = text_of(copy, PageRequest(Reader.CUSTOMER))
    assert "Gone, or changed since, and not shown: picture-001.jpg." in text
    told = call("records", "verify", "--records", str(tmp_path / "records"))
    assert "picture-001.jpg: the picture is not the one that was attached" in told.stdout


def picture_of(tmp_path: Path, data: bytes) -> bytes:
    (tmp_path / "any.png").write_bytes(data)
    return picture(tmp_path / "any.png")


def test_a_meter_file_that_was_changed_is_not_believed(done: SessionFolder, tmp_path: Path) -> None:
    copy = SessionFolder(tmp_path / done.id)
    shutil.copytree(done.path, copy.path)
    copy.write("meter.yaml", copy.read("meter.yaml").replace("2026-03-01", "2026-11-01"))
    assert "calibrated" not in text_of(copy, PageRequest(Reader.CUSTOMER))


def test_pictures_can_be_added_to_a_session_that_is_over(
    done: SessionFolder, tmp_path: Path
) -> None:
    shutil.copytree(done.path, tmp_path / "records" / done.id)
    (tmp_path / "plug.png").write_bytes(png())
    asked = ("--picture", str(tmp_path / "plug.png"), "--caption", "the new plug")
    added = call("records", "add", "last", *asked, "--records", str(tmp_path / "records"))
    assert added.returncode == 0, added.stderr
    text = text_of(SessionFolder(tmp_path / "records" / done.id), PageRequest(Reader.SHOP))
    assert "the new plug" in text
    assert "added afterwards by" in text


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "the file is empty"),
        (b"hello", "this is no PNG or JPEG that can be read"),
        (png()[:40], "this is no PNG or JPEG that can be read"),
        (png()[:16] + b"\x00\x01\x00\x00\x00\x01\x00\x00" + png()[24:], "is no PNG|too many"),
    ],
)
def test_what_is_no_picture_is_refused_in_a_sentence(
    done: SessionFolder, tmp_path: Path, content: bytes, told: str
) -> None:
    shutil.copytree(done.path, tmp_path / "records" / done.id)
    (tmp_path / "plug.png").write_bytes(content)
    where = ("--picture", str(tmp_path / "plug.png"), "--records", str(tmp_path / "records"))
    added = call("records", "add", "last", *where)
    assert added.returncode == 2
    assert re.search(told, added.stderr)
    assert len(added.stderr.strip().splitlines()) == 1


def test_a_kept_picture_tells_nothing_but_what_is_seen(tmp_path: Path) -> None:
    made = PIL.Image.new("RGB", (4000, 10), "red")
    about = PIL.Image.Exif()
    about[0x010F] = "a camera"  # Make; source: Exif 2.3, table of tags of IFD0
    made.save(tmp_path / "a.jpg", exif=about)
    kept = PIL.Image.open(io.BytesIO(picture(tmp_path / "a.jpg")))
    assert not dict(kept.getexif())
    assert b"a camera" not in picture(tmp_path / "a.jpg")
    assert max(kept.size) == 1600


# --- the logo ---


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("a.svg", SVG.format("<script>x()</script>"), "holds <script>"),
        ("a.svg", SVG.format('<rect onclick="x()"/>'), "holds 'onclick'"),
        ("a.svg", SVG.format('<image href="file:///etc/passwd"/>'), "holds <image>"),
        ("a.svg", SVG.format('<use href="http://x/y.svg#a"/>'), "fetches 'http"),
        ("a.svg", SVG.format('<rect style="fill:url(http://x)"/>'), "fetches"),
        ("a.svg", SVG.format("<style>@import 'x.css';</style>"), "fetches"),
        ("a.svg", '<!DOCTYPE svg [<!ENTITY a "b">]>' + SVG.format(""), "declares"),
        ("a.svg", "<html/>", "this is no SVG"),
        ("a.svg", "<svg", "no SVG that can be read"),
        ("a.svg", "<a>" * 100_000, "no SVG that can be read"),
        ("a.png", "no picture", "no PNG that can be read"),
        ("a.png", "x" * 1_000_001, "larger than 1 MB"),
    ],
)
def test_a_logo_that_is_more_than_a_drawing_is_refused(
    tmp_path: Path, name: str, content: str, told: str
) -> None:
    (tmp_path / name).write_text(content)
    with pytest.raises(SettingsError, match=told) as error:
        logo(tmp_path / name)
    assert "shop_logo" in str(error.value)
    assert "\n" not in str(error.value)


def test_a_logo_that_is_missing_or_a_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="it cannot be read"):
        logo(tmp_path / "none.png")
    with pytest.raises(SettingsError, match="not a file"):
        logo(tmp_path)
    with pytest.raises(RecordError, match="not a file"):
        picture(tmp_path)


@pytest.mark.parametrize("name", ["logo.svg", "logo.png"])
def test_a_logo_stands_on_both_kinds_of_page(
    done: SessionFolder, tmp_path: Path, name: str
) -> None:
    wish = shop(tmp_path)
    (tmp_path / "logo.png").write_bytes(png())
    head = shop_of(Settings(shop_name="S", shop_logo=str(tmp_path / name)))
    told = html(
        session_report(lines_of(done)),
        Reader.CUSTOMER,
        "",
        enclosed(done, ReadSession(lines_of(done)), head, {}),
    )
    assert re.search(r'<img class="logo" alt="" src="data:image/(png|svg\+xml);base64,', told)
    with_logo = page(done, read(done.journal), PageRequest(wish.reader, "pdf", "a4", head))
    without = page(done, read(done.journal), PageRequest(wish.reader, "pdf"))
    assert len(with_logo) > len(without)


# --- seen ---


@pytest.mark.slow
def test_the_page_is_drawn_with_logo_names_and_pictures(
    done: SessionFolder, tmp_path: Path
) -> None:
    chromium = shutil.which("chromium")
    if chromium is None or shutil.which("pdftoppm") is None:
        pytest.skip("chromium or pdftoppm is not installed")
    wish = shop(tmp_path)
    (tmp_path / "a.pdf").write_bytes(
        page(done, read(done.journal), PageRequest(wish.reader, "pdf", "a4", wish.shop))
    )
    subprocess.run(["pdftoppm", "-r", "50", "-png", "a.pdf", "a"], cwd=tmp_path, check=True)
    seen = PIL.Image.open(tmp_path / "a-1.png").convert("RGB")
    logo_colour = (0x22, 0x33, 0x44)
    right = seen.crop((seen.width * 2 // 3, 0, seen.width, seen.height // 6))
    assert count(right, logo_colour) > 50
    (tmp_path / "a.html").write_bytes(page(done, read(done.journal), wish))
    subprocess.run(
        [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--window-size=900,2600",
         f"--screenshot={tmp_path / 'b.png'}", (tmp_path / "a.html").as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    seen = PIL.Image.open(tmp_path / "b.png").convert("RGB")
    assert count(seen.crop((450, 0, 900, 200)), logo_colour) > 50
    assert count(seen, (0x33, 0x44, 0x55)) > 10_000  # the picture


def count(seen: PIL.Image.Image, colour: tuple[int, int, int]) -> int:
    """How many dots have nearly this colour."""
    found = 0
    for number, shade in seen.getcolors(1 << 24) or []:
        assert isinstance(shade, tuple)
        found += number * (max(abs(a - b) for a, b in zip(shade, colour, strict=True)) < 6)
    return found


@pytest.mark.slow
def test_a_name_in_hangul_is_drawn_and_not_boxed(tmp_path: Path) -> None:
    """Two names of three signs each look otherwise; boxes would all look the same."""
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip("chromium is not installed")
    at = "2026-01-02T08:00:00.000+01:00"
    drawn = []
    for number, name in enumerate(("김민수", "박서연")):
        head = {"seq": 1, "at": at, "event": "session", "title": "A", "facts": {"customer": name}}
        path = tmp_path / f"{number}.html"
        path.write_text(html(session_report([head]), Reader.CUSTOMER), "utf-8")
        subprocess.run(
            [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--window-size=900,400",
             f"--screenshot={tmp_path / 'c.png'}", path.as_uri()],
            check=True, capture_output=True, timeout=120,
        )  # fmt: skip
        drawn.append(PIL.Image.open(tmp_path / "c.png").convert("L").tobytes())
    assert drawn[0] != drawn[1]
