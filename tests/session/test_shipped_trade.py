"""Dangers that the trade knows, in the shipped procedures, each walked by typed lines.

Common practice, no source.
"""

import pytest
from bench import HOUSE, Bench, amps, volts
from lines import Lines

from voiceassist.app import build
from voiceassist.language.meanings import Answer
from voiceassist.session.outputs import Ask, CautionSpoken, ConditionChange
from voiceassist.session.states import State


def shipped(name: str) -> str:
    """The text of a shipped procedure file, for one that uses it."""
    return (HOUSE / "procedures" / f"{name}.yaml").read_text(encoding="utf-8")


def changes(bench: Bench) -> list[str]:
    """States to be brought about, in order."""
    return [f"{o.name} {o.state}" for o in bench.outputs if isinstance(o, ConditionChange)]


def cautions(bench: Bench) -> set[str]:
    return {o.name for o in bench.outputs if isinstance(o, CautionSpoken)}


def asked(bench: Bench) -> str:
    return " ".join(o.text for o in bench.outputs if isinstance(o, Ask))


@pytest.mark.parametrize(
    "name",
    [
        *("key-off-draw", "no-charging", "slow-cranking"),
        *("no-crank", "charging-by-module", "wrong-way-jump"),
    ],
)
def test_a_hybrid_or_electric_vehicle_is_turned_away_before_anything_is_touched(name: str) -> None:
    bench = Lines(name)
    assert "hybrid or electric" in bench.texts()
    assert bench.session.conditions == () or changes(bench) == []
    bench.type("yes")
    if bench.step == "which":  # the question was of two things
        assert changes(bench) == []
        bench.type("hybrid")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "not-for-this"
    assert "trained and authorised people" in bench.texts()


CRANK = {
    "hybrid": "no",
    "battery": "twelve point six volts",
    "air": "twenty two degrees",
    "crank_volts": "ten point two volts",
}


def test_the_helper_cranks_only_when_the_probes_are_on_and_the_fuel_is_off() -> None:
    bench = Lines("slow-cranking").walk("crank-volts", **CRANK)
    assert bench.session.condition("fuel fuse") in {"", "out"}
    assert "Probes on first; then have the helper crank, for at most 5 seconds." in (
        " ".join(output.text for output in bench.session.prompt)
    )
    bench.walk("plus-drop", **CRANK)
    assert bench.session.condition("fuel fuse") == "out"
    assert bench.session.condition("key") == "off"  # nobody holds it any more


def test_the_red_lead_is_back_before_the_contact_is_read_by_voltage() -> None:
    answers = {
        "battery": "twelve point five volts",
        "no_short": "twelve point five volts",
        "feed": "bright",
        "coil_feed": "bright",
        "coil_release": "zero volts",
        "coil": "eighty five ohms",
        "load": "six point five amps",
    }
    bench = Lines("relay-and-socket").walk("load", **answers)
    assert bench.session.condition("meter leads") in {"volts", "10 A"}
    bench.walk("contact", **answers)
    at = bench.session
    told = [o.name for o in at.prompt if isinstance(o, ConditionChange)]
    assert at.condition("meter leads") == "volts" or "meter leads" in told


def test_a_driver_is_warned_of_before_a_lamp_is_held_to_the_coil_pins() -> None:
    answers = {"battery": "twelve point five volts", "no_short": "twelve point five volts"}
    bench = Lines("relay-and-socket").walk("feed", **answers)
    bench.type("bright")
    assert "driver" in cautions(bench)


def test_a_discharge_lamp_is_turned_away() -> None:
    bench = Lines("dim-headlamp")
    bench.type("no")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "other-lamp"
    assert "Leave lamp, ballast and wires alone" in bench.texts()


def test_pulling_a_fuse_is_judged_in_words_that_say_which_fuse() -> None:
    answers = {
        "hybrid": "no",
        "battery": "twelve point five volts",
        "minus_joint": "point zero five volts",
        "rough_draw": "point four amps",
        "draw": "four hundred milliamps",
    }
    bench = Lines("key-off-draw").walk("without-one", **answers)
    bench.type("four hundred milliamps")
    assert "No change: not fuse one." in bench.texts()
    bench.type("thirty milliamps")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert "It dropped: behind fuse two." in bench.texts()


def test_the_correction_is_said_before_the_repair_is_offered_and_then_the_new_part_is_named(
    typed: Bench,
) -> None:
    typed.to("motor-slow").say(volts("12.3"))
    typed.say("done", "affirm", "affirm", "done", amps("7.2"))
    typed.say(volts("12.1"))  # feed and earth at work
    said = typed.texts()
    assert said.index("Change the fan module.") < said.index("guide the repair")
    typed.say("affirm", "done")
    assert "Fit the new module" in typed.texts()


def test_a_hybrid_is_turned_away_from_the_fuel_pump_too() -> None:
    bench = Lines("fuel-pump-pwm", library=shipped)
    assert "hybrid or electric" in bench.texts()
    bench.type("yes")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "not-for-this"


