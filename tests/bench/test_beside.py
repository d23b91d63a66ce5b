"""What stands beside a session: its step as a picture, and what is likely."""

import re
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

import pytest
from bays import Bay

from voiceassist import resources
from voiceassist.app.bench.beside import causes, picture
from voiceassist.draw.step_picture import STYLE

PROCEDURE = "dim-headlamp"


class _Elements(HTMLParser):
    """Ids, and attributes that a strict policy forbids."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.inline: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for name, value in attrs if name == "id"]
        self.inline += [tag for name, _ in attrs if name == "style" or name.startswith("on")]
        self.inline += [tag] if tag in {"style", "script"} else []


@pytest.fixture
def bay(tmp_path: Path) -> Bay:
    made = Bay(tmp_path / "records", PROCEDURE, vehicle="number 7")
    made.folder.write("meter.yaml", resources.read_text(resources.meter_path("ordinary")))
    return made


def test_the_step_is_drawn_with_what_was_read_and_nothing_inline(bay: Bay) -> None:
    bay.tell({"event": "ask", "step": "battery", "text": "Measure."})
    before = picture(bay.folder.path)
    bay.tell(
        {"event": "reading", "step": "battery", "shown": "12.34 V", "value": "12.34", "unit": "V"},
        {"event": "verdict", "step": "battery", "reading": "12.34 V", "verdict": "pass",
         "limit": "12 V to 13 V", "low": "12 V", "high": "13 V"},
    )  # fmt: skip
    after = picture(bay.folder.path)
    assert "12.34 V" in after
    assert "12.34 V" not in before
    found = _Elements(after)
    assert found.inline == []
    assert found.ids
    assert len(found.ids) == len(set(found.ids))
    named = re.findall(r'aria-labelledby="([^"]+)"', after)
    assert {each for one in named for each in one.split()} <= set(found.ids)


def test_the_page_has_the_style_of_the_picture() -> None:
    own = (files("voiceassist.bench") / "static" / "drawing.css").read_text(encoding="utf-8")
    assert own.replace("\n", "") == STYLE


def test_a_step_that_the_procedure_does_not_have_is_not_drawn(bay: Bay) -> None:
    bay.tell({"event": "ask", "step": "no-such-step", "text": "Measure."})
    assert picture(bay.folder.path) == ""


def test_without_its_procedure_nothing_stands_beside_it(tmp_path: Path) -> None:
    made = Bay(tmp_path / "records")
    assert causes(made.folder.path) is None
    assert picture(made.folder.path) == ""
