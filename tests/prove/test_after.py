"""After the finding: what proves a repair, and what does not."""

from dataclasses import replace

import pytest
from prove.shop import LAMP, changed, proved, setup

from voiceassist.prove.after import cases_of
from voiceassist.prove.cases import Case, made
from voiceassist.prove.examine import walked
from voiceassist.prove.examined_failures import failures
from voiceassist.prove.examined_tables import lines
from voiceassist.prove.pairs import PairEnd, Pairs, onward_of, pairs_of
from voiceassist.prove.pairs import cases_of as cases_of_pairs
from voiceassist.prove.prove import here
from voiceassist.prove.repairing import Repair

LAMP_FINDING = "  lamp: {cause: the lamp has failed, correction: change it}"
FED_FINDING = "  feed-side: {cause: the feed is weak, correction: follow the brown wire}"


def mended(prove_with: str, finding: str = LAMP_FINDING) -> str:
    return changed(LAMP, (finding, finding[:-1] + f", prove-with: [{prove_with}]}}"))


def told(text: str) -> list[str]:
    _, proof = proved(text)
    assert proof.examined is not None
    return [failure.message for failure in failures(proof.examined)]


def test_a_repair_that_was_done_is_proved_and_one_that_was_not_fails() -> None:
    shop = setup(mended("whole"))
    done = made(shop, 1, Case("lamp-gone", 0, 1, repair=Repair.MENDED)).after
    assert done is not None
    assert (done.ending, done.failed) == ("repaired", "")
    undone = made(shop, 1, Case("lamp-gone", 0, 1, repair=Repair.UNDONE)).after
    assert undone is not None
    assert (undone.ending != "repaired", undone.failed) == (True, "whole")
    assert undone.later == "lamp"  # looked further, it comes to the same
    declined = made(shop, 1, Case("lamp-gone", 0, 1, repair=Repair.DECLINED)).after
    assert declined is not None
    assert declined.ending == "found"


def test_a_proof_that_passes_with_the_fault_still_there_is_an_error() -> None:
    """The battery has nothing to do with the lamp."""
    assert any(
        "nothing was done about the fault 'lamp-gone'" in one for one in told(mended("battery"))
    )
    assert not any("nothing was done" in one for one in told(mended("whole")))


def test_a_good_repair_that_can_never_be_proved_is_an_error() -> None:
    """With the lamp plug out the feed is whole, but no step could read a current of 2 A there."""
    step = (
        "  never:\n    needs: {lamp plug: in, lights: on}\n"
        "    measure: current through the side lamp, by clamp\n"
        "    accept: at least 2 A\n    low: lamp\n    then: good\nfindings:"
    )
    text = changed(mended("never", FED_FINDING), ("findings:", step))
    found = told(text)
    assert any("'broken-wire' is mended, and its repair cannot be proved" in one for one in found)
    assert any("step 'never' does not pass with lights on; mend" in one for one in found), found


def test_a_condemned_part_without_proof_of_its_repair_is_a_warning() -> None:
    text = changed(
        LAMP, (LAMP_FINDING, LAMP_FINDING[:-1] + ", condemns: side lamp, proved-by: {feed: feed}}")
    )
    _, proof = proved(text)
    assert proof.examined is not None
    (warning,) = [f for f in failures(proof.examined) if "nothing proves its repair" in f.message]
    assert warning.only_warns
    assert "'lamp' condemns a part" in warning.message


@pytest.mark.parametrize(("draws", "many"), [(1, 1 + 3 * 5), (2, 2 + 2 * 3 * 5)])
def test_each_fault_is_walked_with_its_repair_done_undone_and_declined(
    draws: int, many: int
) -> None:
    assert len(list(cases_of(setup().procedure, draws))) == many


# --- a finding that is put right, and the diagnosis goes on ---

BATTERY = "  weak-battery: {cause: the battery is low, correction: charge it}"


