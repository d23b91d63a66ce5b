"""One part of a file for each of several like things: read, it is plain steps with own names."""

from dataclasses import replace

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity
from voiceassist.procedure.glance import procedure_words
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect, read_procedure

EACH = "each: {fuse: [one, two, three]}"
PULLED = """
without:
  for-each: fuse
  needs: {key: off}
  measure: current without fuse <fuse>
  accept: 6 mA to 50 mA
  high: blames-<fuse>
  low: weak
  then: fine
"""
BLAMED = """
blames-<fuse>: {for-each: fuse, cause: fuse <fuse> feeds it, correction: look behind fuse <fuse>}
"""
ONE_BY_ONE = """
without-one: {needs: {key: off}, measure: current without fuse one, accept: 6 mA to 50 mA,
  high: blames-one, low: weak, then: without-two}
without-two: {needs: {key: off}, measure: current without fuse two, accept: 6 mA to 50 mA,
  high: blames-two, low: weak, then: without-three}
without-three: {needs: {key: off}, measure: current without fuse three, accept: 6 mA to 50 mA,
  high: blames-three, low: weak, then: fine}
"""
BLAMED_ONE_BY_ONE = "\n".join(
    f"blames-{n}: {{cause: fuse {n} feeds it, correction: look behind fuse {n}}}"
    for n in ("one", "two", "three")
)


def plain(text: str) -> Procedure:
    return replace(good(text), name="small")


def test_it_reads_as_if_each_had_been_written_by_hand() -> None:
    """Two ways to write the same: the one is the check of the other."""
    for_each = plain(small(PULLED, head=EACH, findings=BLAMED))
    by_hand = plain(small(ONE_BY_ONE, findings=BLAMED_ONE_BY_ONE))
    assert for_each.steps == by_hand.steps
    assert for_each.findings == by_hand.findings


def test_of_a_question_the_next_one_is_told_by_its_word_and_the_last_leads_to_then() -> None:
    asks = """
    pull:
      for-each: fuse
      ask: pull fuse <fuse>. Does it drop
      answers: {yes: blames-<fuse>, no: <next>}
      then: rest
    rest: {ask: is it good, answers: {yes: fine, no: weak}}
    """
    steps = good(small(asks, head=EACH, findings=BLAMED)).steps
    assert [steps[f"pull-{n}"].routes["negative"] for n in ("one", "two", "three")] == [
        "pull-two",
        "pull-three",
        "rest",
    ]
    without_then = asks.replace("      then: rest\n", "")
    assert (
        good(small(without_then, head=EACH, findings=BLAMED)).steps["pull-three"].routes["negative"]
        == "rest"
    )


@pytest.mark.parametrize(
    ("step", "mend"),
    [
        ("ask: pull fuse <fuse>. Does it drop, answers: {yes: fine, no: <next>}", "add 'then:'"),
        ("lamp: at fuse <fuse>, fail: <next>, then: fine", "put a step after this one"),
    ],
)
def test_the_next_one_after_the_last_has_to_be_told(step: str, mend: str) -> None:
    found = faults_in(small(f"look: {{for-each: fuse, {step}}}\n", head=EACH))
    assert has(found, Severity.ERROR, "steps.look", "<next> leads nowhere at the last of them")
    assert has(found, Severity.ERROR, "steps.look", mend)


def test_what_must_hold_before_a_change_can_stand_for_each() -> None:
    head = f"{EACH}\nbefore-changing: {{fuse <fuse>: {{for-each: fuse, key: off}}}}"
    states = "{for-each: fuse, in: fuse <fuse> in, out: pull fuse <fuse>}"
    text = small(PULLED, head=head, findings=BLAMED)
    assert "conditions:\n" in text
    text = text.replace("conditions:\n", f"conditions:\n  fuse <fuse>: {states}\n", 1)
    guarded = good(text).before_changing
    assert {name: [(n.condition, n.state) for n in needs] for name, needs in guarded.items()} == {
        f"fuse {thing}": [("key", "off")] for thing in ("one", "two", "three")
    }


