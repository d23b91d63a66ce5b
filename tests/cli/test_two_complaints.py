"""Two complaints make one job: what the first part has read need not be read again."""

import json
from pathlib import Path
from typing import Any

import pytest
from running import Done, call

BOTH = "the wiper stops on the glass and the blower runs at its highest speed only"
#: The first part: the battery is good, nothing fails, and it is put back.
WIPER = ("affirm", "done", "12.1 volts", "12.6 volts", "affirm", "done", "nothing", "finish")
CLOSED = ("done",)
FACTS = ("--set", "repair order=1042", "--set", "vehicle=number 7")


class Shop:
    """A folder of records."""

    def __init__(self, home: Path) -> None:
        self.records = home / "records"

    def run(self, *said: str, more: tuple[str, ...] = ()) -> Done:
        return call(
            "run", "--typed", "--silent", "--records", str(self.records), *more,
            typed="".join(f"{line}\n" for line in said),
        )  # fmt: skip

    def tell(self, *asked: str) -> Done:
        return call("records", *asked, "--records", str(self.records))

    def journals(self) -> list[list[dict[str, Any]]]:
        files = self.records.glob("*/journal.jsonl")
        read = [[json.loads(line) for line in f.read_text("utf-8").splitlines()] for f in files]
        return sorted(read, key=lambda lines: int(lines[0]["sequence"]))

    def sessions(self) -> list[str]:
        return [str(lines[0]["session"]) for lines in self.journals()]


@pytest.fixture(scope="module")
def _done(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Done]:
    """A whole job by typed words; the first part's battery is corrected in the second."""
    shop = Shop(tmp_path_factory.mktemp("job"))
    said = (BOTH, *WIPER, *CLOSED, "affirm")
    second = ("affirm", "affirm", "correction 12.5 volts", "finish", "affirm", "finish")
    return shop, shop.run(*said, *second, more=FACTS)


@pytest.fixture
def job(_done: tuple[Shop, Done]) -> Shop:
    return _done[0]


@pytest.fixture
def spoken(_done: tuple[Shop, Done]) -> str:
    return " ".join(_done[1].stdout.split())


def test_the_second_part_asks_whether_the_battery_is_still_as_it_was(spoken: str) -> None:
    assert "Two complaints: first Wiper does not run" in spoken
    assert (
        "Power loaded was 12.1 V, from the wiper park job. Is it still so, with nothing changed"
        " since? Say affirm, or negative to measure it again. > affirm 12.1 V, as before. Good."
        " Power battery was 12.6 V, from the same job. Still so? > affirm 12.6 V, as before."
    ) in spoken
    assert spoken.count("across the battery posts") == 3  # asked for in the first part alone


def test_its_record_tells_where_each_reading_was_taken_and_keeps_its_correction(job: Shop) -> None:
    first, second = job.journals()
    assert first[0]["part"]["names"] == ["wiper-park", "blower-resistors"]
    assert second[0]["part"]["after"] == first[0]["session"]
    assert second[0]["facts"] == first[0]["facts"]
    readings = [line for line in second if line["event"] == "reading"]
    told = [(r["step"], r["shown"], r.get("origin", ""), r["corrects"]) for r in readings]
    assert told[:3] == [
        ("power-loaded", "12.1 V", first[0]["session"], False),
        ("power-battery", "12.6 V", first[0]["session"], False),
        ("power-battery", "12.5 V", "", True),
    ]


def test_both_records_are_as_they_were_written(job: Shop) -> None:
    assert job.tell("verify").returncode == 0


def test_one_page_tells_the_customer_of_both(job: Shop) -> None:
    first, second = job.sessions()
    for session in (first, second):
        page = job.tell("report", session, "--for", "customer").stdout
        assert "Wiper does not run" in page
        assert "Blower runs at its highest speed only" in page
        assert BOTH[1:] in page
    alone = job.tell("report", second, "--alone").stdout
    assert "Blower runs" in alone
    assert f"read in {first}" in alone
    assert "Wiper does not run" not in alone


def test_the_list_tells_which_part_a_session_is(job: Shop) -> None:
    told = job.tell("list").stdout
    assert "or does not park (part 1 of 2)" in told
    assert "are missing (part 2 of 2)" in told


def test_a_part_that_was_not_begun_is_begun_when_the_job_goes_on(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    done = shop.run(BOTH, *WIPER, *CLOSED, "negative", more=FACTS)
    (first,) = shop.sessions()
    assert f"Go on with: voiceassist run --resume {first}" in done.stderr
    on = shop.run("affirm", more=("--resume", first[:20]))
    assert "Power loaded was 12.1 V, from the wiper park job." in " ".join(on.stdout.split())
    assert len(shop.journals()) == 2
    assert shop.journals()[1][0]["facts"]["repair order"] == "1042"
    # The second part broke off in the middle: it goes on there, and asks about the rest.
    on = shop.run("affirm", "negative", more=("--resume",))
    assert "Power battery was 12.6 V" in on.stdout
    assert len(shop.journals()) == 2
    assert shop.tell("verify").returncode == 0


def test_a_first_part_that_was_parked_leads_on_to_the_second(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    done = shop.run(BOTH, *WIPER[:4], "park it until it shows", "done")
    (first,) = shop.sessions()
    assert "another part, blower-resistors" in done.stderr
    on = shop.run("finish", "affirm", "done", "affirm", more=("--resume", first))
    assert "Power loaded was 12.1 V, from the wiper park job." in " ".join(on.stdout.split())
    assert [lines[0]["procedure"] for lines in shop.journals()] == [
        "wiper-park", "blower-resistors",
    ]  # fmt: skip


def test_nothing_is_taken_over_from_a_record_that_was_altered(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.run(BOTH, *WIPER, *CLOSED, "negative")
    (first,) = shop.sessions()
    journal = shop.records / first / "journal.jsonl"
    journal.write_text(journal.read_text("utf-8").replace("12.6 V", "12.8 V"), "utf-8")
    on = shop.run(more=("--resume", first))
    assert f"{first} is not as it was written: nothing is taken over from it." in on.stderr
    assert "from the wiper park job" not in on.stdout
    assert "carried" not in shop.journals()[1][0]


def test_a_journal_whose_carried_readings_are_nonsense_is_told_of_in_a_sentence(
    tmp_path: Path,
) -> None:
    shop = Shop(tmp_path)
    shop.run(BOTH, *WIPER, *CLOSED, "affirm")
    second = shop.records / shop.sessions()[1] / "journal.jsonl"
    lines = second.read_text("utf-8").splitlines()
    head = {**json.loads(lines[0]), "carried": [{"step": "power-loaded", "reading": {"kind": 1}}]}
    second.write_text("\n".join([json.dumps(head), *lines[1:]]) + "\n", "utf-8")
    done = shop.run("affirm", more=("--resume",))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
