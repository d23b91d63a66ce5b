"""What a trainee says in whole sentences is answered, and never turned into its contrary."""

import pytest
from talk.situations import Talker, after, spoken, talker

from voiceassist.language.meanings import Answer
from voiceassist.session.actions.alone import alone
from voiceassist.session.copying import replace
from voiceassist.session.outputs import NoteTaken, Summary
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

TO_THE_PLUG = ("affirm", "12.6", "12.5", "affirm", "14.2", "12.2", "affirm", "0", "12.2")
TO_SPEED_ONE = TO_THE_PLUG[:7]


@pytest.fixture(scope="module")
def blower() -> Talker:
    return talker("blower-resistors", Detail.NORMAL)


@pytest.fixture(scope="module")
def bus() -> Talker:
    return talker("can-termination", Detail.NORMAL)


@pytest.fixture(scope="module")
def van() -> Talker:
    return talker("no-charging", Detail.NORMAL)


@pytest.fixture(scope="module")
def offered(blower: Talker) -> Turn:
    turn = after(blower, *TO_THE_PLUG, "yes")
    assert (turn.session.finding, turn.session.state) == ("pack", State.OFFER)
    return turn


def noted(turn: Turn) -> list[str]:
    return [o.words for o in turn.outputs if isinstance(o, NoteTaken)]


def counted(turn: Turn) -> dict[str, str]:
    return {r.step: r.shown for r in turn.session.ledger if not r.superseded}


# --- answers ---


@pytest.mark.parametrize(
    "words", ["it feels tight, I pushed it", "tight, I pushed it", "I pushed it, it's tight"]
)
def test_a_belt_that_is_told_to_be_tight_is_not_condemned(van: Talker, words: str) -> None:
    turn = after(van, "no", "affirm", words)
    assert counted(turn)["belt"] == "yes"


@pytest.mark.parametrize("words", ["not tight", "it's not very tight"])
def test_a_belt_that_is_not_tight_is(van: Talker, words: str) -> None:
    assert after(van, "no", "affirm", words).session.finding


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("ok it's cooled, plug's off, pins look shiny and the plastic's fine", "yes"),
        ("the lower one's gone green and it's pushed back a bit", "no"),
    ],
)
def test_what_is_seen_answers_the_question(blower: Talker, words: str, shown: str) -> None:
    assert counted(after(blower, *TO_THE_PLUG, words))["pack-plug"] == shown


def test_a_long_answer_is_what_it_begins_with(van: Talker) -> None:
    event = van.event(van.begin(), "no it's just a normal diesel with an ordinary alternator")
    assert event.meanings == (Answer("negative"),)


def test_a_wrong_answer_is_put_right_at_the_caution_behind_it(van: Talker) -> None:
    turn = after(van, "no", "affirm", "no", "yes")
    assert turn.session.state is State.CAUTION
    right = van.say(turn, "correction, belt is good")
    assert spoken(right).startswith("Belt corrected: yes.")


# --- values ---


@pytest.mark.parametrize(
    "words",
    [
        "knob's on one and it's blowing gently, five point one volts",
        "knob at one, five point one",
        "it's blowing gently, five point one volts",
    ],
)
def test_a_value_behind_what_was_done_for_it_is_taken(blower: Talker, words: str) -> None:
    assert counted(after(blower, *TO_SPEED_ONE, words))["speed-one"] in {"5.1 V", "5.10 V"}


@pytest.mark.parametrize(
    "words",
    [
        "knob at two, six point one",
        "the battery was twelve, five point one",
        "it was six yesterday, five point one",
        "dave got six, five point one",
    ],
)
def test_a_value_behind_another_state_or_number_is_not(blower: Talker, words: str) -> None:
    assert "speed-one" not in counted(after(blower, *TO_SPEED_ONE, words))


def test_all_that_was_asked_for_may_be_told_together(bus: Talker) -> None:
    before = ("affirm", "12.6")
    assert counted(after(bus, *before, "ok both back in, hundred and nineteen again"))["line"]
    told = after(bus, *before, "ok minus is off, it's asleep, it says one hundred and twenty ohms")
    assert counted(told)["line"] == "120 Ω"


def test_the_same_value_counts_again_with_what_was_changed_for_it(bus: Talker) -> None:
    turn = after(bus, "affirm", "12.6", "119 ohms", "front's out, one one nine ohms")
    assert counted(turn)["one-end"] == "119 Ω"


# --- questions ---


@pytest.mark.parametrize(
    "words",
    [
        "am I allowed to do this one on my own or should I get Dave",
        "who does that, can I take the battery off by myself",
        "should I ask Dave to look at it before I do anything",
        "how do I start the engine, is it me that does it",
    ],
)
def test_who_asks_whether_he_may_do_it_alone_is_told_who_may(bus: Talker, words: str) -> None:
    turn = after(bus, "affirm", "12.6", words)
    assert "ask the one who is responsible for you first" in spoken(turn)


def test_a_step_that_takes_a_helper_says_so() -> None:
    one = talker("slow-cranking", Detail.NORMAL)
    setup = one.engine.setup
    step = next(s for s in setup.procedure.steps.values() if "helper" in f"{s.task}{s.question}")
    there = replace(one.begin().session, step=step.name, state=State.ASK)
    event = one.event(one.begin(), "can I do this by myself")
    assert "needs a second person" in spoken(alone(setup, there, event))


