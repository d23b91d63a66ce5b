"""Findings: what they condemn, what proves it, and whether all that can be had in time."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity
from voiceassist.procedure.read import inspect

STEPS = """
feed: {measure: voltage of the feed, accept: at least 11 V, low: weak}
earth: {lamp: at the earth, fail: weak}
output: {measure: voltage of the output, accept: at least feed - 1 V, low: module, then: fine}
"""
MODULE = """
module:
  cause: the module is dead
  correction: change the module
  corrected: changed the module
  condemns: module
  proved-by: {feed: feed, earth: earth}
  repair: [fit]
  prove-with: [output]
"""
FIT = "fit: {do: change the module}"


def faults_with(
    old: str = "", new: str = "", *, steps: str = STEPS, repairs: str = FIT
) -> list[tuple[Severity, str, str]]:
    assert old in MODULE
    return faults_in(small(steps, repairs=repairs, findings=MODULE.replace(old, new)))


def test_a_condemned_part_is_proved_role_by_role() -> None:
    finding = good(small(STEPS, repairs=FIT, findings=MODULE)).findings["module"]
    assert finding.condemns == "module"
    assert finding.proved_by == (("feed", "feed"), ("earth", "earth"))
    assert (finding.correction, finding.corrected) == ("change the module", "changed the module")


def test_what_was_done_is_the_correction_unless_told() -> None:
    finding = good(
        small(STEPS, repairs=FIT, findings=MODULE.replace("  corrected: changed the module\n", ""))
    ).findings["module"]
    assert finding.corrected == "change the module"


@pytest.mark.parametrize(
    ("old", "new", "path", "message"),
    [
        ("  proved-by: {feed: feed, earth: earth}\n", "", "condemns", "condemned unproved; add"),
        ("  condemns: module\n", "", "proved-by", "this proves nothing; add 'condemns:"),
        ("earth: earth}", "earth: eart}", "proved-by.earth", "no step 'eart'; did you mean"),
        ("[fit]", "[feed]", "repair[0]", "there is no repair step 'feed'; known here: fit"),
        ("[fit]", "[fitt]", "repair[0]", "no repair step 'fitt'; did you mean 'fit'?"),
        ("[output]", "[fit]", "prove-with[0]", "there is no step 'fit'"),
    ],
)
def test_a_finding_that_cannot_stand_is_a_fault(
    old: str, new: str, path: str, message: str
) -> None:
    found = faults_with(old, new)
    assert has(found, Severity.ERROR, f"findings.module.{path}", message), found


@pytest.mark.parametrize(
    ("extra", "why"),
    [
        ("other: {ask: is it good, answers: {yes: output, no: weak}}", "is a question"),
        ("other: {measure: voltage, unit: V}", "has no limit"),
        ("other: {do: look}", "takes no reading"),
    ],
)
def test_a_step_that_cannot_tell_good_from_bad_proves_nothing(extra: str, why: str) -> None:
    steps = STEPS.replace("output:", f"{extra}\noutput:")
    found = faults_with("earth: earth}", "earth: other}", steps=steps)
    assert has(found, Severity.ERROR, "findings.module.proved-by.earth", why), found


def test_a_step_whose_limit_cannot_be_read_is_told_for_that_alone() -> None:
    steps = STEPS.replace(
        "output:", "other: {measure: voltage, accept: at least 5, low: weak}\noutput:"
    )
    found = faults_with("earth: earth}", "earth: other}", steps=steps)
    assert [path for _, path, _ in found] == ["steps.other.accept"]


def test_a_path_that_leaves_a_proof_out_is_warned_of() -> None:
    steps = STEPS.replace(
        "earth: {lamp:", "fork: {ask: skip it, answers: {yes: output, no: earth}}\nearth: {lamp:"
    )
    message = (
        "a path leads here without proving the earth (earth); the session will ask for it first"
    )
    assert faults_with(steps=steps) == [
        (Severity.WARNING, "findings.module.proved-by.earth", message)
    ]


def test_a_proof_that_failed_on_the_way_is_none() -> None:
    steps = STEPS.replace(
        "earth: {lamp: at the earth, fail: weak}",
        "earth: {lamp: at the earth, dim: output, off: weak}",
    )
    found = faults_with(steps=steps)
    assert has(found, Severity.WARNING, "findings.module.proved-by.earth", "without proving")


def test_a_repair_that_changes_a_part_should_condemn_it() -> None:
    text = small(
        STEPS,
        repairs=FIT,
        findings="""
