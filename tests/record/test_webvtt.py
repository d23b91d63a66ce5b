"""The transcript as WebVTT, before a strict parser of that format and a tolerant reader."""

import html
import json
import os
import shutil
import subprocess
from collections.abc import Sequence
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import webvtt as reader
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.record.entry import Entry
from voiceassist.record.said import ASSISTANT, TECHNICIAN, Cue
from voiceassist.record.transcript import Transcript
from voiceassist.record.webvtt import one_line, shortened, timestamp, webvtt_file

HOUSE = Path(__file__).parents[1]
STRICT = """
const { WebVTTParser } = require("webvtt-parser");
const texts = JSON.parse(require("fs").readFileSync(0, "utf8"));
const found = texts.map((text) => new WebVTTParser().parse(text, "metadata"));
process.stdout.write(JSON.stringify(found));
"""


@cache
def modules() -> Path:
    """Where the npm packages are; the test is skipped where they are not."""
    folder = Path(os.environ.get("VOICEASSIST_NODE_MODULES") or HOUSE / "node_modules")
    if shutil.which("node") is None:
        pytest.skip("node is not installed")
    if not (folder / "webvtt-parser").is_dir():
        pytest.skip("webvtt-parser is not installed: npm ci --prefix tests")
    return folder


def strictly(*texts: str) -> list[dict[str, Any]]:
    """``errors`` and ``cues`` of each text, by the parser that npm calls webvtt-parser."""
    done = subprocess.run(
        ["node", "-e", STRICT],
        input=json.dumps(texts),
        env={**os.environ, "NODE_PATH": str(modules())},
        capture_output=True,
        text=True,
        check=True,
    )
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


GOOD = "WEBVTT\n\n1\n00:00:01.000 --> 00:00:02.000\n<v Technician>eight\n"


# W3C WebVTT, section 4: each sample breaks one rule of the syntax.
@pytest.mark.parametrize(
    "bad",
    [
        GOOD.replace("00:00:01.000", "60:00.000"),
        GOOD.replace("01.000", "01,000"),
        GOOD.replace("00:00:02.000", "00:00:01.000"),
        GOOD.replace("01.000", "01.00"),
        GOOD.replace("WEBVTT\n", ""),
    ],
)
def test_the_strict_parser_refuses_what_the_format_forbids(bad: str) -> None:
    good_one, bad_one = strictly(GOOD, bad)
    assert good_one["errors"] == []
    assert bad_one["errors"]


def test_the_transcript_of_a_journal_is_strict_webvtt(kept: Sequence[Entry]) -> None:
    (found,) = strictly(Transcript(kept).webvtt())
    assert found["errors"] == []
    assert [(cue["startTime"], cue["endTime"]) for cue in found["cues"]][:2] == [
        (0, 1.5),
        (2, 3.25),
    ]
    assert [cue["text"].splitlines()[0] for cue in found["cues"]] == [
        "<v Assistant>Measure the voltage.",
        "<v Technician>twelve point six oh volts",
        "<v Assistant>12.60 V.",
    ]


AWKWARD = [
    "a & b &amp; <v Nobody>",
    "--> 00:00:01.000 --> 00:00:02.000",
    "a\n\nb\r\nc\rd",
    "\x00\x1b[0m\x85\u2028\u2029",
    "NOTE\n\nSTYLE\n\nWEBVTT",
    "\ud800 lone",
    "전압 8.4 볼트 🔋 👩‍🔧",
    "<b>",
    "",
]


def test_no_text_breaks_the_strict_format() -> None:
    # Starts and ends a thousandth apart, and so far out that hours need three digits.
    cues = [Cue(ASSISTANT, text, 360_000.0, 360_000.001) for text in AWKWARD if one_line(text)]
    cues += [Cue(TECHNICIAN, "x", 360_001.0, 360_002.0, text) for text in AWKWARD]
    text = webvtt_file(AWKWARD, cues)
    assert "\ufffd" not in text
    (found,) = strictly(text)
    assert found["errors"] == []
    assert len(found["cues"]) == len(cues)


def test_an_empty_journal_gives_an_empty_but_strict_file() -> None:
    (found,) = strictly(Transcript([]).webvtt())
    assert found == {**found, "errors": [], "cues": []}


@given(st.lists(st.text(min_size=1), max_size=4), st.text())
def test_any_words_survive_the_file(said: list[str], note: str) -> None:
    said = [text for text in said if one_line(text)]
    cues = [Cue(TECHNICIAN, text, float(i), i + 0.5) for i, text in enumerate(said)]
    back = reader.from_buffer(StringIO(webvtt_file([note], cues)))
    assert [html.unescape(caption.text) for caption in back.captions] == [
        one_line(text) for text in said
    ]
    assert [caption.voice for caption in back.captions] == [TECHNICIAN] * len(said)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("eight point four", "eight point four"),
        ("  eight \n\n point\tfour ", "eight point four"),
        ("8.4\u00a0V", "8.4\u00a0V"),
        ("a\u2028b\x00c\ud800d", "a b c d"),
        ("👩\u200d🔧", "👩\u200d🔧"),
    ],
)
def test_text_becomes_one_line_and_keeps_what_can_be_shown(text: str, line: str) -> None:
    assert one_line(text) == line


@pytest.mark.parametrize(
    ("seconds", "written"),
    [
        (0.0, "00:00:00.000"),
        (0.0004, "00:00:00.000"),
        (59.9996, "00:01:00.000"),
        (3599.9996, "01:00:00.000"),
        (3661.25, "01:01:01.250"),
        (359_999.9, "99:59:59.900"),
        (360_000.0, "100:00:00.000"),
    ],
)
def test_a_timestamp_has_hours_minutes_seconds_and_thousandths(
    seconds: float, written: str
) -> None:
    assert timestamp(seconds) == written


@pytest.mark.parametrize(
    ("text", "most", "shown"),
    [
        ("a fuse", 6, "a fuse"),
        ("a fuse blew", 6, "a fus…"),
        ("a fuse blew", 7, "a fuse…"),
        ("", 1, ""),
    ],
)
def test_a_text_that_is_too_long_is_cut_and_says_so(text: str, most: int, shown: str) -> None:
    assert shortened(text, most) == shown
    assert len(shortened(text, most)) <= most
    assert shortened("a fuse blew", 9, " (cut)") == "a f (cut)"


def test_a_note_keeps_its_arrow_in_a_form_that_is_no_time() -> None:
    assert webvtt_file(["fuse --> lamp"], []) == "WEBVTT\n\nNOTE\nfuse → lamp\n"
