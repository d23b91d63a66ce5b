"""What people type: taken for what it means where it is said, by grammar and guess together."""

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from bench import HOUSE, volts
from lines import Lines
from talk.situations import PLACES, Talker

from voiceassist.app.live.guessing import with_guess
from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, OverRange, Reading
from voiceassist.measure.units import unit
from voiceassist.session.actions.enter import enter
from voiceassist.session.events import Heard, NoReply
from voiceassist.session.offered import warns
from voiceassist.session.outputs import Listen, StepDone
from voiceassist.session.session import Stage, Turn
from voiceassist.session.states import State

#: On the way; else "yes" is answered.
VALUES = {
    "hybrid": "no",
    "battery": "12.6 volts",
    "feed": "12.5 volts",
    "feed_lamp": "bright",
    "earth_lamp": "bright",
    "earth_drop": "0.02 volts",
    "minus_joint": "0.02 volts",
    "rough_draw": "0.4 amps",
    "idle_volts": "12.4 volts",
    "stud_volts": "11.2 volts",
    "exciter": "2.2 volts",
    "power_loaded": "12.3 volts",
    "power_battery": "12.4 volts",
    "earth": "12.3 volts",
    "pair_first": "12.6 volts",
    "pair_second": "12.6 volts",
}
WARNED = """
procedure: warned
title: a row of warnings
for: an invented vehicle
source: general rule of thumb
cautions:
  one: {signal: WARNING, hazard: the fan may start, avoid: Keep clear.}
  two: {signal: WARNING, hazard: the belt may move, avoid: Keep clear.}
  three: {signal: WARNING, hazard: the pipe is hot, avoid: Keep clear.}
  four: {signal: WARNING, hazard: the spring is tense, avoid: Keep clear.}
steps:
  first: {caution: one, do: tighten the first joint}
  second: {caution: two, do: tighten the second joint}
  third: {caution: three, do: tighten the third joint}
  fourth: {caution: four, do: tighten the fourth joint, then: good}
findings:
  good: {cause: all is well, correction: nothing to do}
"""


class Typed(Lines):
    """Lines with a guess at what no grammar understands, as a session has it."""

    talker = Talker("heater-fan-module")

    def event(self, line: str) -> Heard:
        grammar = self.grammar()
        found = grammar.parse(line)
        setup = self.engine.at(self.session)
        heard = Heard(line, found.meanings, True, found.reason)
        return with_guess(heard, grammar, setup, self.session, self.talker.guesser)

    def meanings(self, line: str) -> tuple[Meaning, ...]:
        return self.event(line).meanings

    def type(self, *lines: str) -> str:
        for line in lines:
            self.give(self.event(line))
        return self.texts()

    def until(self, state: State, step: str = "") -> "Typed":
        """Go on until it stands in ``state``, as on a vehicle whose values are good."""
        for _ in range(60):
            if self.state is state and step in ("", self.session.step):
                return self
            usual = {State.CAUTION: "affirm", State.CONDITION: "done", State.DO: "done"}
            usual[State.WAIT] = "skip"
            name = self.session.step.replace("-", "_")
            self.type(usual.get(self.state) or VALUES.get(name, "yes"))
        raise AssertionError(f"stays at {self.session.step}")


LAMPS = Talker("heater-fan-module")


def said_at(place: str, *lines: str) -> Turn:
    """Where ``lines`` lead from a place of the fan job, with all that a session can hear there."""
    turn = LAMPS.to(PLACES[place])
    for line in lines:
        turn = LAMPS.say(turn, line)
    return turn


def shipped(name: str) -> str:
    return (HOUSE / "procedures" / f"{name}.yaml").read_text(encoding="utf-8")


def at(procedure: str, state: State, step: str = "") -> Typed:
    return Typed(procedure, library=shipped).until(state, step)


def at_feed() -> Typed:
    return at("heater-fan-module", State.MEASURE, "feed")


# --- questions ---


@pytest.mark.parametrize(
    "said",
    [
        "it is a normal diesel car", "nope just a van", "just a van", "a normal petrol car",
        "it's an ordinary car", "no, plain old truck", "neither, it's just a diesel",
        "old diesel lorry",
    ],
)  # fmt: skip
def test_a_vehicle_told_as_an_ordinary_one_is_no_hybrid(said: str) -> None:
    bench = at("charging-by-module", State.ASK, "hybrid")
    bench.type(said)
    assert (bench.session.step, bench.counting) == ("belt", {"hybrid": "no"})


