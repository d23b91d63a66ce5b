"""Questions and slips between the steps of a job: they are answered for what was just said."""

from decimal import Decimal

import pytest
from bench import Bench
from lines import Lines
from talk import situations
from talk.situations import Talker, spoken, talker

from voiceassist.language.meanings import Answer, Command, Reading
from voiceassist.session.events import Heard
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

MENDED = """
steps:
  one:
    ask: is the joint tight
    accept: yes
    answers: {yes: good, no: loose}
repairs:
  tighten: {do: tighten the joint}
findings:
  good: {cause: all is well, correction: nothing to do}
  loose: {cause: it is loose, correction: tighten it, repair: [tighten], prove-with: [one]}
"""

KEPT = """
source: general rule of thumb
steps:
  one: {measure: voltage of the battery, unit: V}
  two: {measure: voltage of the feed, accept: at least one - 0.5 V, low: bad, then: good}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


@pytest.fixture
def fan() -> Lines:
    return Lines("heater-fan-module")


def at_feed(fan: Lines) -> Lines:
    return fan.walk("feed", battery="twelve point six")


# --- is that good ---


def test_is_that_good_speaks_of_the_reading_just_given(fan: Lines) -> None:
    at_feed(fan).type("ten volts")
    assert "Feed, 10 V: it should be 12.1 V" in fan.type("is that good")


def test_is_that_good_of_a_reading_that_passed_says_so(fan: Lines) -> None:
    fan.type("affirm", "twelve point six")
    assert "Battery, 12.6 V: good." in fan.type("is that good")


def test_is_that_good_speaks_of_the_step_where_nothing_was_given_lately(fan: Lines) -> None:
    fan.type("affirm")
    assert "The limit is 12 V to 12.9 V" in fan.type("is that good")


def test_is_that_good_of_a_value_that_is_only_kept_says_so() -> None:
    lines = Lines(text="procedure: small\ntitle: small\nfor: a van\n" + KEPT)
    lines.type("twelve volts")
    assert "neither good nor bad" in lines.type("is that good")


def test_what_it_should_be_is_asked_of_the_step_to_come(fan: Lines) -> None:
    fan.type("affirm", "twelve point six")
    assert fan.type("what should it be").startswith("The limit is 12.1 V")


# --- other questions ---


def test_what_if_it_reads_low_is_answered_by_what_that_means(fan: Lines) -> None:
    fan.type("affirm")
    assert "If too low: " in fan.type("and what if it reads low")


def test_did_you_get_that_reads_the_last_value_back(fan: Lines) -> None:
    fan.type("affirm", "twelve point six")
    assert fan.type("did you get that last one") == "Battery was 12.6 V."


def test_is_it_worth_carrying_on_tells_how_far_it_is(fan: Lines) -> None:
    assert "more steps to a finding" in fan.type("is it worth carrying on")


def test_a_question_about_the_trim_does_not_stand_by(fan: Lines) -> None:
    fan.type("do i need to take the door card off")
    assert fan.state is State.CAUTION


# --- what was not meant ---


def test_who_denies_a_command_is_told_what_is_awaited(fan: Lines) -> None:
    before = at_feed(fan).session.ledger
    fan.type("skip")
    fan.type("negative")
    assert "feed pin to body earth" in fan.type("i didn't say skip")
    assert (fan.state, fan.session.ledger) == (State.MEASURE, before)


def test_who_asks_what_to_do_now_is_not_asked_again_what_he_meant(fan: Lines) -> None:
    at_feed(fan)
    fan.give(Heard("mumble", guess=Answer("done"), certain=True))
    assert "Did you mean done?" in fan.texts()
    assert "feed pin to body earth" in fan.type("what do i do now")
    assert fan.state is State.MEASURE


@pytest.mark.parametrize(
    "words", ["why", "what is the limit", "say less", "note the plug is green"]
)
def test_what_speaks_of_anything_else_lets_an_offer_go(fan: Lines, words: str) -> None:
    at_feed(fan)
    fan.give(Heard("mumble", guess=Answer("done"), certain=True))
    fan.type(words)
    assert fan.state is State.MEASURE
    assert "feed pin to body earth" in fan.type("sorry mate, once more")


@pytest.mark.parametrize("words", ["say again", "louder", "help"])
def test_an_offer_still_waits_for_who_did_not_hear_it(fan: Lines, words: str) -> None:
    at_feed(fan)
    fan.give(Heard("mumble", guess=Command("why"), certain=True))
    fan.type(words)
    assert fan.state is State.MEANT
    assert "Why: " in fan.type("yes")


# --- cautions ---


def test_explain_at_a_caution_tells_the_caution_in_full(fan: Lines) -> None:
    told = fan.type("explain")
    assert "battery gas explodes" in told
    assert "Why: " in told
    assert fan.state is State.CAUTION


@pytest.mark.parametrize(
    "words", ["can i keep my watch on", "will it shock me", "can it start by itself"]
)
def test_a_question_is_no_word_that_a_caution_is_understood(words: str) -> None:
    one = talker("heater-fan-module", Detail.NORMAL)
    turn = one.say(one.begin(), words)
    assert turn.session.state is State.CAUTION
    assert turn.session.acknowledged == frozenset()


def test_a_guess_at_a_caution_is_asked_for_as_it_was_at_first(fan: Lines) -> None:
    fan.give(Heard("yep rings are off", guess=Answer("affirm"), certain=True))
    assert fan.texts() == "Is that a yes? Say affirm when understood."
    fan.type("affirm")
    assert fan.state is not State.CAUTION


# --- a value by its name ---


def named(bench: Lines, words: str) -> Lines:
    """Typed where a session listens, which knows what its steps are called."""
    listening = bench.engine.listen(bench.session).expectation
    bench.hear(*bench.grammar(listening).parse(words).meanings, words=words)
    return bench


@pytest.mark.parametrize(
    "words",
    [
        "battery 12.6",
        "battery is 12.6",
        "battery's 12.6",
        "the battery reads twelve point six volts",
    ],
)
def test_a_value_may_be_told_by_the_name_of_its_step(fan: Lines, words: str) -> None:
    fan.type("affirm")
    assert named(fan, words).counting == {"battery": "12.6 V"}


def test_a_mere_figure_behind_the_name_may_belong_to_it(fan: Lines) -> None:
    fan.type("affirm")
    assert named(fan, "battery two").counting == {}


def test_the_name_of_another_step_makes_no_value_of_this_one(fan: Lines) -> None:
    assert "feed" not in named(at_feed(fan), "battery is 12.4").counting


def test_a_step_that_reads_the_same_place_again_takes_its_name_too() -> None:
    lamp = Lines("dim-headlamp")
    lamp.type("yes", "affirm", "12.6")
    assert named(lamp, "battery's 12.1").counting["lit"] == "12.1 V"


# --- danger ---


def test_after_danger_the_value_that_was_being_corrected_is_asked_for_again(fan: Lines) -> None:
    at_feed(fan).type("twelve point five", "i read it wrong", "something is burning")
    assert "Feed was 12.5 V. Say what is right" in fan.type("go ahead")
    fan.type("twelve point four")
    assert fan.counting["feed"] == "12.4 V"


def test_after_danger_a_step_begins_again_where_nothing_was_being_corrected(typed: Bench) -> None:
    typed.to("feed").say("danger", "go-ahead")
    assert typed.state is State.CAUTION


@pytest.fixture
def typed() -> Bench:
    return Bench()


# --- what was asked about: whether something was forgotten ---


@pytest.fixture
def doubted(fan: Lines) -> Lines:
    """Nothing is there, as if the key were not in run."""
    at_feed(fan).type("zero volts")
    assert fan.state is State.FORGOTTEN
    return fan


@pytest.mark.parametrize("words", ["yes it's in run", "yes the key is on", "of course it is on"])
def test_who_says_that_it_is_so_is_believed(doubted: Lines, words: str) -> None:
    assert "0 V" in doubted.type(words)
    assert doubted.counting["feed"] == "0 V"


@pytest.mark.parametrize("words", ["yes it's on now", "i've turned it on now", "done"])
def test_who_has_just_put_it_right_reads_again(doubted: Lines, words: str) -> None:
    assert "Then read it once more." in doubted.type(words)
    assert doubted.state is State.MEASURE
    assert "feed" not in doubted.counting


# --- done, in other words ---


@pytest.mark.parametrize("words", ["nipped it up", "the joint was loose and i tightened it"])
def test_a_repair_may_be_told_as_done_by_what_was_done(words: str) -> None:
    lines = Lines(text="procedure: small\ntitle: small\nfor: a van\n" + MENDED)
    lines.type("no", "yes")
    assert lines.state is State.DO
    assert "Now prove it." in lines.type(words)


def test_a_value_lets_the_question_go_whether_to_stop(fan: Lines) -> None:
    fan.type("affirm", "finish")
    assert fan.state is State.FINISH
    fan.type("twelve point six")
    assert fan.counting == {"battery": "12.6 V"}


def test_that_is_it_ends_no_job_while_a_change_is_awaited() -> None:
    lamps = Lines("rear-lamps")
    lamps.type("yes", "okay that's it")
    assert lamps.state is State.MEASURE


def test_we_are_done_ends_the_job_after_the_finding() -> None:
    fan, turn = situations.standing_at("after")
    assert fan.event(turn, "we're done").meanings == (Command("finish"),)


@pytest.mark.parametrize("words", ["yep, rings are off", "ok, got my goggles on"])
def test_what_follows_the_awaited_word_behind_a_comma_takes_nothing_from_it(words: str) -> None:
    one = talker("heater-fan-module", Detail.NORMAL)
    assert one.say(one.begin(), words).session.state is not State.CAUTION


@pytest.mark.parametrize("words", ["yes, but hang on", "okay, not yet", "yes, if you say so"])
def test_unless_it_speaks_against_it(words: str) -> None:
    one = talker("heater-fan-module", Detail.NORMAL)
    assert one.say(one.begin(), words).session.acknowledged == frozenset()


def test_done_without_the_value_is_asked_for_the_value_alone(typed: Bench) -> None:
    typed.to("feed").say("done")
    assert typed.texts() == "What does it show?"


# --- a change and the question after it are one turn ---

ASKED_AT_ONCE = """
conditions: {key: {off: key off, run: key to run}}
steps:
  one:
    needs: {key: run}
    ask: does the lamp light
    accept: yes
    answers: {yes: good, no: bad}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


