"""A job that holds, goes on after a repair, is not sure and tries like things goes on where it was
killed: cut after each thing that was heard, it comes to the same end."""

import io
import shutil
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from benchmarks.kills import Line, heard, kept, path_of

from voiceassist.app import build
from voiceassist.app.session_request import SessionRequest
from voiceassist.app.sessions import run_session

PROCEDURE = """
procedure: held-supply
title: Fan stands still
for: an invented van
each: {fuse: [one, two]}
conditions:
  switch:
    held: {do: hold the switch, ask: was it held, not: it was not held, hold: 5 s, rest: 1 min}
  key: {off: key off, run: key to run}
steps:
  battery: {measure: voltage of the supply, accept: at least 12.4 V, low: flat}
  feed:
    needs: {key: run, switch: held}
    before: see that the gear is in neutral
    measure: voltage at the fan
    accept: at least 11 V
    low: turns
    then: good
  turns: {ask: does the fan turn by hand, answers: {yes: fuse, no: stiff}, not-sure: fuse}
  fuse: {for-each: fuse, lamp: at fuse <fuse>, fail: blown-<fuse>, then: good}
findings:
  flat: {cause: the battery is flat, correction: charge it, corrected: charged it, go-on: battery}
  stiff: {cause: the fan is stiff, correction: free it}
  blown-<fuse>: {for-each: fuse, cause: fuse <fuse> is blown, correction: find what blew it}
  good: {cause: all is well, correction: none, no-fault: true}
"""
JOB = [
    "eleven point six volts",
    "affirm reading",
    "affirm",
    "twelve point six volts",
    "done",
    "eight volts",
    "affirm reading",
    "not sure",
    "bright",
    "off",
    "affirm reading",
    "finish",
]


@pytest.fixture(scope="module", autouse=True)
def _grammar_loaded_once() -> Iterator[None]:
    """Sessions in this process share one grammar, which takes long to load and never changes."""
    language = build.Components(build.settings({})).language
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(build.Components, "language", property(lambda _: language))
        yield


def play(records: Path, words: Sequence[str], procedure: str = "") -> None:
    wish = SessionRequest(
        procedure=procedure,
        resume=not procedure,
        typed=io.StringIO("".join(f"{line}\n" for line in words)),
        silent=True,
        changes={"records": str(records)},
    )
    run_session(wish, lambda _: None, pytest.fail)


def summaries(lines: Sequence[Line]) -> list[dict[str, str]]:
    """What the job came to, in sentences."""
    parts = ("complaint", "cause", "correction")
    told = [line for line in lines if line["event"] == "summary"]
    return [{part: str(line[part]) for part in parts} for line in told]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records of the job when nobody kills it."""
    folder = tmp_path_factory.mktemp("whole")
    file = folder / "held-supply.yaml"
    file.write_text(PROCEDURE, encoding="utf-8")
    play(folder / "records", JOB, str(file))
    return folder / "records"


def test_the_job_goes_on_after_the_charge_and_ends_at_the_second_fuse(whole: Path) -> None:
    lines = kept(whole)
    assert heard(lines) == JOB
    assert [line["name"] for line in lines if line["event"] == "finding"] == ["flat", "blown-two"]
    (summary,) = summaries(lines)
    assert summary["cause"].startswith("The battery is flat, shown by battery 11.6 V")
    assert "Fuse two is blown" in summary["cause"]
    assert summary["correction"].startswith("Charged it.")
    assert "Let go." in [line.get("text") for line in lines]
    assert [line["name"] for line in lines if line["event"] == "reading" and line["name"]] == [
        "not-sure", "bright", "off"]  # fmt: skip


@pytest.mark.parametrize("many", range(1, len(JOB)))
def test_cut_after_each_thing_heard_it_comes_to_the_same_end(
    tmp_path: Path, whole: Path, many: int
) -> None:
    shutil.copytree(whole, tmp_path / "cut", ignore=shutil.ignore_patterns("report*", "trans*"))
    (journal,) = (tmp_path / "cut").glob("*/journal.jsonl")
    data = journal.read_bytes().splitlines(keepends=True)
    spoken = [
        i for i, line in enumerate(data) if b'"event":"heard"' in line.replace(b'": "', b'":"')
    ]
    journal.write_bytes(b"".join(data[: spoken[many - 1] + 1]))
    play(tmp_path / "cut", JOB[many:])
    lines, undisturbed = kept(tmp_path / "cut"), kept(whole)
    assert heard(lines) == JOB
    assert path_of(lines) == path_of(undisturbed)
    assert summaries(lines) == summaries(undisturbed)