@pytest.mark.parametrize(
    "said",
    ["it's an ordinary car", "it is an ordinary car", "just a van", "it's just a diesel",
     "it's only a petrol"],
)  # fmt: skip
def test_an_ordinary_one_may_have_a_module_that_sets_the_voltage(said: str) -> None:
    """Where one question asks for both, that is left to be asked."""
    bench = at("no-charging", State.ASK, "hybrid")
    bench.type(said)
    assert bench.session.step == "told"


@pytest.mark.parametrize("said", ["it's a van", "a normal hybrid car", "it's an electric van"])
def test_a_vehicle_that_may_be_a_hybrid_is_not_taken_for_an_ordinary_one(said: str) -> None:
    bench = at("charging-by-module", State.ASK, "hybrid")
    bench.type(said)
    assert bench.counting.get("hybrid") != "no"


@pytest.mark.parametrize(
    ("said", "meanings"),
    [
        ("yes it's tight", (Answer("affirm"),)),
        ("it's tight and the pulley turns one way only", (Answer("affirm"),)),
        ("not tight", (Answer("negative"),)),
        ("belt's tight, bit cracked", ()),
        ("tight, a bit cracked", ()),
        ("belt is cracked", (Command("next"),)),
        ("the fan belt's a bit frayed", (Command("next"),)),
        ("the belt is smoking", (Command("danger"),)),
    ],
)
def test_tight_is_yes_where_it_is_asked_and_cracked_is_no_danger(
    said: str, meanings: tuple[Meaning, ...]
) -> None:
    assert at("charging-by-module", State.ASK, "belt").meanings(said) == meanings


def test_half_an_answer_is_asked_about_and_decides_nothing() -> None:
    event = at("charging-by-module", State.ASK, "belt").event("belt's tight, bit cracked")
    assert (event.meanings, event.guess) == ((), Answer("affirm"))


# --- readings ---


@pytest.mark.parametrize(
    ("said", "value"),
    [("zero zero four", "0.04"), ("oh oh four volts", "0.04"), ("zero four two", "0.42"),
     ("twelve and half volt", "12.5"), ("twelve point five out here", "12.5")],
)  # fmt: skip
def test_ways_to_tell_a_reading(said: str, value: str) -> None:
    (reading,) = at_feed().meanings(said)
    assert isinstance(reading, Reading)
    assert reading.value == Decimal(value)


@pytest.mark.parametrize("said", ["ten degrees out here", "ten degrees in the shop", "10c", "10 C"])
def test_where_a_temperature_is_told_of_is_no_part_of_it(said: str) -> None:
    assert at("slow-cranking-lorry", State.MEASURE, "air").meanings(said) == (
        Reading(Decimal(10), unit("°C")),
    )


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("eight four two", "8.42 V, or 842 V"),
        ("842v", "8.42 V, or 842 V"),
        ("1265", "12.65 V, or 1265 V"),
    ],
)
def test_digits_that_cannot_be_a_value_may_lack_their_point(said: str, asked: str) -> None:
    bench = at_feed()
    assert f"Was that {asked}" in bench.type(said)
    assert bench.state is State.WHICH
    assert "Too low" in bench.type("eight point four two")


def test_digits_that_lack_no_point_are_asked_about_as_before() -> None:
    assert "15000 V is very unlikely here." in at_feed().type("15000")
    assert "126 V is very unlikely here." in at_feed().type("one two six")
    bench = at_feed()
    bench.type("842")
    assert "842 V is very unlikely here." in bench.type("842")


def test_nothing_in_place_of_a_doubtful_value_is_zero() -> None:
    bench = at_feed()
    bench.give(Heard("", (volts("2.5"),)))
    assert bench.state is State.CONFIRM
    assert bench.meanings("nothing") == (Reading(Decimal(0), None),)


def test_nothing_in_place_of_a_doubtful_lamp_is_off() -> None:
    bench = at("heater-fan-module", State.LAMP, "feed-lamp")
    bench.give(Heard("", (Lamp("dim"),)))
    assert bench.state is State.CONFIRM
    assert bench.type("nothing").startswith("Off.")