def test_where_nothing_can_stand_for_each_one_is_told_to_write_them_out() -> None:
    found = faults_in(small(PULLED, head=f"{EACH}\nat-rest: {{fuse <fuse>: in}}", findings=BLAMED))
    mend = "<fuse> stands for nothing here; write each of them out"
    assert has(found, Severity.ERROR, "at-rest", mend)


def test_where_a_failure_leads_to_the_next_one_a_pass_leads_where_it_says() -> None:
    lamps = """
    lamp:
      for-each: fuse
      lamp: at fuse <fuse>
      fail: <next>
      then: fine
    rest: {ask: is it good, answers: {yes: fine, no: weak}}
    """
    steps = good(small(lamps, head=EACH)).steps
    assert [steps[f"lamp-{n}"].routes["fail"] for n in ("one", "two", "three")] == [
        "lamp-two",
        "lamp-three",
        "rest",
    ]
    assert {steps[f"lamp-{n}"].routes["pass"] for n in ("one", "two", "three")} == {"fine"}


def test_each_can_have_words_of_its_own() -> None:
    each = "each: {fuse: {one: {feeds: the radio, amps: 5 A}, two: {feeds: the cabin, amps: 10 A}}}"
    look = """
    look:
      for-each: fuse
      ask: pull fuse <fuse>, of <amps>. Is <feeds> off
      answers: {yes: <next>, no: weak}
      then: fine
    """
    steps = good(small(look, head=each)).steps
    assert steps["look-one"].text == "pull fuse one, of 5 A. Is the radio off"
    assert steps["look-two"].text == "pull fuse two, of 10 A. Is the cabin off"


def test_a_name_of_two_words_is_joined_in_names_and_spoken_apart_in_texts() -> None:
    each = "each: {lamp: [front-left, rear]}"
    look = "look: {for-each: lamp, lamp: 'at the <lamp> lamp', fail: bad-<lamp>, then: fine}"
    bad = "bad-<lamp>: {for-each: lamp, cause: <lamp> lamp, correction: change the <lamp> lamp}"
    found = read_procedure(small(look, head=each, findings=bad), "small.yaml")
    assert found.steps["look-front-left"].text == "at the front left lamp"
    assert found.steps["look-front-left"].routes["fail"] == "bad-front-left"
    assert found.findings["bad-front-left"].correction == "change the front left lamp"


def test_what_leads_to_all_leads_to_the_first_and_a_list_takes_all_of_them() -> None:
    steps = "first: {ask: is it on, answers: {yes: without, no: weak}}\n" + PULLED.strip()
    unproved = "loose: {cause: it is loose, correction: mend it, because: [without]}\n"
    text = small(steps.replace("low: weak", "low: loose"), head=EACH, findings=BLAMED + unproved)
    found = good(text)
    assert found.steps["first"].routes["affirm"] == "without-one"
    assert found.findings["loose"].because == ("without-one", "without-two", "without-three")


def test_conditions_repairs_faults_and_parts_of_the_circuit_stand_for_each_too() -> None:
    text = small(
        "out: {for-each: fuse, needs: {'fuse <fuse>': out}, "
        "measure: voltage from plus to minus, accept: at least 11 V, low: bad-<fuse>, then: fine}",
        head=EACH,
        repairs="new-<fuse>: {for-each: fuse, do: fit a new fuse <fuse>}",
        findings="bad-<fuse>: {for-each: fuse, cause: fuse <fuse>, correction: mend it, "
        "repair: [new-<fuse>], prove-with: [out-<fuse>]}",
    ).replace(
        "conditions:",
        "conditions:\n  fuse <fuse>: {for-each: fuse, out: pull fuse <fuse>, in: fuse <fuse> in}",
    )
    text += """
circuit:
  at-first: {fuse one: in, fuse two: in, fuse three: in}
  parts:
    battery: {battery: 12.6 V, inner-resistance: 20 mΩ, from: plus, to: minus}
    fuse <fuse>: {for-each: fuse, fuse: 10 A, from: plus, to: fed <fuse>}
    lamp <fuse>: {for-each: fuse, lamp: 5 W, voltage: 12 V, from: fed <fuse>, to: minus}
faults:
  low-<fuse>: {for-each: fuse, weak: battery, value: 9 V, found-as: bad-one}
"""
    found = read_procedure(text, "small.yaml")
    assert list(found.repairs) == ["new-one", "new-two", "new-three"]
    assert found.conditions["fuse two"]["out"] == "pull fuse two"
    assert found.circuit is not None
    assert {"fuse one", "fuse three", "lamp two"} <= set(found.circuit.parts)
    assert list(found.faults) == ["low-one", "low-two", "low-three"]


