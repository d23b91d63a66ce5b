"""In a job one can ask how sure it is and what would tell most; the record keeps the advice."""

import json
import re
from pathlib import Path

import pytest
from prove.shop import LAMP
from running import Done, call, lines

from voiceassist.reason.telling import DEGREES

OPENED = ("affirm", "twelve point six volts")


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where tables are kept; made once for all tests here."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def lamp(tmp_path: Path) -> str:
    path = tmp_path / "side-lamp.yaml"
    path.write_text(LAMP, encoding="utf-8")
    return str(path)


def run(tmp_path: Path, cache: Path, *arguments: str, said: tuple[str, ...]) -> Done:
    return call(
        "run", *arguments, "--typed", "--silent", "--json", "--records", str(tmp_path / "records"),
        typed="".join(f"{line}\n" for line in said), XDG_CACHE_HOME=str(cache),
    )  # fmt: skip


def advice(done: Done) -> list[dict[str, object]]:
    return [line for line in lines(done) if line["event"] == "advice"]


def journal(tmp_path: Path) -> list[dict[str, object]]:
    (file,) = (tmp_path / "records").glob("*/journal.jsonl")
    return [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]


def test_how_sure_it_is_follows_the_readings(tmp_path: Path, cache: Path, lamp: str) -> None:
    said = (*OPENED, "how sure is it", "done", "five volts", "affirm", "how sure is it")
    told = [each for each in advice(run(tmp_path, cache, lamp, said=said)) if each["causes"]]
    before, after = told[0], told[-1]
    assert 1 <= len(before["causes"]) <= 3  # type: ignore[arg-type]
    shares = [float(share) for share in before["shares"]]  # type: ignore[attr-defined]
    assert shares == sorted(shares, reverse=True)
    assert "percent: " in str(before["text"])
    assert after["step"] in {"feed", "earth", ""}


def test_what_would_tell_most_names_what_the_file_does_and_what_can_be_chosen(
    tmp_path: Path, cache: Path, lamp: str
) -> None:
    done = run(tmp_path, cache, lamp, said=(*OPENED, "what would you measure next"))
    told = advice(done)[-1]
    assert told["asked"] == "most"
    assert told["best"]
    text = str(told["text"])
    assert text.startswith(("Feed, where we are, tells most", "In order comes feed."))


def test_asked_why_not_a_cause_the_reading_that_speaks_against_it_is_named(
    tmp_path: Path, cache: Path, lamp: str
) -> None:
    said = (*OPENED, "done", "twelve point five volts", "why not the feed side")
    told = advice(run(tmp_path, cache, lamp, said=said))[-1]
    assert (told["asked"], told["about"]) == ("against", "feed-side")
    assert "Feed speaks most against it." in str(told["text"])


def test_the_record_tells_of_it_verifies_and_goes_on_with_nothing_said_twice(
    tmp_path: Path, cache: Path, lamp: str
) -> None:
    run(tmp_path, cache, lamp, said=(*OPENED, "how sure is it"))
    kept = journal(tmp_path)
    assert kept[-1]["event"] == "advice"
    again = run(tmp_path, cache, "--resume", said=("what is the limit",))
    assert not advice(again)
    records = str(tmp_path / "records")
    assert call("records", "verify", "--records", records).returncode == 0
    (transcript,) = (tmp_path / "records").glob("*/transcript.txt")
    assert "percent: " in transcript.read_text(encoding="utf-8")
    page = tmp_path / "page.html"
    call("records", "report", "last", "--records", records, "--out", str(page))
    assert "percent: " in page.read_text(encoding="utf-8")


def test_a_step_chosen_on_advice_keeps_its_conditions_and_its_turn(
    tmp_path: Path, cache: Path, lamp: str
) -> None:
    done = run(tmp_path, cache, lamp, said=(*OPENED, "go to the earth", "twenty millivolts"))
    told = [str(line.get("text")) for line in lines(done)]
    assert "All right. Left for later: feed." in told
    assert "Switch the side lights on." in told[told.index("All right. Left for later: feed.") :]
    assert [line["step"] for line in lines(done) if line["event"] == "reading"][-1] == "earth"
    asked = [line["step"] for line in lines(done) if line["event"] == "ask" and line["text"]]
    assert asked[-1] == "feed"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("why not the moon", "Say which: why not"),
        ("go to the moon", "There is no step called that here."),
        ("what speaks against it", "Say which: why not"),
        ("another step", "No other step can come before this one."),
        ("go to the feed and go to the earth", "There is no step called that here."),
        ("go to the battery", "That is the step we are at."),
    ],
)
def test_what_cannot_be_answered_gets_one_sentence(
    tmp_path: Path, cache: Path, lamp: str, said: str, told: str
) -> None:
    done = run(tmp_path, cache, lamp, said=("affirm", said))
    place = next(i for i, line in enumerate(lines(done)) if line.get("words") == said)
    answers = [str(line["text"]) for line in lines(done)[place + 1 :] if line.get("text")]
    assert len(answers) == 1
    assert re.search(told, answers[0])


@pytest.mark.parametrize("said", ["how sure is it", "what would tell most", "why not the lamp"])
def test_without_a_circuit_it_says_so(tmp_path: Path, cache: Path, said: str) -> None:
    bare = tmp_path / "bare.yaml"
    bare.write_text(LAMP[: LAMP.index("circuit:")], encoding="utf-8")
    told = advice(run(tmp_path, cache, str(bare), said=(*OPENED, said)))
    assert ["this procedure has no circuit" in str(each["text"]) for each in told] == [True]


def test_a_job_in_which_nobody_asks_makes_no_table(tmp_path: Path, lamp: str) -> None:
    cache = tmp_path / "untouched"
    run(tmp_path, cache, lamp, said=(*OPENED, "done", "twelve point five volts"))
    assert not list(cache.rglob("*.npz"))


def test_what_takes_longer_is_promised_and_comes_by_itself(tmp_path: Path, lamp: str) -> None:
    done = run(tmp_path, tmp_path / "fresh", lamp, said=(*OPENED, "how sure is it"))
    first, second = advice(done)
    assert "I will tell you when I have it." in str(first["text"])
    assert "percent: " in str(second["text"])


def test_the_words_for_degrees_stand_in_the_book_for_who_asks_what_they_mean() -> None:
    guide = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    for least, _ in DEGREES:
        assert f"from {100 * least:.0f} %" in guide
