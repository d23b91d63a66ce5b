"""A wait that no time was spent on, since the lines came from a file, is told as such."""

import json
from pathlib import Path

from bench import small
from running import call

from voiceassist.session.events import TimeUp

TO_THE_SLEEP = ("no", "affirm", "twelve point five", "point oh two", "point four five amps", "done")


def test_lines_from_a_pipe_wait_for_nothing_and_the_record_says_so(tmp_path: Path) -> None:
    lines = (*TO_THE_SLEEP, "finish", "affirm", "done", "done", "done")
    done = call(
        "run", "key-off-draw", "--typed", "--silent", "--records", str(tmp_path),
        typed="".join(f"{line}\n" for line in lines),
    )  # fmt: skip
    assert "Not waited: the next line was there already." in done.stdout
    assert "Time is up." not in done.stdout
    (folder,) = tmp_path.iterdir()
    journal = [json.loads(line) for line in (folder / "journal.jsonl").read_text().splitlines()]
    assert [line["unwaited"] for line in journal if line["event"] == "time-up"] == [True]
    tasks = [line["task"] for line in journal if line["event"] == "done"]
    assert tasks == ["the modules to sleep, 20 minutes, not waited"]
    page = call("records", "report", "--for", "instructor", "--records", str(tmp_path)).stdout
    assert "the time of the step was not waited for" in page


def test_time_that_did_pass_is_told_as_it_was() -> None:
    bench = small("one: {wait: the modules to sleep, for: 20 min}\ntwo: {do: look, then: good}")
    bench.give(TimeUp(1200.0))
    assert "Time is up." in bench.texts()
    assert bench.session.ledger[-1].shown == "20 minutes"