# --- warnings, offers and waits ---


@pytest.mark.parametrize("said", ["uh huh understood", "mhm got it", "roger", "yeah will do"])
def test_a_warning_is_understood_in_a_mumble_too(said: str) -> None:
    assert Typed("heater-fan-module").meanings(said) == (Answer("affirm"),)


@pytest.mark.parametrize("said", ["okay crack on", "crack on", "right then carry on"])
def test_crack_on_is_no_wish_for_faster_speech_at_a_warning(said: str) -> None:
    bench = Typed("heater-fan-module")
    assert "Say affirm when understood." in bench.type(said)
    assert bench.state is State.CAUTION


@pytest.mark.parametrize(
    "unknown", ["whatever the parrot wants", "is it raining", "", "carry on", "done"]
)
def test_at_the_fourth_warning_too_it_is_said_what_is_awaited_and_in_full_to_who_errs(
    unknown: str,
) -> None:
    bench = Typed(text=WARNED).until(State.CAUTION, "fourth")
    assert bench.texts().endswith("Say affirm.")
    if unknown:
        bench.type(unknown)
    else:
        bench.give(NoReply())
    assert "Say affirm when understood." in bench.texts()
    assert bench.state is State.CAUTION


@pytest.mark.parametrize(
    "said",
    [
        "crack on", "okay crack on", "why not", "right then carry on", "yeah why not",
        "why should i", "is that so", "sounds like a plan to me",
    ],
)  # fmt: skip
def test_an_offer_with_cautions_wants_words_as_clear_as_a_caution(said: str) -> None:
    steps = WARNED.replace("fourth: {caution: four, do: tighten the fourth joint, then: good}", "")
    steps = steps.replace("third joint}", "third joint, then: bad}")
    bad = "bad: {cause: a joint is loose, correction: tighten it, repair: [last]}"
    repair = "repairs:\n  last: {caution: four, do: tighten the fourth joint}\n"
    bench = Typed(text=f"{steps}  {bad}\n{repair}").until(State.OFFER)
    assert "the spring is tense" in bench.texts()
    bench.type(said)
    assert "four" not in bench.session.acknowledged
    assert not any(isinstance(o, StepDone) and o.step == "last" for o in bench.all)


@pytest.mark.parametrize("said", ["affirm", "yes", "understood", "yes, understood"])
def test_a_clear_yes_to_an_offer_with_cautions_begins_the_repair(said: str) -> None:
    bench = at("no-charging", State.OFFER)
    assert warns(bench.session)
    bench.type(said)
    assert bench.session.step == "new-alternator"
    assert "battery" in bench.session.acknowledged


@pytest.mark.parametrize("said", ["no", "no thanks", "not now", "leave it"])
def test_no_to_an_offer_with_cautions_leaves_the_repair(said: str) -> None:
    bench = at("no-charging", State.OFFER)
    bench.type(said)
    assert bench.state in {State.AFTER, State.MEANT}


@pytest.mark.parametrize("said", ["why not", "yeah why not", "crack on", "okay let's crack on"])
def test_why_not_accepts_an_offer(said: str) -> None:
    bench = at_feed()
    bench.type("2 volts")
    assert bench.state is State.OFFER
    assert bench.meanings(said) == (Answer("affirm"),)


def test_why_not_elsewhere_asks_why() -> None:
    assert at_feed().meanings("why not") == (Command("why"),)


@pytest.mark.parametrize(
    "said", ["keep it", "keep the old one", "no keep it", "leave it as it was"]
)
def test_a_value_that_is_to_be_changed_can_be_kept_in_the_words_of_the_question(said: str) -> None:
    bench = at_feed()
    bench.type("change a reading", "battery")
    assert "or go back to keep it" in bench.texts()
    assert "The value stays as it was." in bench.type(said)
    assert bench.session.step == "feed"


def test_keep_it_down_lowers_the_voice_there_too() -> None:
    bench = at_feed()
    bench.type("change a reading", "battery")
    assert bench.meanings("keep it down") == (Command("softer"),)