def at_once() -> Lines:
    return Lines(text="procedure: small\ntitle: small\nfor: a van\n" + ASKED_AT_ONCE)


def test_a_change_and_the_question_after_it_are_asked_for_in_one_breath() -> None:
    bench = at_once()
    assert bench.texts().endswith("Key to run. Does the lamp light?")
    bench.type("no")
    assert (bench.session.finding, bench.session.condition("key")) == ("bad", "run")


@pytest.mark.parametrize("word", ["done", "okay", "key's on"])
def test_who_says_that_the_change_is_made_is_asked_the_question_again(word: str) -> None:
    bench = at_once()
    assert bench.type(word) == "Does the lamp light?"
    assert (bench.session.ledger, bench.session.condition("key")) == ((), "run")


def test_a_trainee_is_given_the_change_and_the_question_one_after_the_other() -> None:
    text = "procedure: small\ntitle: small\nfor: a van\n" + ASKED_AT_ONCE
    assert Lines(text=text, detail=Detail.TEACHING).state is State.CONDITION


# --- what was taken for something else ---


def at_the_door(*said: str) -> Turn:
    door = Talker("door-wires")
    turn = door.begin()
    for words in said:
        turn = door.say(turn, words)
    return turn


def test_just_the_driver_s_is_no_wish_for_fewer_words() -> None:
    assert at_the_door("done", "just the driver's").session.detail is None


