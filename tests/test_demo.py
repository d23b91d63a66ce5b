"""The main job, end to end, on real sound: the first thing a user sees."""

import json
import os
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest

from voiceassist.devices.wav import read_clip
from voiceassist.record.journal import verify
from voiceassist.sound.level import level_of


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[dict[str, object]], Path, float]:
    """The lines of one demo, its folder, and how long it took."""
    records = tmp_path_factory.mktemp("records")
    began = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "voiceassist", "demo", "--json", "--records", str(records)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    took_s = time.monotonic() - began
    assert done.returncode == 0, done.stderr
    (folder,) = records.iterdir()
    return [json.loads(line) for line in done.stdout.splitlines()], folder, took_s


Demo = tuple[list[dict[str, object]], Path, float]


def of(demo: Demo, kind: str) -> list[dict[str, object]]:
    return [line for line in demo[0] if line["event"] == kind]


def test_it_ends_at_the_right_finding_and_a_proved_repair(demo: Demo) -> None:
    assert [finding["name"] for finding in of(demo, "finding")] == ["module"]
    assert [end["outcome"] for end in of(demo, "end")] == ["repaired"]


def test_the_finding_stands_on_the_readings_that_were_spoken(demo: Demo) -> None:
    because = of(demo, "finding")[0]["because"]
    assert isinstance(because, list)
    assert {"feed: 12.5 V", "command slow: 8.4 V", "motor slow: 12.3 V"} <= set(because)


def test_it_hears_every_word_of_the_recorded_technician(demo: Demo) -> None:
    import yaml

    home = Path(__file__).parents[1] / "audio_fixtures" / "demo"
    script = yaml.safe_load((home / "script.yaml").read_text(encoding="utf-8"))
    spoken = [phrase["words"] for phrase in script["phrases"]]
    assert [line["words"] for line in of(demo, "heard")] == spoken


def test_it_shows_what_a_session_can_do(demo: Demo) -> None:
    assert any(v["verdict"] == "high" for v in of(demo, "verdict")), "a reading out of its limit"
    assert any(r["corrects"] for r in of(demo, "reading")), "a correction"
    assert any(h["words"] == "say again" for h in of(demo, "heard"))
    assert any(c["acknowledge"] for c in of(demo, "caution"))


def test_nothing_is_spoken_before_its_time(demo: Demo) -> None:
    timed = [line for line in demo[0] if "start_s" in line]
    places = [(float(str(line["start_s"])), float(str(line["end_s"]))) for line in timed]
    assert all(before[1] <= after[0] + 0.001 for before, after in pairwise(places))


def test_the_record_is_whole_and_unaltered(demo: Demo) -> None:
    folder = demo[1]
    report = verify(folder / "journal.jsonl")
    assert report.intact
    assert len(report.entries) == len(demo[0])
    names = {path.name for path in folder.iterdir()}
    assert {
        "transcript.vtt",
        "transcript.txt",
        "report.txt",
        "procedure.yaml",
        "answers.wav",
    } <= names


def test_the_report_tells_cause_correction_and_proof(demo: Demo) -> None:
    text = (demo[1] / "report.txt").read_text(encoding="utf-8")
    for part in (
        "The fan module does not follow a good command",
        "Changed the fan module.",
        "12.3 V",
        "1042",
        "Quillback 26, number 7",
        "vehicle maker's instructions",
    ):
        assert part in text


def test_the_spoken_answers_are_as_long_as_the_job(demo: Demo) -> None:
    clip = read_clip(demo[1] / "answers.wav")
    last = max(float(str(line["end_s"])) for line in demo[0] if line.get("end_s"))
    assert clip.seconds == pytest.approx(last, abs=0.1)
    assert level_of(clip).peak_dbfs > -20


def test_it_takes_under_twenty_seconds(demo: Demo) -> None:
    assert demo[2] < 20