@pytest.mark.parametrize(
    "words",
    ["does it matter if the radio is on", "ok, headlamps on, does it matter if the radio is on"],
)
def test_a_load_that_no_step_names_is_left_off(blower: Talker, words: str) -> None:
    turn = after(blower, "affirm", words)
    assert spoken(turn) == "That is not asked for here: leave it off."


@pytest.mark.parametrize(
    "words",
    ["before I do, should the battery be disconnected", "do i need to disconnect the battery"],
)
def test_whether_the_battery_comes_off_is_told_by_the_work(
    blower: Talker, offered: Turn, bus: Talker, words: str
) -> None:
    assert spoken(blower.say(offered, words)).startswith("The battery stays on for this")
    assert "battery on" in spoken(after(bus, "affirm", "12.6", words))


@pytest.mark.parametrize("words", ["is the red one on the plus", "does red go on the plus"])
def test_which_lead_goes_where_is_told_to_who_asks_about_one(blower: Talker, words: str) -> None:
    turn = after(blower, "affirm", words)
    assert spoken(turn) == "Red lead on the plus post, black lead on the minus post."


@pytest.mark.parametrize(
    ("words", "word"),
    [
        ("what's zeroed mean", "To zero a current clamp"),
        ("um I've never used a clamp, how do I do that", "A current clamp is a pair of jaws"),
        ("what's a thermal fuse", "A thermal fuse opens"),
        ("is the fuse the little blade thing", "A blade fuse is"),
    ],
)
def test_words_of_the_trade_are_explained(blower: Talker, words: str, word: str) -> None:
    assert spoken(after(blower, "affirm", "12.6", "12.5", "affirm", words)).startswith(word)


def test_a_value_that_was_half_seen_is_looked_at_again(blower: Talker) -> None:
    turn = after(blower, *TO_SPEED_ONE, "I think it said four point something")
    assert spoken(turn).startswith("Look again")
    assert turn.session.step == "speed-one"


def test_a_fuse_that_was_dropped_is_to_be_found(blower: Talker, offered: Turn) -> None:
    turn = blower.say(offered, "oops I dropped the fuse down behind the dash")
    assert spoken(turn).startswith("Find it before you go on")


# --- the repair ---


@pytest.mark.parametrize(
    ("words", "left"),
    [
        ("new pack fitted", "see that air can reach it, and renew a blocked cabin filter"),
        ("ok new pack is in, and I changed the filter", "see that air can reach it"),
    ],
)
def test_work_told_in_its_own_words_leaves_the_rest(
    blower: Talker, offered: Turn, words: str, left: str
) -> None:
    turn = blower.say(offered, words)
    assert spoken(turn).startswith(f"There is still: {left}.")
    assert noted(turn) == [words]
    assert turn.session.state is State.OFFER


@pytest.mark.parametrize(
    "words",
    ["it's all done, new pack fitted", "new pack's in, filter's renewed and air can reach it fine"],
)
def test_all_of_the_work_told_in_its_own_words_is_done(
    blower: Talker, offered: Turn, words: str
) -> None:
    turn = blower.say(offered, words)
    assert "Now prove it." in spoken(turn)
    assert noted(turn) == [words]


@pytest.mark.parametrize(
    "words",
    ["I'll fit the new pack now", "the new pack is in the box", "how do i fit the new pack"],
)
def test_work_that_is_still_to_be_done_is_not_done(
    blower: Talker, offered: Turn, words: str
) -> None:
    assert blower.say(offered, words).session.stage == offered.session.stage


@pytest.mark.parametrize(
    "words",
    [
        "we haven't got the new pack yet, it's coming from the parts place, I'll wait for it",
        "waiting for parts",
        "we haven't got one, it's on order",
    ],
)
def test_who_waits_for_the_part_is_waited_for(blower: Talker, offered: Turn, words: str) -> None:
    turn = blower.say(offered, words)
    assert spoken(turn) == "Noted. Take your time; or say, park it until the part comes."
    assert blower.say(turn, "park it until the part comes").session.state is State.TO_PARK


def test_who_did_it_in_his_own_way_is_told_what_was_asked_for(
    blower: Talker, offered: Turn
) -> None:
    words = "I did it my own way, I cleaned it and bent the pin straight, is that ok"
    turn = blower.say(blower.say(offered, "yes"), words)
    assert spoken(turn).startswith("Noted as you did it. Asked for was: fit the new pack")
    assert turn.session.work_told[-1][2], "the report claims no more than he told"


def test_what_a_mate_found_is_noted_for_the_report(blower: Talker, offered: Turn) -> None:
    words = "Dave says the cabin filter's really clogged up with leaves"
    assert noted(blower.say(offered, words)) == [words]


def test_what_is_told_by_the_way_is_noted(bus: Talker) -> None:
    words = "it's an older van by the way, the customer jump started it last week"
    assert noted(bus.say(bus.begin(), words)) == [words]


def test_no_fault_is_shown_by_what_was_judged_good_and_not_by_the_kind_of_vehicle(
    van: Talker,
) -> None:
    turn = after(van, "diesel", "no", "affirm", "yes", "12.6", "affirm", "14.2", "affirm", "13.9")
    while turn.session.state is not State.CLOSED:
        turn = van.say(turn, "done" if turn.session.state is not State.ASK else "yes")
    cause = next(o.cause for o in turn.outputs if isinstance(o, Summary))
    assert "13.9" in cause
    assert "diesel" not in cause
