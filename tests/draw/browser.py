"""Pictures looked at by a real browser: what lies over what once it has laid out the letters."""

import html
import json
import re
import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

_SCRIPT = Path(__file__).with_name("overlaps.js")
_REPORT = re.compile("REPORT(.*)END", re.DOTALL)
_PAGE = (
    '<!doctype html><meta charset="utf-8"><style>body{{margin:0;width:{width}px}}'
    ".step-picture{{width:100%;height:auto;display:block}}{more}</style>"
    "<body>{pictures}<script>{script}</script>"
)


@dataclass(frozen=True)
class Seen:
    """A picture as a browser shows it.

    Parts:
        name: its title.
        overlaps: what lies over what.
        least: size of its smallest letters, in CSS px.
        width, height: in CSS px.
    """

    name: str
    overlaps: tuple[str, ...]
    least: float
    width: float
    height: float


def seen(pictures: Sequence[str], folder: Path, *, width: int, more: str = "") -> list[Seen]:
    """Each of ``pictures`` as shown ``width`` px wide, with ``more`` in the style sheet."""
    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("the Debian package chromium is not installed")
    page = folder / "pictures.html"
    script = _SCRIPT.read_text(encoding="utf-8")
    text = _PAGE.format(width=width, more=more, pictures="".join(pictures), script=script)
    page.write_text(text, encoding="utf-8")
    command = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom"]
    home = f"--user-data-dir={folder / 'browser'}"
    ran = subprocess.run(
        [*command, home, f"--window-size={max(width, 500)},800", page.as_uri()],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    found = _REPORT.search(ran.stdout)
    assert found is not None, "the page did not tell what it found"
    every = json.loads(html.unescape(found[1]))
    return [
        Seen(o["name"], tuple(o["overlaps"]), o["least"], o["width"], o["height"]) for o in every
    ]