@pytest.mark.parametrize("said", ["40mA", "twelve point five volts", "0,4 A", "over range"])
def test_a_value_during_a_wait_is_said_not_to_be_taken_yet(said: str) -> None:
    bench = at("key-off-draw", State.WAIT)
    before = bench.session.ledger
    told = bench.type(said)
    assert told.startswith("I do not take a value yet: the wait goes on. About 20 minutes")
    assert (bench.state, bench.session.ledger) == (State.WAIT, before)


# --- what a man said at his first job ---


@pytest.mark.parametrize("said", ["yes", "yep", "affirm"])
def test_a_typed_yes_is_enough_for_a_value_that_was_told_among_other_words(said: str) -> None:
    bench = at("heater-fan-module", State.MEASURE, "battery")
    bench.give(Heard("got twelve and a half on it", (volts("12.5"),), doubtful=True))
    assert bench.state is State.CONFIRM
    bench.type(said)
    assert bench.counting["battery"] == "12.5 V"


def test_a_typed_yes_is_not_enough_for_a_value_that_can_hardly_be() -> None:
    bench = at("heater-fan-module", State.MEASURE, "battery")
    bench.type("125 volts")
    assert bench.state is State.CONFIRM
    bench.type("yes")
    assert "battery" not in bench.counting


def asked(procedure: str, step: str) -> Typed:
    """At a question, whatever comes before it."""
    bench = Typed(procedure, library=shipped)
    bench.session = enter(bench.engine.setup, bench.session, step).session
    while bench.state is not State.ASK:
        bench.type("affirm" if bench.state is State.CAUTION else "done")
    return bench


PINS = [("heater-fan-module", "plug-pins"), ("window-motor", "motor-pins")]


@pytest.mark.parametrize(("procedure", "step"), PINS)
@pytest.mark.parametrize(
    ("said", "answer"),
    [
        ("pins are mint", "affirm"), ("yep, all good", "affirm"), ("they're fine", "affirm"),
        ("pins are clean and tight, no burning", "affirm"), ("not burnt", "affirm"),
        ("no burning", "affirm"), ("all tight", "affirm"), ("quite tight", "affirm"),
        ("one's burnt", "negative"), ("a bit green", "negative"), ("they're loose", "negative"),
    ],
)  # fmt: skip
def test_pins_that_are_told_as_good_are_good_and_those_told_as_bad_are_bad(
    procedure: str, step: str, said: str, answer: str
) -> None:
    assert asked(procedure, step).meanings(said) == (Answer(answer),)


def test_pins_that_are_told_as_good_and_bad_decide_nothing() -> None:
    assert asked(*PINS[0]).meanings("clean but one's loose") == ()


def test_a_wheel_that_is_tight_does_not_turn_freely() -> None:
    assert asked("heater-fan-module", "turns-freely").meanings("it's tight") == (
        Answer("negative"),
    )


@pytest.mark.parametrize(
    "said",
    [
        "oh wait, leads backwards", "oh wait I had me leads swapped", "i had the leads backwards",
        "wait, leads are the wrong way round",
    ],
)  # fmt: skip
def test_leads_that_were_the_wrong_way_round_take_the_last_value_back(said: str) -> None:
    assert at_feed().meanings(said) == (Command("mistake"),)


def test_leads_that_were_the_wrong_way_round_take_no_value_that_is_told_with_them() -> None:
    (value,) = at_feed().meanings("twelve point two, had the leads backwards")
    assert isinstance(value, Reading)
    assert value.value == Decimal("12.2")


def test_leads_that_it_said_to_swap_reopen_nothing_that_was_read_before() -> None:
    bench = at_feed()
    bench.type("minus twelve point two", "yeah leads were backwards", "twelve point two")
    assert (bench.counting["battery"], bench.counting["feed"]) == ("12.6 V", "12.2 V")


@pytest.mark.parametrize(
    ("said", "meaning"),
    [
        ("yes, guide me", Answer("affirm")),
        ("yeah, cautions understood, walk me through it", Answer("affirm")),
        ("warnings noted, carry on", Answer("affirm")),
        ("aye go on then", Command("go-ahead")),
        ("yes carry on", Command("go-ahead")),
    ],
)
def test_a_yes_to_an_offer_with_its_cautions_may_be_told_in_more_words(
    said: str, meaning: Meaning
) -> None:
    bench = Typed("window-motor", library=shipped)
    values = {"battery": "12.4 volts", "up_volts": "11.8 volts", "down_volts": "11.7 volts"}
    bench.walk("motor-current", **values)
    bench.type("0 amps", "yes", "yes")
    assert warns(bench.session)
    assert bench.meanings(said) == (meaning,)