@pytest.mark.parametrize("skipped", ["command-slow", "command-fast"])
def test_a_module_is_not_condemned_on_one_command_alone(typed: Bench, skipped: str) -> None:
    """A control stuck at one end gives that end's good command, too."""
    typed.to(skipped).say("skip", Answer("no-tool"))
    typed.to("motor-slow").say(
        volts("12.3"), "done", "affirm", "affirm", amps("7.0"), volts("12.1")
    )
    assert typed.step == skipped
    assert not typed.session.finding or typed.session.suspected
    assert "is not condemned before this is proved" in " ".join(o.text for o in typed.all)


@pytest.mark.parametrize(
    ("said", "proofs"),
    [
        (["dim"], ("feed", "feed-lamp", "motor-fast", "fan-follows")),
        (["bright", "off"], ("earth-lamp", "earth-drop", "motor-fast", "fan-follows")),
    ],
)
def test_a_mended_feed_or_earth_is_proved(
    typed: Bench, said: list[str], proofs: tuple[str, ...]
) -> None:
    typed.to("feed-lamp").say(*said, "affirm")
    done = [typed.step]
    for _ in range(12):
        if typed.state is State.AFTER:
            break
        typed.say(typed.healthy())
        done += [typed.step] if typed.step != done[-1] else []
    assert tuple(done) == proofs
    assert typed.session.ending == "repaired"


def test_a_battery_is_charged_with_a_word_about_its_gas() -> None:
    repairs = build.procedure("no-charging").procedure.repairs
    assert "battery-on-charge" in {caution.name for caution in repairs["on-battery"].cautions}


@pytest.mark.parametrize("words", ["petrol", "just a diesel"])
def test_who_tells_only_what_drives_it_is_still_asked_what_sets_the_voltage(words: str) -> None:
    bench = Lines("no-charging")
    bench.type(words)
    assert (bench.step, bench.session.finding) == ("told", "")
    bench.type("yes")
    assert bench.session.finding == "set-by-module"


def test_an_alternator_that_a_module_sets_is_not_judged_by_fixed_limits() -> None:
    bench = Lines("no-charging")
    bench.type("yes", "the module")
    assert bench.session.finding == "set-by-module"
    assert "test of charging by module" in bench.texts()
    assert changes(bench) == []


def test_the_fan_goes_on_once_its_flat_battery_is_charged() -> None:
    bench = Lines("heater-fan-module")
    while bench.state is not State.MEASURE:
        bench.type("affirm" if bench.state is State.CAUTION else "done")
    bench.type("eleven point six volts", "affirm")
    assert bench.session.step == "battery"
    assert bench.walk("feed", battery="twelve point six volts").session.finding == ""


def test_the_lorry_goes_on_with_both_batteries_once_they_are_charged() -> None:
    low = {"pair_first": "twelve point one volts", "pair_second": "twelve point one volts"}
    good = dict.fromkeys(low, "twelve point six volts") | {"air": "twenty two degrees"}
    bench = Lines("slow-cranking-lorry", library=shipped).walk("pair-second", hybrid="no", **low)
    bench.type(low["pair_second"], "affirm")
    assert bench.session.step == "pair-first"
    assert bench.walk("crank-first", **good).session.finding == ""
    assert bench.counting["pair-first"] == "12.6 V"


def test_two_batteries_that_are_a_quarter_charged_are_charged_and_not_changed() -> None:
    """12.06 V at rest is a quarter charged, by the table of the Battery Council (from memory)."""
    bench = Lines("slow-cranking-lorry", library=shipped)
    bench.type("no", "affirm")
    pair = {"pair_first": "twelve point one volts", "pair_second": "twelve point one volts"}
    bench.walk("pair-second", **pair).type(pair["pair_second"])
    assert bench.session.finding == "charge-to-crank"


def test_no_battery_is_fitted_for_a_strap_that_was_only_brushed_clean() -> None:
    findings = build.procedure("slow-cranking-lorry").procedure.findings
    assert findings["strap-bad"].repair == ("clean-ends",)
    assert findings["strap-bad"].condemns == ""
    for worn in ("first-worn", "second-worn"):
        assert findings[worn].repair == ("new-batteries",)


def test_the_door_switch_is_tested_before_the_door_module_is_condemned() -> None:
    answers = {
        "battery": "twelve point six volts",
        "line": "sixty ohms",
        "high_to_earth": "one megohm",
        "low_to_earth": "one megohm",
        "door_line": "sixty ohms",
        "high_volts": "two point six volts",
        "door_feed": "twelve point three volts",
        "earth_drop": "point zero three volts",
        "answers": "no",
    }
    bench = Lines("can-termination").walk("switch-closes", **answers)
    assert bench.session.finding == ""
    bench.type("over range")
    assert bench.walk("switch-itself", **answers).session.finding == ""


def test_dim_work_lamps_are_followed_to_what_they_lose_while_they_burn() -> None:
    answers = {
        "battery": "twelve point five volts",
        "no_short": "twelve point five volts",
        "feed": "bright",
        "coil_feed": "bright",
        "coil_release": "zero volts",
        "coil": "eighty five ohms",
        "load": "four point six amps",
        "lamp_volts": "nine point nine volts",
        "working_feed": "two point one volts",
    }
    bench = Lines("relay-and-socket").walk("working-feed", **answers)
    bench.type(answers["working_feed"])
    assert bench.session.finding == "feed-side"


