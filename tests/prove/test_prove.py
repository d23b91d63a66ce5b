"""A right procedure is proved; a wrong one is caught by the step and the fault that show it."""

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from bench import FAN
from prove.shop import LAMP, changed, proved, setup

from voiceassist.measure.quantity import Quantity
from voiceassist.prove.cases import GOOD, Case, cases, made
from voiceassist.prove.outcome import Outcome, outcome_of, right_findings
from voiceassist.prove.proof_text import failures, lines, to_json
from voiceassist.prove.prove import here, prove
from voiceassist.prove.technician import Change


def told(text: str, draws: int = 4) -> list[str]:
    """What fails the proof of ``text``."""
    procedure, proof = proved(text, draws)
    return [failure.message for failure in failures(procedure, proof)]


def test_every_fault_of_a_right_procedure_is_found() -> None:
    _, proof = proved(LAMP)
    assert [each.fault for each in proof.faults if each.found < each.draws] == []
    assert proof.good.findings == {"good": 4}
    assert told(LAMP) == []
    assert proof.many(Outcome.FOUND) == len(proof.faults) == 5


def of_two_kinds(answers: str) -> str:
    """The lamp that some vehicles have as a bulb, which can be measured, and some as an LED."""
    asked = LAMP.replace(
        "steps:\n", "facts:\n  kind: {say: which kind is it, words: [bulb, led]}\nsteps:\n", 1
    )
    optional = asked.replace("  whole:\n", "  whole:\n    only-if: {kind: bulb}\n", 1)
    gone = "lamp-gone: {open: side lamp, found-as: lamp"
    assert gone in optional
    return optional.replace(gone, f"{gone}{answers}", 1)


def test_each_walk_takes_one_of_the_words_of_a_fact_that_is_asked_for() -> None:
    _, proof = proved(of_two_kinds(""), 12)
    gone = next(each for each in proof.faults if each.fault == "lamp-gone")
    assert 0 < gone.found < gone.draws  # on a vehicle with the LED nothing measures it
    assert proof.good.findings == {"good": 12}


def test_a_fault_tells_by_its_answers_which_vehicles_have_its_part() -> None:
    assert told(of_two_kinds(", answers: {kind: bulb}"), 12) == []


def test_a_battery_without_a_tolerance_of_its_own_makes_good_ones_fail() -> None:
    # 12.6 V ± 5 % is 11.97 V to 13.23 V, and 12.0 V to 13.0 V does not hold all of it
    trap = LAMP.replace(", to: frame, tolerance: 1 %}", ", to: frame}", 1)
    assert trap != LAMP
    _, proof = proved(trap, 40)
    assert proof.good.findings["weak-battery"] > 0
    assert any("step 'battery' reads high" in failure for failure in told(trap, 40))


def test_the_shipped_fan_procedure_finds_all_its_faults_and_condemns_no_good_vehicle() -> None:
    _, proof = proved(FAN, 3)
    assert told(FAN, 3) == []
    names = {each.fault for each in proof.faults}
    assert {"module-dead", "motor-open"} <= names
    assert proof.many(Outcome.FOUND) == len(names) >= 16