def test_fingers_out_is_no_danger() -> None:
    assert at_the_door("done", "yes", "no", "fingers out").session.state is State.CONDITION


def test_a_typed_question_mark_makes_no_value_of_it() -> None:
    lamp = talker("heater-fan-module", Detail.NORMAL)
    turn = lamp.begin()
    for words in ("affirm", "12.6", "affirm", "done"):
        turn = lamp.say(turn, words)
    asked = lamp.say(turn, "so number one plug is dead?")
    assert asked.session.ledger == turn.session.ledger
    assert "zero volts" not in " ".join(output.text for output in asked.outputs)


def test_a_doubtful_value_said_to_an_offer_is_asked_about(fan: Lines) -> None:
    at_feed(fan).give(Heard("mumble", guess=Answer("done"), certain=True))
    doubtful = Heard("2.5 on the tip", (Reading(Decimal("2.5")),), doubtful=True)
    fan.give(doubtful)
    assert fan.state is State.CONFIRM


def test_which_step_this_is_is_told_by_its_name(fan: Lines) -> None:
    assert "This step is called battery." in fan.type("which step am i on")


def test_what_is_dangerous_here_is_answered_by_the_caution(fan: Lines) -> None:
    fan.type("affirm")
    assert "battery gas explodes" in fan.type("what is dangerous here")