def test_several_small_draws_together_are_not_put_down_to_something_without_a_fuse() -> None:
    answers = {
        "hybrid": "no",
        "battery": "twelve point five volts",
        "minus_joint": "point zero five volts",
        "rough_draw": "point four amps",
        "draw": "two hundred milliamps",
        "without_one": "one hundred twenty milliamps",
        "without_two": "one hundred twenty milliamps",
        "without_three": "one hundred fifty milliamps",
        "without_four": "two hundred milliamps",
        "without_charging": "two hundred milliamps",
    }
    bench = Lines("key-off-draw").walk("without-all", **answers)
    bench.type("ten milliamps")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "behind-fuses"


@pytest.mark.parametrize(
    ("air", "volts", "leads_to"),
    [
        # load-test voltage by temperature, as workshop manuals reprint it; no standard
        ("twenty two degrees", "nine point five volts", "crank-load"),
        ("twenty two degrees", "nine point seven volts", "plus-drop"),
        ("eighteen degrees", "nine point five five volts", "plus-drop"),
        ("minus five degrees", "nine volts", "plus-drop"),
        ("minus five degrees", "eight point eight volts", "crank-load"),
        ("minus twenty degrees", "eight point six volts", "plus-drop"),
    ],
)
def test_a_cold_battery_may_fall_further_before_it_is_called_weak(
    air: str, volts: str, leads_to: str
) -> None:
    bench = Lines("slow-cranking").walk("crank-volts", **{**CRANK, "air": air})
    bench.type("done", volts)
    assert bench.step == leads_to


def test_the_torques_of_the_starter_are_told_while_it_is_fitted() -> None:
    step = build.procedure("slow-cranking").procedure.repairs["put-in-starter"]
    told = {one.what: str(one.limit.low) for one in step.details.torques}
    assert told == {"starter bolts": "45 N·m", "starter stud": "9 N·m", "battery clamp": "6 N·m"}


def test_each_battery_of_a_pair_is_judged_by_the_same_table_as_a_single_one() -> None:
    single = build.procedure("slow-cranking").procedure.steps["crank-volts"].table
    pair = build.procedure("slow-cranking-lorry").procedure.steps
    assert single is not None
    assert len(single.rows) == 8
    assert pair["crank-first"].table == pair["crank-second"].table == single


NEVER_STOPS = {
    "power_loaded": "twelve point two volts",
    "power_battery": "twelve point six volts",
    "what_is_wrong": "it does not stop",
}


def at_the_meter(bench: Lines) -> Lines:
    """Say what is awaited before a reading."""
    while bench.state is not State.MEASURE:
        bench.type("affirm" if bench.state is State.CAUTION else "done")
    return bench


@pytest.mark.parametrize(
    ("unplugged", "finding"),
    [(["zero volts"], "stalk-stuck"), (["twelve point four volts", "affirm"], "green-live")],
)
def test_a_wiper_that_does_not_stop_is_followed_to_the_stalk_or_to_a_live_wire(
    unplugged: list[str], finding: str
) -> None:
    bench = at_the_meter(Lines("wiper-park", library=shipped).walk("off-volts", **NEVER_STOPS))
    bench.type("twelve point four volts", "affirm", "affirm")
    assert bench.session.step == "stalk-out"
    at_the_meter(bench).type(*unplugged)
    assert bench.session.finding == finding


def test_a_wiper_that_is_fed_by_nothing_and_does_not_stop_has_its_park_switch_read() -> None:
    answers = NEVER_STOPS | {"off_volts": "zero volts"}
    bench = at_the_meter(Lines("wiper-park", library=shipped).walk("park-opens", **answers))
    bench.type("zero point five ohms")
    assert bench.session.finding == "park-switch-stuck"


def test_no_module_of_the_data_line_is_condemned_before_its_pins_are_looked_at() -> None:
    """A job that ends at a bad plug leaves nothing unplugged, and the clamp on."""
    answers = {
        "battery": "twelve point six volts",
        "line": "one hundred twenty ohms",
        "one_end": "one hundred twenty ohms",
        "front_end": "over range",
    }
    bench = Lines("can-termination").walk("front-pins", **answers)
    assert bench.session.finding == ""
    bench.type("no")
    assert bench.session.finding == "module-plug"
    bench.type("negative", "finish")
    assert {"front plug in", "minus clamp on"} <= set(changes(bench))


@pytest.mark.parametrize(("dry", "finding"), [("yes", "front-short"), ("no", "module-plug")])
def test_a_module_that_joins_the_data_wires_is_condemned_only_with_a_dry_plug(
    dry: str, finding: str
) -> None:
    answers = {
        "battery": "twelve point six volts",
        "line": "three ohms",
        "without_front": "one hundred twenty ohms",
    }
    bench = Lines("can-termination").walk("front-dry", **answers)
    bench.type(dry)
    assert bench.session.finding == finding
