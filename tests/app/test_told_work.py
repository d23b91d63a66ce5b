"""What is told of a repair in his own words is noted, and no record says more was done."""

from pathlib import Path

import pytest
from running import call
from talk.situations import Talker, talker

from voiceassist.session.outputs import NoteTaken, StepDone
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

TO_THE_REPAIR = (
    *("neither", "yes", "yes", "12.4 volts", "affirm", "12.3 volts", "affirm"),
    *("14.6 volts", "2.3 volts", "yes", "done"),
)
TO_THE_END = ("done", "affirm", "done", "affirm", "140 millivolts", "affirm", "14.02 volts", "yes")
LEFT = "i have clean the cable but fuse i have not changed it was good, is that okay"
FOUND = "i open it and wire was broken at the ring, i put new ring terminal"


@pytest.fixture(scope="module")
def one() -> Talker:
    return talker("no-charging", Detail.NORMAL)


@pytest.fixture(scope="module")
def repairing(one: Talker) -> Turn:
    turn = one.begin()
    for line in TO_THE_REPAIR:
        turn = one.say(turn, line)
    assert (turn.session.step, turn.session.state) == ("clean-charge-wire", State.DO)
    return turn


@pytest.mark.parametrize(
    "words",
    [LEFT, FOUND, "fuse was ok, i not changed it", "it was green powder on the plus clamp"],
)
def test_what_is_told_of_the_work_is_noted_word_for_word_and_said_back_shortly(
    one: Talker, repairing: Turn, words: str
) -> None:
    turn = one.say(repairing, words)
    assert [o.words for o in turn.outputs if isinstance(o, NoteTaken)] == [words]
    text = " ".join(o.text for o in turn.outputs)
    own = "Noted as you did it. Asked for was: clean and tighten both ends of the charging wire"
    assert text.startswith(own) if words == LEFT else text.strip() == "Noted."
    assert (turn.session.step, turn.session.state) == ("clean-charge-wire", State.DO)


def test_a_plain_word_that_it_is_done_goes_on_and_is_no_note(one: Talker, repairing: Turn) -> None:
    turn = one.say(repairing, "done")
    assert any(isinstance(o, StepDone) for o in turn.outputs)
    assert not any(isinstance(o, NoteTaken) for o in turn.outputs)


def test_what_was_left_undone_is_noted_too_while_the_next_caution_waits(
    one: Talker, repairing: Turn
) -> None:
    before = one.say(repairing, "done")
    after = one.say(before, "i did not change the fuse")
    assert [o.text for o in after.outputs if o.text] == ["Noted."]
    assert after.session.state is State.CAUTION
    assert after.session.acknowledged == before.session.acknowledged


def report_of(folder: Path, *told: str) -> str:
    """What a whole job by typed lines leaves, in which this was told of the work."""
    lines = "".join(f"{line}\n" for line in (*TO_THE_REPAIR, *told, *TO_THE_END, "done"))
    done = call("run", "no-charging", "--typed", "--silent", "--records", str(folder), typed=lines)
    assert done.returncode == 0, done.stderr
    (report,) = folder.glob("*/report.txt")
    return report.read_text(encoding="utf-8")


def test_the_report_says_of_no_part_that_it_was_fitted_where_he_told_that_it_was_not(
    tmp_path: Path,
) -> None:
    report = report_of(tmp_path, LEFT)
    assert "Renewed the charging fuse" not in report
    assert "\n  done: Clean" not in report.lower()
    assert f"As told by the technician: {LEFT}. Proved by" in report
    assert f"  as told by the technician: {LEFT}\n" in report


def test_the_report_has_what_he_did_besides_beside_the_words_of_the_step(tmp_path: Path) -> None:
    report = report_of(tmp_path, FOUND)
    assert (
        f"Renewed the charging fuse and cleaned its joints. As told by the technician: {FOUND}"
        in report
    )
    assert "told as done: clean and tighten both ends of the charging wire" in report.lower()