def test_a_motor_that_draws_nothing_is_doubted_before_its_switch_was_asked_about() -> None:
    bench = Typed("window-motor", library=shipped)
    values = {"battery": "12.4 volts", "up_volts": "11.8 volts", "down_volts": "11.7 volts"}
    bench.walk("motor-current", **values)
    assert "Did you hold the passenger switch" in bench.type("0 amps")
    bench.type("no")
    assert bench.session.step == "motor-current"
    assert "motor-current" not in bench.counting


@pytest.mark.parametrize("said", ["yeah talk me through it", "aye, talk us through it"])
def test_who_says_yes_and_wants_to_be_talked_through_a_repair_is_not_told_its_reasons(
    said: str,
) -> None:
    bench = Typed("heater-fan-module", library=shipped)
    values = {"battery": "12.5 volts", "feed": "12.4 volts", "earth_drop": "0.02 volts"}
    values |= {"command_slow": "8.3 volts", "command_fast": "2.5 volts", "turns_freely": "yes"}
    values |= {"motor_slow": "12.1 volts", "plug_pins": "yes", "motor_current": "6.5 amps"}
    lit = {"feed_lamp": "bright", "earth_lamp": "bright"}
    bench.walk("supply-drop", **values, **lit)
    bench.type("11.9 volts")
    assert bench.state is State.OFFER
    assert bench.meanings(said) == (Answer("affirm"),)


# --- what a trainee said ---


def tell(bench: Typed, said: str) -> None:
    """Type what may hold the states of the procedure."""
    listen = bench.outputs[-1]
    assert isinstance(listen, Listen)
    bench.hear(*bench.grammar(listen.expectation).parse(said).meanings, words=said)


def at_left_tail(value: str = "0.02 volts") -> Typed:
    bench = at("trailer-socket", State.MEASURE, "left-tail")
    bench.type(value)
    return bench


def test_next_to_no_volts_are_asked_about_by_what_was_forgotten_and_never_as_kilovolts() -> None:
    bench = at_left_tail()
    assert "kV" not in bench.texts()
    assert "Are the side lamps on?" in bench.texts()


@pytest.mark.parametrize(
    "said",
    [
        *("i forgot", "no i forgot", "negative I forgot", "lamps were off, sorry"),
        *("tail lamps were off", "oh sorry I forgot, lamps were off"),
    ],
)
def test_who_says_what_was_forgotten_is_believed_and_the_value_does_not_count(said: str) -> None:
    bench = at_left_tail()
    assert bench.state is State.FORGOTTEN
    tell(bench, said)
    assert "Then that reading does not count" in bench.texts()
    assert bench.step == "left-tail"
    assert "left-tail" not in bench.counting


def test_a_state_that_was_told_as_it_should_be_does_not_make_a_doubtful_value_count() -> None:
    bench = at_left_tail()
    tell(bench, "tail lamps are on")
    assert bench.state is State.FORGOTTEN
    assert "left-tail" not in bench.counting


@pytest.mark.parametrize("said", ["is done", "is running now", "I did it"])
def test_a_change_is_made_for_who_leaves_out_the_little_words(said: str) -> None:
    bench = at("key-off-draw", State.CONDITION)
    bench.type(said)
    assert bench.state is not State.CONDITION


def test_zero_point_l_on_the_meter_is_over_range() -> None:
    bench = at("can-termination", State.MEASURE, "line")
    assert bench.meanings("zero point l") == (OverRange(),)


def test_no_wire_is_cut_and_no_pin_brushed_while_a_lamp_that_needs_no_key_is_on() -> None:
    repairs = at_left_tail().engine.setup.procedure.repairs
    for name in ("mend-wire", "clean-pins"):
        off = {(need.condition, need.state) for need in repairs[name].needs}
        assert {("key", "off"), ("tail lamps", "off"), ("fog lamp", "off")} <= off


@pytest.mark.parametrize(
    "said", ["belt look good, dry, no crack", "ok belt is good, tight", "whole, dry and tight"]
)
def test_a_good_belt_is_told_in_other_words_than_yes(said: str) -> None:
    bench = at("no-charging", State.ASK, "belt")
    bench.type(said)
    assert bench.step == "battery"


