"""What a newcomer ran into: questions that took no answer, and answers that told nothing."""

from decimal import Decimal

import pytest
from bench import Bench, small, volts
from lines import Lines

from voiceassist.language.meanings import Command, Correction, OverRange, Reading
from voiceassist.session.events import Heard
from voiceassist.session.states import State

CHOICES = """
one:
  ask: try both speeds. What fails
  answers:
    nothing: {say: [nothing, none of it], go: good}
    fast: {say: [the fast one], go: bad}
"""
TEN_TWO = Reading(Decimal("10.2"))
TWICE_REPAIRED = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it, prove-with: [one]}
"""


@pytest.fixture
def typed() -> Bench:
    return Bench()


# --- a step that was to be skipped, and is answered after all ---


def test_an_answer_given_instead_of_a_reason_to_skip_counts(typed: Bench) -> None:
    typed.to("earth-lamp").say("skip", "bright")
    assert [r.shown for r in typed.session.ledger if r.step == "earth-lamp"] == ["bright"]
    assert typed.step == "earth-drop"


def test_the_words_of_a_reading_are_heard_where_a_reason_to_skip_is_asked_for() -> None:
    bench = Lines("heater-fan-module")
    bench.walk("earth-drop", battery="twelve point six", feed="twelve point five",
               feed_lamp="bright", earth_lamp="bright")  # fmt: skip
    bench.type("skip")
    assert bench.state is State.SKIP
    bench.type("point zero five volts")
    assert bench.counting["earth-drop"] == "0.05 V"


def test_a_change_told_as_made_instead_of_a_reason_to_skip_counts() -> None:
    bench = small("one: {needs: {key: run}, ask: does it turn, answers: {yes: good, no: one-b}}\n"
                  "one-b: {ask: does it hum, answers: {yes: good, no: bad}}")  # fmt: skip
    bench.say("skip", "done")
    assert bench.session.condition("key") == "run"


# --- it tells what it waits for ---


def test_a_question_of_several_answers_tells_them_when_it_is_asked_what_can_be_said() -> None:
    assert "Here you can say nothing, or the fast one." in small(CHOICES).after("help").texts()


def test_a_question_of_several_answers_tells_them_when_it_understood_nothing() -> None:
    bench = small(CHOICES)
    bench.hear(words="the slow one")
    assert "You can say nothing, or the fast one." in bench.texts()


def test_after_the_second_miss_it_says_again_what_it_waits_for(typed: Bench) -> None:
    typed.to("earth-lamp").say("skip")
    typed.hear(words="mumble")
    assert "Why skip this step?" not in typed.texts()
    typed.hear(words="mumble")
    assert "Why skip this step?" in typed.texts()


def test_who_types_is_not_sent_to_the_microphone(typed: Bench) -> None:
    for _ in range(3):
        typed.to("battery").hear(words="mumble")
    assert "microphone" not in typed.texts()


def test_done_where_a_value_is_awaited_asks_for_the_value(typed: Bench) -> None:
    typed.to("earth-drop").say("done")
    assert typed.texts().startswith("What does it show?")
    assert typed.state is State.MEASURE


@pytest.mark.parametrize("yes", ["affirm", "yes", "Yes."])
def test_yes_where_a_value_is_awaited_is_no_value_and_asks_for_it(yes: str) -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    assert bench.type(yes) == "What does it show?"
    assert (bench.step, bench.state) == ("feed", State.MEASURE)
    assert bench.session.condition("key") != "run"


def test_a_value_that_may_be_two_is_too_early_as_well_before_its_caution() -> None:
    bench = small(
        "one: {caution: blades, measure: voltage at it, accept: at most 3 V, fail: bad, then: good}"
    )
    bench.hear(volts("12.3"), volts("123"), words="twelve three")
    assert bench.texts() == "That reading does not count yet: say affirm to the caution first."


# --- an answer of the question's own, in other words ---


def test_words_that_hold_one_answer_of_the_question_offer_that_answer() -> None:
    bench = small(CHOICES)
    bench.give(Heard("it was the fast one mate", (), certain=True, guess=Command("faster")))
    assert bench.texts() == "Did you mean the fast one? Say affirm or negative."
    assert bench.after("affirm").session.finding == "bad"


def test_words_that_hold_two_answers_offer_neither() -> None:
    bench = small(CHOICES)
    bench.hear(words="nothing or the fast one")
    assert "You can say nothing, or the fast one." in bench.texts()


def test_a_way_to_speak_that_was_guessed_at_does_not_come_before_the_answer() -> None:
    bench = small(CHOICES)
    guessed = Heard("the fast one fails", (Command("faster"),), certain=True, guessed=True)
    bench.give(guessed)
    assert "Did you mean the fast one?" in bench.texts()


def test_danger_comes_before_the_answer() -> None:
    bench = small(CHOICES)
    burning = Heard("the fast one is glowing", (Command("danger"),), certain=True, guessed=True)
    bench.give(burning)
    assert bench.state is State.STAND_BY


# --- how ---


def test_where_the_file_tells_no_how_the_setting_of_the_meter_is_told() -> None:
    bench = small("one: {measure: voltage at it, accept: at most 3 V, fail: bad, then: good}")
    bench.say("how")
    assert "Red lead in the volts and ohms socket." in bench.texts()


def test_at_a_battery_the_red_lead_is_on_plus(typed: Bench) -> None:
    typed.to("battery").say("how")
    assert typed.texts() == "Red lead on the plus post, black lead on the minus post."


def test_what_goes_on_meanwhile_is_no_place_for_a_lead() -> None:
    bench = small(
        "one: {measure: voltage from the pin to body earth while it cranks, "
        "accept: at most 3 V, fail: bad, then: good}"
    )
    assert bench.after("how").texts().endswith("black lead on body earth.")


def test_which_lead_goes_where_is_told_of_a_voltage_between_two_points(typed: Bench) -> None:
    typed.to("feed").say("how")
    assert "Red lead on feed pin, black lead on body earth." in typed.texts()


def test_the_leads_are_told_without_what_else_the_step_asks_for(typed: Bench) -> None:
    typed.to("earth-drop").say("how")
    assert "Red lead on earth pin, black lead on battery minus post." in typed.texts()


@pytest.mark.parametrize("asked", ["wire", "colour", "pin"])
def test_where_no_point_is_named_the_words_of_the_step_are_told(asked: str) -> None:
    bench = small(
        "one: {measure: 'current in the brown wire, by clamp', accept: at most 3 A, "
        "fail: bad, then: good}"
    )
    bench.say(Command("how", f"asked/{asked}"))
    assert bench.texts() == "Current in the brown wire, by clamp. The procedure says no more."


def test_of_a_resistance_no_lead_is_told_since_either_way_will_do() -> None:
    bench = small(
        "one: {measure: resistance from the pin to body earth, accept: at most 3 Ω, "
        "fail: bad, then: good}"
    )
    assert "Red lead on" not in bench.after("how").texts()


# --- a correction that names an earlier reading ---


def lamp_read() -> Lines:
    """A headlamp whose voltage and current were read, at the finding of a wrong bulb."""
    bench = Lines("dim-headlamp").walk(
        "lamp-current",
        filament="yes",
        battery="twelve point six",
        lit="twelve point four",
        lamp_volts="twelve point three",
    )
    bench.type("twelve point one amps")
    assert bench.state is State.OFFER
    return bench


def test_of_two_numbers_for_a_reading_that_is_named_that_reading_is_asked_about() -> None:
    bench = lamp_read()
    twice = (Correction(Reading(Decimal(value)), "lamp-volts") for value in ("10.2", "102"))
    bench.hear(*twice, words="the lamp volts was wrong it's ten two")
    assert "10.2 V, or 102 V" in bench.texts()
    bench.say(volts("10.2"))
    assert bench.counting["lamp-volts"] == "10.2 V"


def test_of_two_numbers_for_a_reading_that_was_never_taken_none_is_taken() -> None:
    bench = lamp_read()
    before = bench.session
    bench.hear(*(Correction(volts(value), "earth-drop") for value in ("10.2", "102")))
    assert (bench.session.ledger, bench.state) == (before.ledger, State.OFFER)


@pytest.mark.parametrize(
    ("said", "meaning"),
    [
        ("correction lamp volts ten point two", Correction(TEN_TWO, "lamp-volts")),
        ("correction the lamp volts is ten point two", Correction(TEN_TWO, "lamp-volts")),
        ("the lamp volts was over range", Correction(OverRange(), "lamp-volts")),
        ("correction ten point two", Correction(TEN_TWO)),
    ],
)
def test_a_reading_is_corrected_by_its_name_after_the_word_that_is_taught(
    said: str, meaning: Correction
) -> None:
    bench = lamp_read()
    listened = bench.engine.listen(bench.session).expectation
    assert bench.grammar(listened).parse(said).meanings == (meaning,)


# --- words ---


@pytest.mark.parametrize(
    ("said", "meaning"),
    [
        ("i can't find the pin", Command("how")),
        ("can't find it", Command("how")),
        ("can you show me", Command("how")),
        ("i can't reach the pin", Command("skip", "no-access")),
        ("no wait i didn't mean to skip it", Command("go-back", "skipped")),
    ],
)
def test_who_cannot_find_it_is_told_where_and_who_cannot_reach_it_leaves_it_out(
    said: str, meaning: Command
) -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    assert bench.meanings(said) == (meaning,)


@pytest.mark.parametrize("said", ["ok ready", "i'm ready", "go ahead"])
def test_who_is_ready_again_is_heard_while_it_stands_by(said: str) -> None:
    bench = Lines("heater-fan-module")
    bench.type("stand by", said)
    assert bench.state is State.CAUTION


# --- at the finding and after it ---


def proved(*said: object) -> Bench:
    bench = small("one: {measure: voltage at it, accept: at most 3 V, fail: bad, then: good}",
                  more=TWICE_REPAIRED)  # fmt: skip
    return bench.after(volts("9"), *said)  # type: ignore[arg-type]


def test_who_has_repaired_it_already_says_done_and_it_is_proved() -> None:
    assert proved().state is State.OFFER
    assert "Now prove it." in proved("done").texts()


def test_where_the_proof_failed_done_takes_it_again() -> None:
    failed = proved("done", volts("8"))
    assert failed.state is State.RETRY
    assert failed.after("done").state is State.MEASURE


def test_a_bare_value_where_the_proof_failed_is_told_how_to_be_given() -> None:
    failed = proved("done", volts("8"))
    ledger = failed.session.ledger
    failed.say(volts("0.3"))
    assert "If you misread it, say" in failed.texts()
    assert failed.session.ledger == ledger
    failed.correct(volts("0.3"))
    assert failed.session.ledger[-1].passed


@pytest.mark.parametrize("end", [("finish", "affirm"), (Command("park", "parts"),)])
def test_yes_tells_that_the_vehicle_is_put_back(typed: Bench, end: tuple[object, ...]) -> None:
    typed.to("feed").say(*end)  # type: ignore[arg-type]
    assert typed.state in {State.PUT_BACK, State.TO_PARK}
    typed.say("affirm")
    assert typed.state in {State.CLOSED, State.PARKED}


# --- what is asked of a danger, of a value just found bad, of what cannot be seen ---


@pytest.mark.parametrize(
    "words",
    [
        "what's the worst that can happen here",
        "what could go wrong",
        "is it dangerous",
        "and what's the risk",
    ],
)
def test_who_asks_for_the_worst_that_can_happen_hears_the_caution(words: str) -> None:
    full = "WARNING: the fan may start by itself. Keep hands and leads clear."
    at_caution, measuring = Lines("heater-fan-module"), Lines("heater-fan-module")
    at_caution.type("affirm", "twelve point six")
    assert full in at_caution.type(words)
    assert at_caution.state is State.CAUTION
    assert measuring.walk("feed", battery="twelve point six").type(words) == full


@pytest.mark.parametrize(
    "words",
    ["what does it mean when it's low", "what does too low mean", "so why is it so low"],
)
def test_what_low_means_is_told_of_the_value_that_was_just_low(words: str) -> None:
    bench = Lines("no-charging").walk("idle-volts", hybrid="no", belt="yes", battery="12.5")
    bench.type("12.4")
    assert (bench.step, bench.state) == ("stud-volts", State.CAUTION)
    assert bench.type(words).startswith("Idle volts, 12.4 V: it should be 13.5 V to 14.8 V.")
    assert "Why: this is what the battery gets." in bench.texts()
    assert bench.state is State.CAUTION


def test_what_low_would_mean_is_told_of_the_step_at_hand_before_it_is_read() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    assert bench.type("what does it mean when it's low").startswith("If too low: the supply")


@pytest.mark.parametrize("words", ["i can't see the pin", "sorry can't see pin one from here"])
def test_who_cannot_see_a_pin_is_told_where_it_is_before_he_leaves_it_out(words: str) -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    assert "thick brown wire" in bench.type(words)
    assert bench.state is State.MEASURE