def going_on(step: str = "battery") -> str:
    """The lamp's procedure, which goes on at ``step`` once its battery is charged."""
    return changed(
        LAMP,
        (BATTERY, f"{BATTERY[:-1]}, go-on: {step}}}"),
        ("faults:", "faults:\n  empty: {weak: battery, value: 11.0 V to 11.6 V, "
         "found-as: weak-battery}"),
        ("good: {cause: all is well, correction: look for a fault that comes and goes}",
         "good: {cause: all is well, correction: look again, no-fault: true}"),
    )  # fmt: skip


def test_a_battery_that_was_charged_leads_on_to_a_good_end() -> None:
    shop = setup(going_on())
    done = made(shop, 1, Case("empty", 0, 1, repair=Repair.MENDED)).after
    assert done is not None
    assert (done.ending, done.later, done.then is not None) == ("repaired", "weak-battery", True)
    undone = made(shop, 1, Case("empty", 0, 1, repair=Repair.UNDONE)).after
    assert undone is not None
    assert (undone.ending, undone.later) == ("found", "weak-battery")
    assert not any("'empty'" in one for one in told(going_on()))


def test_going_on_behind_the_step_that_would_see_it_undone_is_an_error() -> None:
    found = told(going_on("earth"))
    assert any("nothing was done about the fault 'empty'" in one for one in found)


# --- two faults, and the first is put right ---


def of_two(text: str) -> Pairs:
    """What becomes of the pairs of ``text``."""
    shop = setup(text)
    run = here(shop, 1)
    first = walked(cases_of_pairs(shop.procedure, 1.0), run)
    onward = walked(onward_of(shop.procedure, first), run)
    return pairs_of(shop.procedure, first, onward)


def test_with_the_first_fault_put_right_the_second_is_found() -> None:
    pairs = of_two(going_on())
    assert pairs.walks == 15
    assert pairs.after == {PairEnd.NAMED: 5}  # a low battery hides each of the five others
    assert (pairs.condemned, pairs.no_fault) == ((), ())


def test_a_second_fault_that_the_way_on_never_looks_for_is_told_with_both_names() -> None:
    """On from the last step, nobody reads the feed or the earth any more."""
    pairs = of_two(going_on("whole"))
    assert pairs.after == {PairEnd.NAMED: 1, PairEnd.NO_FAULT: 4}  # all but the lamp itself
    assert {pair.first for pair in pairs.no_fault} == {"weak-battery"}
    assert {frozenset(pair.faults) - {"empty"} for pair in pairs.no_fault} == {
        frozenset({name}) for name in ("broken-wire", "burnt-holder", "broken-earth", "fed-short")
    }


def test_a_good_part_condemned_on_the_way_on_is_told() -> None:
    """The battery is good once it is charged; a weak feed is no reason to change it."""
    blames = changed(
        going_on(),
        ("    fail: feed-side\n", "    fail: lamp\n"),
        ("lamp: {cause: the lamp has failed, correction: change it}",
         "lamp: {cause: it failed, correction: change it, condemns: side lamp, "
         "proved-by: {earth: earth}}"),
    )  # fmt: skip
    condemned = [pair for pair in of_two(blames).condemned if pair.first]
    assert {pair.part for pair in condemned} == {"side lamp"}
    assert {"empty", "broken-wire"} in [set(pair.faults) for pair in condemned]


def test_of_the_way_on_the_table_tells_how_it_ended() -> None:
    _, proof = proved(going_on("whole"))
    assert proof.examined is not None
    found = replace(proof.examined, pairs=of_two(going_on("whole")))
    told_of = "gone on with, the first put right, 5 pairs: named 1, no fault 4"
    assert any(told_of in line for line in lines(found))
    messages = [one.message for one in failures(found) if one.only_warns]
    once = (
        "one is left once 'weak-battery' is put right, and the way on ends as if nothing were wrong"
    )
    assert sum(once in message for message in messages) == 4