@pytest.mark.parametrize(
    ("old", "new", "path", "message"),
    [
        ("for-each: fuse", "for-each: fuze", "steps.without.for-each",
         "there is no group 'fuze' under 'each:'; did you mean 'fuse'?"),
        ("without fuse <fuse>", "without fuse <fus>", "steps.without",
         "<fus> stands for nothing here; did you mean 'fuse'?"),
        ("  for-each: fuse\n", "", "steps.without",
         "<fuse> stands for nothing here; add 'for-each: fuse'"),
        ("without:\n", "without-two: {do: look, then: fine}\nwithout:\n", "steps.without",
         "'without-two' is made by 'for-each' and stands here too; rename one"),
    ],
)  # fmt: skip
def test_a_slip_is_told_at_its_line_and_alone(old: str, new: str, path: str, message: str) -> None:
    text = small(PULLED.replace(old, new), head=EACH, findings=BLAMED)
    found = faults_in(text)
    assert found == [(Severity.ERROR, path, message)], found


@pytest.mark.parametrize(
    ("each", "path", "message"),
    [
        ("each: {fuse: []}", "each.fuse", "0 things are listed here; name 1 to 60"),
        ("each: {fuse: [Number 1]}", "each.fuse", "'Number 1' cannot be a name here"),
        ("each: {fuse: {one: {amps: 5 A}, two: {}}}", "each.fuse",
         "'amps' is not told of each; 'two' and the first differ"),
        ("each: fuse", "each", "a block is wanted here, such as 'fuse: [one, two]'"),
    ],
)  # fmt: skip
def test_a_group_that_cannot_be_is_a_fault(each: str, path: str, message: str) -> None:
    found = faults_in(small(PULLED, head=each, findings=BLAMED))
    assert has(found, Severity.ERROR, path, message), found


def test_a_fault_in_what_is_written_out_is_told_at_the_line_of_the_part() -> None:
    text = small(PULLED.replace("6 mA to 50 mA", "6 mA to 50 V"), head=EACH, findings=BLAMED)
    _, faults = inspect(text)
    line = next(i for i, one in enumerate(text.splitlines(), 1) if "accept:" in one)
    errors = [fault for fault in faults if fault.level is Severity.ERROR]
    assert {fault.line for fault in errors} == {line}
    assert "steps.without-one.accept" in {fault.path for fault in errors}


def test_pages_tell_the_words_of_each() -> None:
    words = procedure_words(small(PULLED, head=EACH, findings=BLAMED), lambda _: None)
    assert words.steps["without-two"] == "current without fuse two"


def test_the_one_before_is_put_back_and_the_first_has_none() -> None:
    pulled = PULLED.replace("{key: off}", "{fuse <previous>: in, fuse <fuse>: out}")
    text = small(pulled, head=EACH, findings=BLAMED).replace(
        "conditions:", "conditions:\n  fuse <fuse>: {for-each: fuse, out: pull it, in: put it in}"
    )
    steps = good(text).steps
    told = [[f"{n.condition} {n.state}" for n in step.needs] for step in steps.values()]
    assert told == [
        ["fuse one out"],
        ["fuse one in", "fuse two out"],
        ["fuse two in", "fuse three out"],
    ]