def test_no_battery_is_condemned_by_a_clamp_that_reads_nothing() -> None:
    """Nothing in the starter's cable is no good value: the clamp is not on, or nothing cranked."""
    starter = Lines("slow-cranking")
    starter.walk("crank-load", hybrid="no", battery="12.6", air="20", crank_volts="9.1")
    starter.type("zero amps")
    assert starter.session.finding == ""


# --- an old hand's words ---


TWELVE_FIVE = [
    "she's sat at twelve point five steady",
    "meter's telling me twelve point five",
    "the display's showing twelve point five",
    "we're looking at twelve point five volts",
    "settled on twelve point five",
    "that's a healthy twelve point five",
    "rock solid twelve point five",
    "it comes up as twelve point five",
    "nice one, twelve point five",
    "twelve dot five",
]


@pytest.mark.parametrize("words", TWELVE_FIVE)
def test_a_plain_reading_is_taken_without_a_question(words: str) -> None:
    one, turn = situations.standing_at("volts")
    taken = one.say(turn, words).session
    assert taken.step == "feed-lamp"
    assert taken.ledger[-1].shown in {"12.5 V", "12.5"}


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("one and two tenths", "1.2 A"),
        ("it's pulling one and two tenths", "1.2 A"),
        ("meter says one and two tenths of an amp", "1.2 A"),
        ("drawing four hundred milliamps", "400 mA"),
    ],
)
def test_tenths_are_added_to_what_stands_before_them(words: str, shown: str) -> None:
    one, turn = situations.standing_at("amps")
    assert one.say(turn, words).session.ledger[-1].shown == shown


@pytest.mark.parametrize(
    "words", ["it's off its plug and the key's round to run", "the key's in run", "done"]
)
def test_who_tells_that_the_vehicle_is_as_asked_reads_a_doubted_value_again(words: str) -> None:
    one, turn = situations.standing_at("confirm")
    told = one.say(turn, words)
    assert told.session.state is State.MEASURE
    assert told.session.step == turn.session.step
    assert spoken(told).startswith("Then read it once more. Voltage from feed pin")


def test_a_state_that_explains_a_doubted_value_is_put_right_first() -> None:
    one, turn = situations.standing_at("confirm")
    assert "Key to run." in spoken(one.say(turn, "the key's off"))


def test_who_did_not_want_to_skip_goes_back_over_a_skip_alone() -> None:
    one, turn = situations.standing_at("volts")
    words = "i didn't want to skip it"
    assert one.say(turn, words).session.step == "feed"
    assert spoken(one.say(turn, words)).startswith("Nothing was skipped. Voltage from feed pin")
    over = one.say(turn, "skip it, i can't reach it")
    assert over.session.step == "feed-lamp"
    assert one.say(over, words).session.step == "feed"


@pytest.mark.parametrize("words", ["only speed four", "now speed three"])
def test_a_speed_of_the_fan_is_no_speed_of_the_voice(words: str) -> None:
    one, turn = situations.standing_at("volts")
    assert "All right" not in spoken(one.say(turn, words))


def test_what_was_forgotten_or_misread_is_offered_in_the_words_of_who_asks(fan: Lines) -> None:
    at_feed(fan)
    fan.give(Heard("mumble", guess=Command("forgot"), certain=True))
    assert "Did you mean that you forgot something?" in fan.texts()
    fan.give(Heard("mumble", guess=Command("mistake"), certain=True))
    assert "Did you mean that you read it wrong?" in fan.texts()