module: {cause: it is dead, correction: change it, repair: [fit], prove-with: [output]}
""",
    )
    found = faults_in(text)
    assert has(found, Severity.WARNING, "findings.module", "'fit' changes a part; add 'condemns:'")
    mended = text.replace("do: change the module", "do: tighten the screw")
    assert not faults_in(mended)


# --- steps that only a finding asks for ---

LATE = (
    STEPS + "late: {measure: voltage of the load, accept: at most LIMIT, high: weak, then: fine}\n"
)


@pytest.mark.parametrize(
    "key", ["prove-with: [output", "before-fitting: [late]\n  prove-with: [output"]
)
def test_a_step_that_only_a_finding_asks_for_is_reached(key: str) -> None:
    found = faults_with(
        "prove-with: [output",
        key.replace("[output", "[output, late"),
        steps=LATE.replace("LIMIT", "feed"),
    )
    assert not found


def test_what_such_a_step_needs_must_be_measured_by_then() -> None:
    steps = LATE.replace("LIMIT", "never + 1 V") + (
        "never: {measure: voltage, unit: V, then: fine}\n"
    )
    found = faults_with("prove-with: [output]", "prove-with: [late]", steps=steps)
    assert has(
        found, Severity.ERROR, "findings.module.prove-with[0]", "without measuring 'never'"
    ), found


def test_a_step_before_it_in_the_list_will_do() -> None:
    steps = LATE.replace("LIMIT", "never + 1 V") + (
        "never: {measure: voltage, unit: V, then: fine}\n"
    )
    assert not faults_with("prove-with: [output]", "prove-with: [never, late]", steps=steps)
    assert not faults_with(
        "prove-with: [output]", "before-fitting: [never]\n  prove-with: [late]", steps=steps
    )


def test_a_repair_step_that_measures_is_held_to_the_same() -> None:
    repairs = FIT + "\ncheck: {measure: voltage, accept: at most never, high: weak}"
    steps = STEPS + "never: {measure: voltage, unit: V, then: fine}\n"
    found = faults_with("[fit]", "[fit, check]", steps=steps, repairs=repairs)
    assert has(found, Severity.ERROR, "findings.module.repair[1]", "without measuring 'never'")
    named = repairs.replace("never", "feed")
    assert not faults_with("[fit]", "[fit, check]", repairs=named)


def test_where_a_failed_proof_leads_has_what_it_needs_too() -> None:
    """A proof asked for at the finding may fail, and lead to a step by a new path."""
    steps = """
