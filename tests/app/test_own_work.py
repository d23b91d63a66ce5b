"""At a finding with no guided repair he works in his own way: made safe, noted, and proved anew."""

import pytest
from talk.situations import FAN, Talker, after, spoken, talker

from voiceassist import resources
from voiceassist.session.actions.finding import reach
from voiceassist.session.outputs import ConditionChange, NoteTaken, Summary
from voiceassist.session.session import Detail, Session, Turn
from voiceassist.session.states import State

TO_THE_FINDING = ("affirm", "12.6", "affirm", "12.5", "dim")
SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))
DEAD = "Minus clamp off before you cut a live wire."


@pytest.fixture(scope="module")
def fan() -> Talker:
    return talker(FAN, Detail.NORMAL)


@pytest.fixture(scope="module")
def found(fan: Talker) -> Turn:
    turn = after(fan, *TO_THE_FINDING)
    assert (turn.session.finding, turn.session.state) == ("feed-side", State.OFFER)
    return turn


def unknown(turn: Turn) -> set[str]:
    return {o.name for o in turn.outputs if isinstance(o, ConditionChange) and not o.state}


def noted(turn: Turn) -> list[str]:
    return [o.words for o in turn.outputs if isinstance(o, NoteTaken) and o.of_work]


def test_what_is_still_on_is_to_be_off_before_he_works(found: Turn) -> None:
    assert "Key off first." in spoken(found)


# common practice, no source: the minus clamp comes off before a wire is cut that no key switches
def test_who_is_sent_to_a_wire_is_told_to_take_the_minus_clamp_off() -> None:
    told = {}
    for name in SHIPPED:
        setup = talker(name, Detail.NORMAL).engine.setup
        for finding in setup.procedure.findings.values():
            turn = reach(setup, Session(step=setup.procedure.first), finding.name)
            by_himself = turn.session.state is State.OFFER and not finding.repair
            if by_himself and "wire" in finding.correction.split():
                told[name, finding.name] = DEAD in spoken(turn)
    assert len(told) > 10
    assert all(told.values()), told


@pytest.mark.parametrize(
    "words",
    [
        "chafed at the bulkhead, spliced it and wrapped it",
        "cleaned the ring and tightened it up",
        "it was the fuse holder, all melted, new one in",
        "found corrosion in the joint and soldered it",
    ],
)
def test_the_work_is_noted_in_his_words_and_it_is_still_for_him_to_say_that_it_is_right(
    fan: Talker, found: Turn, words: str
) -> None:
    turn = fan.say(found, words)
    assert noted(turn) == [words]
    assert spoken(turn).startswith("Noted. When it is put right")
    assert turn.session.state is State.OFFER


@pytest.mark.parametrize(
    "words",
    [
        "haven't spliced it yet",
        "the last lad spliced it here",
        "shall i solder it or crimp it",
        "i'd have soldered that in the old days",
        "dave's put a new fuse in",
    ],
)
def test_what_is_not_done_or_by_somebody_else_is_no_work_of_his(
    fan: Talker, found: Turn, words: str
) -> None:
    turn = fan.say(found, words)
    assert noted(turn) == []
    assert turn.session.finding == "feed-side"
    assert turn.session.state in {State.OFFER, State.MEANT, State.STAND_BY}


def test_after_it_nothing_is_known_of_the_vehicle_and_all_is_asked_for_again(
    fan: Talker, found: Turn
) -> None:
    turn = fan.say(found, "affirm")
    assert unknown(turn) == {"key", "module plug"}
    assert "Unplug the module. Key to run." in spoken(fan.say(turn, "affirm"))


def test_the_summary_tells_what_he_did(fan: Talker, found: Turn) -> None:
    turn = fan.say(found, "cleaned the fuse holder and fitted a new one")
    for line in ("affirm", "affirm", "12.5", "bright", "12.4", "yes", "done"):
        turn = fan.say(turn, line)
    (summary,) = (o for o in turn.outputs if isinstance(o, Summary))
    assert "cleaned the fuse holder and fitted a new one" in summary.correction