@pytest.mark.parametrize("words", ["okay", "will do", "gotcha", "on it", "right"])
def test_to_who_goes_to_measure_nothing_is_said_and_who_says_yes_to_a_lamp_is_asked_how(
    words: str,
) -> None:
    one, turn = situations.standing_at("volts")
    left = one.say(turn, words)
    assert (spoken(left), left.session.state) == ("", State.MEASURE)
    one, turn = situations.standing_at("lamp")
    assert spoken(one.say(turn, words)) == "Bright, dim or off?"


def asked_to_unplug(*words: str) -> Turn:
    """Where the module is to be unplugged, the key turned and the feed measured, in one breath."""
    one = talker("heater-fan-module", Detail.NORMAL)
    turn = one.begin()
    for each in ("affirm", "twelve point six", "affirm", *words):
        turn = one.say(turn, each)
    return turn


@pytest.mark.parametrize(
    "words",
    [
        "done, twelve point five",
        "unplugged, key's on, twelve point five",
        "it's out and i've got twelve point five",
        "key is run twelve point five",
        "right that's out, reading twelve point five volts",
    ],
)
def test_changes_are_told_as_made_in_one_breath_with_the_reading(words: str) -> None:
    taken = asked_to_unplug(words).session
    assert taken.step == "feed-lamp"
    assert {("module plug", "out"), ("key", "run")} <= set(taken.conditions)


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("plug's in, twelve point five", "Unplug the module."),
        ("key's off twelve point five", "Key to run."),
        ("unplugged and the key's off, twelve point five", "Key to run."),
    ],
)
def test_a_value_does_not_count_in_a_state_that_the_step_cannot_use(words: str, asked: str) -> None:
    refused = asked_to_unplug(words)
    assert (refused.session.step, refused.session.state) == ("feed", State.MEASURE)
    assert asked in spoken(refused)


@pytest.mark.parametrize("words", ["okay", "gotcha", "will do", "righto", "roger"])
def test_what_only_tells_that_it_was_heard_answers_no_question(words: str) -> None:
    one, turn = situations.standing_at("question")
    heard = one.say(turn, words)
    assert (heard.session.step, heard.session.ledger) == (turn.session.step, turn.session.ledger)
    assert spoken(heard) == "Yes or no? Does the fan wheel turn freely by hand?"


def test_a_state_told_before_the_word_that_it_is_done_is_done_too() -> None:
    made = asked_to_unplug("the module plug is out, done")
    assert spoken(made) == "Voltage from feed pin to body earth."
    assert {("module plug", "out"), ("key", "run")} <= set(made.session.conditions)


@pytest.mark.parametrize("words", ["twelve five at the plug", "twelve point five across the posts"])
def test_where_it_was_read_may_stand_behind_a_reading(words: str) -> None:
    one, turn = situations.standing_at("volts")
    assert one.say(turn, words).session.step == "feed-lamp"


@pytest.mark.parametrize(
    ("words", "step"),
    [
        ("pulled fuse one, still four hundred", "without-two"),
        ("pulled it, same", "without-two"),
        ("it's out and it reads thirty milliamps", "lid-lamp"),
        ("pulled fuse one", "without-one"),
        ("pulled fuse two, thirty milliamps", "without-one"),
    ],
)
def test_a_fuse_is_told_as_pulled_with_what_is_read_then(words: str, step: str) -> None:
    one = talker("key-off-draw", Detail.NORMAL)
    turn = one.to(situations.Place(situations.DRAW, "draw", State.MEASURE))
    turn = one.say(one.say(turn, "four hundred milliamps"), "affirm")
    assert turn.session.step == "without-one"
    told = one.say(turn, words).session
    assert told.step == step
    assert told.state is not State.MEANT


@pytest.mark.parametrize("words", ["switched off", "turned it off"])
def test_what_was_switched_off_is_no_dark_lamp(words: str) -> None:
    assert spoken(asked_to_unplug(words)) == "Voltage from feed pin to body earth."
    one, turn = situations.standing_at("after")
    assert one.say(turn, words).session.state is State.CLOSED