fork: {ask: is the supply known, answers: {yes: output, no: feed}}
feed: {measure: voltage, accept: at least 11 V, low: weak}
earth: {lamp: at the earth, fail: joint}
output: {measure: voltage of the output, accept: at least 9 V, low: module, then: fine}
joint: {measure: voltage at the joint, accept: at most feed, high: weak, then: fine}
"""
    found = faults_with(
        "proved-by: {feed: feed, earth: earth}", "proved-by: {earth: earth}", steps=steps
    )
    assert has(found, Severity.ERROR, "steps.joint.accept", "without measuring 'feed'"), found


def test_a_question_answered_as_it_accepts_has_proved_what_it_asks() -> None:
    asked = "{ask: does the lamp light, accept: yes, answers: {yes: output, no: weak}}"
    steps = STEPS.replace("{lamp: at the earth, fail: weak}", asked)
    assert steps != STEPS
    assert not faults_with(steps=steps)
    found = faults_with(steps=steps.replace("no: weak", "no: output"))
    assert has(found, Severity.WARNING, "findings.module.proved-by.earth", "without proving"), found


# --- repair steps ---


@pytest.mark.parametrize(
    ("repair", "path", "message"),
    [
        ("fit: {do: change it, then: weak}", "repairs.fit.then", "no effect in a repair step"),
        ("fit: {do: change it, skip: weak}", "repairs.fit.skip", "leads to the next one"),
        ("feed: {do: change it}", "repairs.feed", "a step is called 'feed' too"),
    ],
)
def test_a_repair_step_is_followed_by_the_next_one(repair: str, path: str, message: str) -> None:
    found = faults_with(repairs=f"{FIT}\n{repair}" if repair.startswith("feed") else repair)
    assert has(found, Severity.ERROR, path, message), found


PROVING = """
procedure: proving
title: a procedure
for: an invented vehicle
steps:
  one: {measure: voltage one, accept: at least 5 V, fail: part}
  two: {measure: voltage two, accept: at least 5 V, fail: part}
  turns: {ask: does it turn, answers: {yes: part, no: part}}
  sum: {compute: one - two, accept: at most 1 V, high: part, then: part}
findings:
  part: {cause: it is dead, correction: mend it, LISTS}
"""


@pytest.mark.parametrize(
    ("lists", "blamed"),
    [
        ("before-fitting: [turns]", "passes whatever is answered"),
        ("prove-with: [turns]", "passes whatever is answered"),
        ("prove-with: [sum]", "is worked out from 'one'; list that before it"),
        ("prove-with: [one, sum]", "is worked out from 'two'"),
        ("prove-with: [one, two, sum]", ""),
    ],
)
def test_what_proves_a_repair_must_be_able_to_fail_after_it(lists: str, blamed: str) -> None:
    _, faults = inspect(PROVING.replace("LISTS", lists))
    errors = [fault.message for fault in faults if fault.level is Severity.ERROR]
    assert any(blamed in message for message in errors) if blamed else not errors


# --- a finding that is put right, and the job goes on ---

FLAT = "flat: {cause: the battery is flat, correction: charge it, go-on: feed}"
LEADING = STEPS.replace("low: weak}", "low: flat}").replace("low: module", "low: weak")


def test_a_finding_can_lead_on_to_an_earlier_step_and_that_is_no_circle() -> None:
    assert good(small(LEADING, findings=FLAT)).findings["flat"].go_on == "feed"


@pytest.mark.parametrize(
    ("go_on", "message"),
    [
        ("go-on: fed", "there is no step 'fed'; did you mean 'feed'?"),
        ("go-on: fine", "there is no step 'fine'"),
        ("go-on: feed, prove-with: [feed]", "which 'prove-with' ends; keep one of them"),
        ("go-on: feed, no-fault: true", "nothing is wrong at 'no-fault'"),
    ],
)
def test_where_a_finding_cannot_lead_on_it_is_told(go_on: str, message: str) -> None:
    found = faults_in(small(LEADING, findings=FLAT.replace("go-on: feed", go_on)))
    assert has(found, Severity.ERROR, "findings.flat.go-on", message), found


def test_what_a_step_needs_must_be_known_where_the_job_goes_on() -> None:
    at_output = FLAT.replace("go-on: feed", "go-on: output")
    early = "first: {ask: is it flat, answers: {yes: flat, no: feed}}\n" + LEADING.strip()
    found = faults_in(small(early.replace("low: flat}", "low: weak}"), findings=at_output))
    message = "a path leads here without measuring 'feed', which the limit needs"
    assert has(found, Severity.ERROR, "steps.output.accept", message), found


def test_in_a_used_file_it_leads_on_within_that_file() -> None:
    used = small(LEADING, findings=FLAT).replace("procedure: small", "procedure: used")
    text = small("supply: {use: used, go: {fine: fine, weak: weak, module: weak}}").replace(
        "module: weak", ""
    )
    found = good(text, lambda _: used).findings["supply-flat"]
    assert found.go_on == "supply-feed"