WRONG = {
    "a test is skipped": (
        changed(LAMP, ("    high: earth-side\n", "    high: earth-side\n    then: good\n")),
        "the fault 'lamp-gone' is called 'good' in 4 of 4 draws, not 'lamp': "
        "step 'earth' passes and leads to 'good'",
    ),
    "a limit is reversed": (
        changed(LAMP, ("accept: at most 0.1 V", "accept: at least 0.1 V"),
                ("    high: earth-side", "    low: earth-side")),
        "a good vehicle is condemned as 'earth-side' in 4 of 4 draws: "
        "step 'earth' reads low and leads to 'earth-side'",
    ),
    "a plug condition is left out": (
        changed(LAMP, ("{lights: off, lamp plug: out}", "{lamp plug: out}"),
                ("{lights: off, lamp plug: in}\n", "{lights: off, lamp plug: out}\n"),
                ("needs: {lamp plug: in, lights: on}\n    measure: voltage from the lamp earth",
                 "needs: {lights: on}\n    measure: voltage from the lamp earth"),
                ("needs: {lamp plug: in, lights: on}\n    measure: voltage from the lamp feed",
                 "needs: {lights: on}\n    measure: voltage from the lamp feed")),
        "the fault 'broken-earth' is called 'good' in 4 of 4 draws, not 'earth-side': "
        "step 'whole' passes and leads to 'good'",
    ),
    "two findings are exchanged": (
        changed(LAMP, ("fail: lamp\n    then: good", "fail: good\n    then: lamp")),
        "a good vehicle is condemned as 'lamp' in 4 of 4 draws: "
        "step 'whole' passes and leads to 'lamp'",
    ),
    "a limit is too wide": (
        changed(LAMP, ("battery - 0.5 V", "battery - 13 V")),
        "the fault 'broken-wire' is called 'good' in 4 of 4 draws, not 'feed-side': "
        "step 'whole' passes and leads to 'good'",
    ),
    "a step cannot be told": (
        changed(LAMP, ("{lights: off, lamp plug: out}", "{lights: on, lamp plug: in}"),
                ("resistance across the side lamp", "resistance from the lamp feed to the frame")),
        "a good vehicle is never found: in 4 of 4 draws it stops at step 'whole': "
        "some V stand between the points",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_procedure_is_caught_by_its_step_and_fault(what: str) -> None:
    text, message = WRONG[what]
    found = told(text)
    assert any(one.startswith(message) for one in found), found


def test_a_wrong_name_is_told_with_what_was_read_and_the_limit_of_that_draw() -> None:
    """2 m of 1.5 mm² have 23 mΩ and a lamp of 5 W draws 0.4 A: some 10 mV.

    Copper has 0.0172 Ω mm²/m at 20 °C (IEC 60028, from memory).
    """
    tight = changed(LAMP, ("accept: at most 0.1 V", "accept: at least 0.1 V"),
                    ("    high: earth-side", "    low: earth-side"))  # fmt: skip
    (message, *_) = told(tight)
    found = re.search(r"\(it read (.+), and the limit was at least 0.1 V\)$", message)
    assert found is not None, message
    assert Decimal("0.005") < Quantity.parse(found[1]).in_base < Decimal("0.02")


def test_a_plug_left_out_of_the_shipped_procedure_condemns_the_command() -> None:
    """The module feeds its own command wire: unplugged, a good one reads nothing there."""
    need = "needs: {module plug: in, fan control: lowest, key: run}\n    caution: blades\n"
    text = changed(FAN, (need + "    measure: voltage from command",
                         need.replace("module plug: in, ", "")
                         + "    measure: voltage from command"))  # fmt: skip
    forgotten = "    if-forgotten: {module plug: at most 0.5 V, key: at most 0.5 V}\n"
    assert forgotten in text
    text = text.replace(forgotten, "", 1)
    message = (
        "a good vehicle is condemned as 'command-side' in 2 of 2 draws: "
        "step 'command-slow' reads low and leads to 'command-side' (it read "
    )
    assert any(one.startswith(message) for one in told(text, 2))


def test_the_same_seed_gives_the_same_proof_and_another_one_other_readings() -> None:
    one, two = setup(), setup()
    assert prove(one, 3, seed=5) == prove(two, 3, seed=5)
    case = Case("burnt-holder", 0, 3)
    assert made(one, 5, case) == made(two, 5, case)
    assert made(one, 5, case).taken != made(one, 6, case).taken


def test_a_walk_does_not_hang_on_what_else_is_walked() -> None:
    todo = list(cases(["broken-earth", "lamp-gone"], 3))
    forward = list(here(setup(), 1)(todo))
    assert forward == list(here(setup(), 1)(todo[::-1]))[::-1]


def test_sizes_of_a_fault_are_drawn_from_all_parts_of_its_range() -> None:
    """One of each even part, so that neither the least nor the most is missed."""
    shown = [made(setup(), 1, Case("burnt-holder", n, 20)).taken[-1].shown for n in range(20)]
    volts = [float(one.split()[0]) for one in shown]
    assert volts[0] > volts[10] > volts[19]


def test_steps_and_branches_that_nobody_takes_are_told() -> None:
    steps = "  whole:\n    needs: {lights: off"
    more = "  lonely:\n    ask: is it so\n    answers: {yes: good, no: lamp}\n"
    text = changed(
        LAMP, (steps, more + steps), ("high: earth-side", "high: earth-side\n    then: whole")
    )
    _, proof = proved(text)
    assert proof.unreached == ()  # no path leads there at all; the check of the flow tells that
    assert ("battery", "low") in proof.unused
    assert ("feed", "high") in proof.unused
    assert ("whole", "over") not in proof.unused
    led = changed(text, ("    fail: weak-battery", "    low: weak-battery\n    high: lonely"))
    assert proved(led)[1].unreached == ("lonely",)


def test_a_change_that_is_forgotten_is_told_by_name() -> None:
    _, proof = proved(LAMP)
    by_change = {each.change: each for each in proof.forgotten}
    lights = by_change[Change("feed", "lights", "on")]
    assert lights.misled > 0  # without light no feed: called feed-side though nothing is wrong
    assert set(lights.findings) == {"feed-side"}
    assert lights.walks == lights.noticed + lights.harmless + lights.misled + lights.open
    live = by_change[Change("whole", "lights", "off")]
    assert live.walks > 0


def test_a_question_about_a_forgotten_plug_counts_as_noticed() -> None:
    text = changed(
        LAMP,
        ("    fail: feed-side", "    if-forgotten: {lights: at most 0.5 V}\n    fail: feed-side"),
    )
    _, proof = proved(text)
    by_change = {each.change: each for each in proof.forgotten}
    lights = by_change[Change("feed", "lights", "on")]
    assert (lights.noticed, lights.misled) == (lights.walks, 0)


def test_the_technician_looks_at_the_condition_that_is_asked_about_and_no_other() -> None:
    looks = "    if-forgotten: {lamp plug: at most 0.5 V, lights: at most 0.5 V}\n"
    text = changed(LAMP, ("    fail: feed-side", f"{looks}    fail: feed-side"))
    slip = Change("feed", "lights", "on")
    walk = made(setup(text), 1, Case("lamp-gone", 0, 1, slip))
    assert (walk.noticed, walk.trouble, walk.finding) == (True, "", "lamp")
    only_plug = text.replace(", lights: at most 0.5 V", "")
    assert not made(setup(only_plug), 1, Case("lamp-gone", 0, 1, slip)).noticed


def test_a_reading_beside_its_limit_is_too_close_to_call_and_is_counted() -> None:
    """The battery reads 12.6 V, its limit begins there: about half the draws cannot be told."""
    text = changed(LAMP, ("accept: 12.0 V to 13.0 V", "accept: 12.6 V to 13.0 V"), ("1 %", "0.1 %"))
    _, proof = proved(text, 12)
    assert proof.close["battery"] > 0.5
    assert proof.good.unresolved > 0
    assert any("too close to call" in one for one in told(text, 12)) or proof.good.found


def test_a_finding_reached_past_a_step_left_out_is_not_called_wrong() -> None:
    procedure = setup().procedure
    walk = made(setup(), 1, Case("broken-earth", 0, 1))
    assert outcome_of(procedure, "broken-earth", walk) is Outcome.FOUND
    assert outcome_of(procedure, "lamp-gone", walk) is Outcome.WRONG
    assert outcome_of(procedure, "lamp-gone", replace(walk, skipped=True)) is Outcome.UNRESOLVED
    assert outcome_of(procedure, GOOD, replace(walk, finding="")) is Outcome.UNRESOLVED


def test_the_right_findings_of_a_good_vehicle_blame_nothing() -> None:
    procedure = setup().procedure
    assert right_findings(procedure, GOOD) == {"weak-battery", "good"}
    assert right_findings(procedure, "lamp-gone") == {"lamp"}


def test_a_fuse_that_blew_stays_blown() -> None:
    """The short takes the fuse, so the feed is dead; it is found before anything burns."""
    walk = made(setup(), 1, Case("fed-short", 0, 1))
    assert walk.finding == "feed-side"
    assert abs(Quantity.parse(walk.taken[-1].shown).in_base) < Decimal("0.01")


def test_the_table_has_a_row_for_each_fault_and_the_json_its_stable_keys() -> None:
    _, proof = proved(LAMP)
    text = "\n".join(lines(proof))
    assert all(each.fault in text for each in proof.faults)
    assert "5 of 5 faults found" in text
    found = to_json(proof)
    stable = {"faults": 5, "found": 5, "wrong": 0, "unresolved": 0}
    assert {key: found[key] for key in stable} == stable
    assert {"paths", "longest_path"} <= found.keys()
    assert found["paths"] == len(set(_paths()))


def _paths() -> list[tuple[str, ...]]:
    todo = list(cases(list(setup().procedure.faults), 4))
    return [walk.path for walk in here(setup(), 1)(todo)]


# --- bands ---

NO_FEED = "  feed-side: {cause: the feed is weak, correction: follow the brown wire}\n"


def banded(band: str = "at most 1 V: no-feed") -> str:
    """The lamp's procedure, which tells a feed that is weak from none at all."""
    head, _, faults = LAMP.partition("faults:")
    for fault in ("open: brown wire", "short-to-earth: lamp feed"):
        faults = faults.replace(f"{fault}, found-as: feed-side", f"{fault}, found-as: no-feed")
    return changed(
        f"{head}faults:{faults}",
        ("    fail: feed-side\n", f"    fail: feed-side\n    bands: {{{band}}}\n"),
        (NO_FEED, NO_FEED + "  no-feed: {cause: nothing arrives, correction: test the fuse}\n"),
    )


def test_faults_that_only_the_size_of_the_reading_tells_apart_are_found_by_its_band() -> None:
    _, proof = proved(banded())
    assert [one.fault for one in proof.faults if one.outcome is not Outcome.FOUND] == []
    assert not any(step == "feed" and "at most" in out for step, out in proof.unused)


def test_a_band_that_no_fault_comes_to_is_told() -> None:
    _, proof = proved(banded("at most 1 V: no-feed, at least 20 V: weak-battery"))
    assert ("feed", "at least 20 V") in proof.unused


def test_the_table_tells_where_and_why_a_walk_stopped_that_found_nothing() -> None:
    stuck = changed(
        LAMP,
        ("{lights: off, lamp plug: out}", "{lights: on, lamp plug: in}"),
        ("resistance across the side lamp", "resistance from the lamp feed to the frame"),
    )
    _, proof = proved(stuck)
    (row,) = [line for line in lines(proof) if line.startswith("  a good vehicle")]
    assert "none (it stops at step 'whole': some V stand between the points" in row


def test_a_fuse_that_blew_on_the_way_is_told_with_what_it_led_to() -> None:
    """12 V over 0.2 Ω is some 50 A: the fuse of 10 A is gone before anybody looks at the lamp."""
    short = changed(
        LAMP,
        (
            "fed-short: {short-to-earth: lamp feed, found-as: feed-side}",
            "fed-short: {short-to-earth: lamp feed, value: 0.2 Ω, found-as: lamp}",
        ),
    )
    assert any("leads to 'feed-side', after the fuse 'fuse' blew" in one for one in told(short))