@pytest.mark.parametrize(
    "said", ["no cracks and dry", "no cracks, but it is loose", "it gives when I push"]
)
def test_a_belt_that_was_not_said_to_be_tight_is_asked_about_again(said: str) -> None:
    bench = at("no-charging", State.ASK, "belt")
    bench.type(said)
    assert bench.step == "belt"


def test_one_of_several_changes_told_as_asked_for_is_no_slip() -> None:
    bench = at("can-termination", State.MEASURE, "line")
    tell(bench, "minus clamp is off")
    assert bench.session.condition("minus clamp") == "off"
    assert "If the last reading was taken so" not in bench.texts()


def test_one_of_several_changes_told_as_it_should_not_be_is_a_slip() -> None:
    bench = at("can-termination", State.MEASURE, "line")
    tell(bench, "front plug is out")
    assert "If the last reading was taken so" in bench.texts()


def test_a_battery_left_on_at_a_resistance_is_asked_off_with_no_word_that_it_did_no_harm() -> None:
    bench = at("can-termination", State.MEASURE, "line")
    tell(bench, "minus clamp is on")
    assert "minus clamp off" in bench.texts().lower()
    assert not re.search("harm|all right", bench.texts(), re.IGNORECASE)


@pytest.mark.parametrize(
    "said",
    [
        *("how tight the bolts", "how tight should they be", "what is the torque"),
        "eh, I don't have torque wrench, how tight",
    ],
)
def test_how_tight_a_bolt_goes_is_told_from_the_procedure(said: str) -> None:
    bench = asked("no-charging", "belt")
    bench.session = enter(bench.engine.setup, bench.session, "new-alternator").session
    assert "25 N·m" in bench.type(said)


# --- a value put right ---


@pytest.mark.parametrize("said", ["it was dim", "dim", "no, it was dim", "sorry, dim"])
def test_asked_which_value_is_right_a_bare_state_is_for_the_reading_that_was_named(
    said: str,
) -> None:
    bench = at("heater-fan-module", State.MEASURE, "earth-drop")
    assert "Earth lamp was bright" in bench.type("change the last reading")
    bench.type(said)
    bench.type(*["affirm reading"] * (bench.state is State.CONFIRM))
    assert (bench.counting["feed-lamp"], bench.counting["earth-lamp"]) == ("bright", "dim")


def test_asked_which_number_is_right_a_bare_one_is_for_the_reading_that_was_named() -> None:
    bench = at("heater-fan-module", State.MEASURE, "command-slow")
    bench.type("change the last reading", "no, point zero five")
    assert bench.counting["earth-drop"] == "0.05 V"


def test_a_value_told_for_another_step_by_its_name_is_not_for_the_one_in_doubt() -> None:
    turn = said_at("lamp", "bright", "bright", "change the last reading", "it was dim")
    turn = LAMPS.say(turn, "the feed lamp was bright, leave that")
    assert any("Earth lamp, dim?" in said.text for said in turn.outputs)
    assert (turn.session.state, turn.session.step) == (State.CONFIRM, "earth-lamp")
    turn = LAMPS.say(turn, "the earth lamp was bright")
    counts = {r.step: r.shown for r in turn.session.ledger if not r.superseded}
    assert (counts["earth-lamp"], turn.session.step) == ("bright", "earth-drop")


# --- a lamp at the proof of a repair ---


def at_the_proof_by_lamp() -> Turn:
    """The feed was mended, and nobody told that the plug is out."""
    turn = said_at("lamp", "off", "yes", "yes", "twelve point five")
    assert (turn.session.state, turn.session.step) == (State.LAMP, "feed-lamp")
    return replace(turn, session=replace(turn.session, unsaid=frozenset({"module plug"})))


def proved(turn: Turn) -> str:
    """What was last taken for the lamp."""
    result = turn.session.latest("feed-lamp")
    return result.shown if result is not None and result.stage is Stage.PROVE else ""


@pytest.mark.parametrize(
    "said",
    ["yes it runs and stops like it should", "fan runs fine now", "it runs and stops as asked"],
)
def test_who_tells_how_the_fan_runs_has_told_no_flickering_lamp(said: str) -> None:
    turn = LAMPS.say(at_the_proof_by_lamp(), said)
    assert turn.session.state in {State.LAMP, State.MEANT, State.WHICH}
    assert Lamp("flickering") not in turn.session.pending
    assert proved(turn) == ""


