"""The seven promises, one test each, kept by the parts that a technician uses."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from bench import FAN, METER, Bench, small, volts
from hypothesis import given, settings
from hypothesis import strategies as st
from roof_fan import DATA

from voiceassist.procedure.read import inspect
from voiceassist.record.read_journal import read, verify
from voiceassist.session.outputs import CautionSpoken, ReadingTaken, VerdictGiven
from voiceassist.session.session import Detail
from voiceassist.session.states import State

Line = dict[str, object]

START = [
    "ten amps", "repair order one zero four two", "dead", "affirm", "done",
    "twelve point six zero volts", "done", "twelve point four zero volts", "twenty degrees",
    "affirm", "done", "twelve point five zero volts", "bright", "bright",
    "zero point zero five volts", "done", "five point zero zero volts", "done",
    "zero point zero one volts", "negative", "done", "eight point four zero volts",
    "eight point four zero volts", "six point one zero volts", "four point two zero volts",
    "two point five zero volts", "done", "done",
]  # fmt: skip
MODULE = [
    *START, "between two point nine and three point one volts", "affirm", "done", "yes", "done",
    "six point zero amps", "twelve point one volts", "zero point two zero volts",
    "affirm", "done", "done", "done", "done", "eight point four zero volts", "done",
    "twelve point two zero volts",
]  # fmt: skip
HEALTHY = [
    *START, "twelve point two zero volts", "one", "a wheel", "done", "affirm",
    "ten point zero kilohms", "done", "done", "twenty milliamps", "done", "affirm", "done", "done",
    "dim",
]  # fmt: skip


def run(lines: list[str], records: Path, *more: str) -> tuple[list[Line], int, str]:
    """A whole job by typed lines: its events, exit code and what a person reads."""
    done = subprocess.run(
        [sys.executable, "-m", "voiceassist", "run", str(DATA / "roof-fan.yaml"), "--typed",
         "--silent", "--json", "--records", str(records), *more],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    return [json.loads(line) for line in done.stdout.splitlines()], done.returncode, done.stderr


def of(lines: list[Line], event: str, key: str) -> list[object]:
    return [line[key] for line in lines if line["event"] == event]


def test_hands_and_eyes_stay_on_the_work(tmp_path: Path) -> None:
    """A procedure of more than thirty steps, from complaint to report, by utterances alone."""
    lines, code, told = run(MODULE, tmp_path)
    assert of(lines, "end", "outcome") == ["repaired"], told
    assert of(lines, "finding", "name") == ["module"]
    assert code == 0
    (folder,) = tmp_path.iterdir()
    report = (folder / "report.txt").read_text(encoding="utf-8")
    assert "Changed the fan module. Proved by" in report


def test_every_kind_of_step_runs_by_typed_line(tmp_path: Path) -> None:
    lines, code, told = run(HEALTHY, tmp_path)
    assert of(lines, "finding", "name") == ["no-fault"], told
    assert code == 0
    assert "time-up" in [line["event"] for line in lines]  # the timer of a waiting step
    assert "drop" in of(lines, "reading", "step")  # worked out, not asked for


@settings(max_examples=200)
@given(st.decimals("0", "30", places=2), st.sampled_from(["battery", "feed", "command-slow"]))
def test_a_misheard_word_never_decides_silently(value: object, step: str) -> None:
    """A heard reading that would leave the straight path is asked about before it counts."""
    bench = Bench(certain=False).to(step)
    going = bench.engine.setup.procedure.steps[step].routes["pass"]
    bench.say(volts(str(value)))
    taken = [o for o in bench.outputs if isinstance(o, ReadingTaken)]
    if taken:
        assert taken[0].text.startswith(str(value))  # the value is echoed, before its verdict
        assert bench.step == going
    else:
        assert bench.step == step


def test_a_reading_counts_only_under_its_condition() -> None:
    bench = Bench(detail=Detail.TEACHING).after("affirm", volts("12.6"))
    assert not bench.session.ledger
    assert "key off" in bench.texts()
    bench.say("done", volts("12.6"))
    assert [result.step for result in bench.session.ledger] == ["battery"]


def test_a_verdict_admits_doubt() -> None:
    bench = Bench(meter=METER).to("battery").after(volts("12.01"))
    judged = [o for o in bench.outputs if isinstance(o, VerdictGiven)]
    assert [o.verdict for o in judged] == ["too close to call"]
    assert "Measure once more" in judged[0].text
    assert bench.session.ledger == ()


def test_a_procedure_is_checked_before_it_is_trusted() -> None:
    """A fault in the file stops the load; a part condemned unproved is told of."""
    broken, faults = inspect(FAN.replace("high: command-side", "high: comand-side", 1))
    assert broken is None
    assert any("comand-side" in fault.message for fault in faults)
    text = (DATA / "roof-fan.yaml").read_text(encoding="utf-8")
    unproved = text.replace("proved-by: {feed: feed-lamp, earth: earth-drop}", "", 1)
    _, faults = inspect(unproved, lambda name: (DATA / f"{name}.yaml").read_text("utf-8"))
    assert any("proved-by" in fault.message for fault in faults)


def test_nothing_is_lost(tmp_path: Path) -> None:
    """Everything shown stands in the journal, and a job cut off anywhere goes on from there."""
    lines, _, _ = run(MODULE[:20], tmp_path)
    (folder,) = tmp_path.iterdir()
    assert verify(folder / "journal.jsonl").fault is None
    kept = [dict(entry.fields) for entry in read(folder / "journal.jsonl")]
    assert [line["text"] for line in kept] == [line.get("text", "") for line in lines]
    done = subprocess.run(
        [sys.executable, "-m", "voiceassist", "run", "--resume", "--typed", "--silent",
         "--records", str(tmp_path)],
        input="\n".join(MODULE[20:]) + "\n",
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("detail", Detail)
def test_safety_is_spoken_first(detail: Detail) -> None:
    bench = Bench(detail=detail)
    assert "instructions, local rules and licensed practice" in bench.all[1].text
    while bench.state is not State.AFTER and len(bench.session.ledger) < 9:
        at_step = [o for o in bench.outputs if o.text and o.step == bench.step]
        cautions = bench.engine.setup.procedure.step(bench.step).cautions
        if bench.state is State.CAUTION and cautions:
            assert isinstance(at_step[0], CautionSpoken)
        bench.say(bench.healthy())
    repeated = small("one: {caution: blades, do: look, then: good}").after("affirm", "repeat")
    assert isinstance(repeated.outputs[0], CautionSpoken)
