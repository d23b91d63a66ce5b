"""A session's own page as the bench serves it: the same words, and no style within it."""

import re
from pathlib import Path

from bays import END, FINDING, HEARD, READING, VERDICT, Bay

from voiceassist.app.bench.house import Archives, _report
from voiceassist.bench.report import served


def test_the_page_is_served_with_its_style_beside_it(tmp_path: Path) -> None:
    bay = Bay(tmp_path / "records", complaint="</style><script>alert(1)</script>", technician="Kim")
    bay.tell(HEARD, READING, VERDICT, FINDING, END)
    bay.close()
    made = _report(bay.id, Archives(str(tmp_path / "records"), ""))
    page, style, mark = served(made, bay.id)
    assert not re.findall(r"<style|\sstyle=|<script|http-equiv|SHA-256 of all before", page)
    assert f'href="/bench/session/{bay.id}/page.css?{mark}"' in page
    assert "&lt;/style&gt;&lt;script&gt;" in page
    for number in re.findall(r'data-s="(\d+)"', page):
        assert f'[data-s="{number}"]' in style
    assert ".facts" in style
    assert "the wire is broken" in page
