"""Pull the plug: the job goes on at the same step, with nothing missing and nothing twice."""

import json
import os
import random
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from voiceassist.record.journal import read, verify

JOB = [
    "affirm", "done", "twelve point eight volts", "correction twelve point six volts",
    "affirm", "done", "twelve point five volts", "bright", "bright",
    "zero point zero five volts", "done", "eight point four volts", "done",
    "two point five volts", "done", "twelve point three volts", "done", "affirm", "done",
    "seven point two amps", "affirm", "done", "done", "done", "affirm", "done",
    "eight point four volts", "four point two volts", "done", "twelve point one volts",
]  # fmt: skip


def start(records: Path, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "voiceassist", "run", *arguments, "--typed", "--silent", "--json",
         "--records", str(records)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip


def kept(records: Path) -> list[dict[str, object]]:
    folders = list(records.iterdir()) if records.exists() else []
    return [dict(entry.fields) for folder in folders for entry in read(folder / "journal.jsonl")]


def heard(records: Path) -> list[str]:
    return [str(line["words"]) for line in kept(records) if line["event"] == "heard"]


def facts(records: Path) -> list[tuple[object, ...]]:
    """What the session came to, without times."""
    wanted = {"reading", "verdict", "condition", "finding", "end", "acknowledged"}
    return [
        (line["event"], line["step"], line["text"], line.get("met"), line.get("outcome"))
        for line in kept(records)
        if line["event"] in wanted
    ]


def run_killed(records: Path, rng: random.Random) -> int:
    """Run the job, killing it again and again; returns how often it was killed."""
    kills = 0
    arguments = ["heater-fan-module"]
    while True:
        done = len(heard(records))
        process = start(records, *arguments)
        assert process.stdin is not None
        assert process.stdout is not None
        timer = threading.Timer(rng.uniform(0.3, 0.9), process.send_signal, [signal.SIGKILL])
        if kills < 6:
            timer.start()
        try:
            process.stdin.write("".join(f"{line}\n" for line in JOB[done:]))
            process.stdin.close()
        except BrokenPipeError:
            pass
        for _ in process.stdout:
            pass
        process.stdout.close()
        process.wait(timeout=60)
        timer.cancel()
        if process.returncode != -signal.SIGKILL:
            assert process.returncode == 0
            return kills
        kills += 1
        if records.exists() and heard(records):
            arguments = ["--resume"]
        else:  # killed before the first word: there is nothing to go on with yet
            for path in sorted(records.rglob("*"), reverse=True) if records.exists() else []:
                path.unlink() if path.is_file() else path.rmdir()


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[object, ...]]:
    """What the job comes to when nobody kills it."""
    records = tmp_path_factory.mktemp("undisturbed")
    process = start(records, "heater-fan-module")
    out, _ = process.communicate("\n".join(JOB) + "\n", timeout=60)
    assert json.loads(out.splitlines()[-1])["outcome"] == "repaired"
    return facts(records)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_a_killed_job_comes_to_the_same_end(
    tmp_path: Path, undisturbed: list[tuple[object, ...]], seed: int
) -> None:
    run_killed(tmp_path / "records", random.Random(seed))
    assert heard(tmp_path / "records") == JOB
    assert facts(tmp_path / "records") == undisturbed
    (folder,) = (tmp_path / "records").iterdir()
    assert verify(folder / "journal.jsonl").intact


def test_a_job_killed_in_the_middle_resumes_at_its_step(tmp_path: Path) -> None:
    process = start(tmp_path, "heater-fan-module")
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write("affirm\ndone\ntwelve point six volts\naffirm\ndone\n")
    process.stdin.flush()
    for line in process.stdout:
        if json.loads(line)["text"].startswith("Measure the voltage from the feed pin"):
            break
    process.send_signal(signal.SIGKILL)
    process.communicate(timeout=60)
    resumed = start(tmp_path, "--resume")
    out, _ = resumed.communicate("what is the limit\n", timeout=60)
    lines = [json.loads(line) for line in out.splitlines()]
    assert lines[0]["event"] == "returned"
    assert lines[1]["text"] == "Going on where we stopped."
    asked = next(line for line in lines if line["event"] == "ask")
    assert asked["step"] == "feed"
    assert any("12.1 V to 12.8 V" in line["text"] for line in lines)