@pytest.mark.parametrize(
    "said",
    [
        "it's bright",
        "lamp's bright now, proper bright",
        "it's not flickering, it's bright",
        "it isn't flickering it's bright",
        "no, it's bright",
    ],
)
def test_a_lamp_state_told_anew_replaces_the_one_in_doubt(said: str) -> None:
    turn = LAMPS.say(at_the_proof_by_lamp(), "flickering")
    assert turn.session.state is State.FORGOTTEN
    assert proved(LAMPS.say(turn, said)) == "bright"


def test_a_lamp_state_denied_is_told_again() -> None:
    turn = LAMPS.say(at_the_proof_by_lamp(), "flickering")
    turn = LAMPS.say(turn, "it's not flickering")
    assert (turn.session.state, proved(turn)) == (State.LAMP, "")
    assert proved(LAMPS.say(turn, "bright")) == "bright"


def test_once_entered_a_lamp_state_denied_is_put_right() -> None:
    turn = at_the_proof_by_lamp()
    turn = replace(turn, session=replace(turn.session, unsaid=frozenset()))
    turn = LAMPS.say(turn, "flickering")
    assert turn.session.state is State.RETRY
    turn = LAMPS.say(turn, "it's not flickering, it's bright")
    assert (proved(turn), turn.session.step) == ("bright", "motor-fast")


def test_a_lamp_that_flickers_as_the_engine_runs_still_does() -> None:
    turn = LAMPS.say(at_the_proof_by_lamp(), "it flickers when the engine runs")
    assert turn.session.pending == (Lamp("flickering"),)


# --- a slip put right ---


@pytest.mark.parametrize(
    ("place", "said", "step", "right"),
    [
        ("drop", "oh no wait sorry, it was dim, it's only glowing", "earth-lamp", "dim"),
        ("drop", "that last lamp was dim, not bright", "earth-lamp", "dim"),
        ("drop", "scratch that, the lamp was dim", "earth-lamp", "dim"),
        ("lamp", "scratch that, twelve point four", "feed", "12.4 V"),
    ],
)
def test_a_slip_is_put_right_in_the_same_breath_and_its_step_named(
    place: str, said: str, step: str, right: str
) -> None:
    turn = said_at(place, said)
    counts = {r.step: r.shown for r in turn.session.ledger if not r.superseded}
    assert counts[step] == right
    named = f"{step.replace('-', ' ').capitalize()} corrected: {right}."
    assert named in [said.text for said in turn.outputs]


def test_a_value_alone_taken_back_is_forgotten() -> None:
    turn = said_at("drop", "scratch that")
    assert (turn.session.step, turn.session.latest("earth-lamp")) == ("earth-lamp", None)


# --- plain words that were not taken ---


@pytest.mark.parametrize("said", ["yes go on", "yeah, go on", "sure go ahead"])
def test_who_lets_it_go_on_accepts_what_is_offered(said: str) -> None:
    assert said_at("offer", said).session.step == "take-out"


@pytest.mark.parametrize("before", ["30", "119"])
def test_a_number_that_may_be_a_good_one_or_a_bad_one_is_asked_about(before: str) -> None:
    """Also where a good one stands: who says "one nineteen" may have read 1.19."""
    lines = Talker("can-termination")
    turn = lines.begin()
    for said in ("understood", "12.6", "understood", "done", before, "done", "one nineteen"):
        turn = lines.say(turn, said)
    assert turn.session.state is State.WHICH


@pytest.mark.parametrize("said", ["yes understood", "yes will do"])
def test_who_has_understood_what_to_change_is_told_the_word_that_is_awaited(said: str) -> None:
    bench = at("no-charging", State.MEASURE, "stud-volts")
    assert bench.type(said).endswith("Say done.")


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("drop", "ignore that one"),
        ("drop", "forget that one"),
        ("lamp", "no forget that one"),
    ],
)
def test_what_is_to_be_forgotten_tells_no_value(where: str, said: str) -> None:
    turn = said_at(where, said)
    assert "Forgotten" in " ".join(each.text for each in turn.outputs if each.text)
