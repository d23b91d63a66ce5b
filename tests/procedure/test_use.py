"""A procedure put into another one."""

from collections.abc import Callable

import pytest
from small_files import block, faults_in, good, has, small

from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import PASS, Kind
from voiceassist.procedure.read import inspect

SUPPLY = """\
procedure: supply
title: Is the supply good
for: any vehicle
facts:
  nominal: {say: the nominal supply voltage, unit: V}
conditions:
  key: {off: turn the key off, run: turn the key to run}
before-changing: {}
cautions:
  sparks: {signal: WARNING, hazard: sparks burn, avoid: keep clear}
steps:
  battery:
    needs: {key: off}
    caution: sparks
    measure: voltage of the battery
    accept: nominal * 0.95 to nominal * 1.08
    fail: flat
  load:
    measure: voltage under load
    needs: {key: run}
    accept: at least battery - 0.6 V
    if-forgotten: {key: at least battery}
    low: flat
  drop: {compute: battery - load}
  which:
    ask: which battery is it
    answers: {small: rest, large: rest}
  rest:
    measure: current at rest
    accept: {by: which, table: {small: at most 20 mA, large: at most drop / 1 Ω}}
    skip: flat
    high: flat
    then: good
repairs:
  charge: {do: charge the battery}
findings:
  flat:
    cause: the battery is flat
    correction: charge it
    because: [battery]
    repair: [charge]
    prove-with: [load]
  good: {cause: all is well, correction: go on}
"""
ONE = """
power: {use: supply, go: {good: lamp}}
lamp: {lamp: at the feed, fail: weak}
feed: {measure: voltage, accept: at least power-battery - 1 V, low: weak, then: fine}
"""


def library(**files: str) -> Callable[[str], str | None]:
    return files.get


def changed(old: str, new: str) -> Callable[[str], str | None]:
    assert old in SUPPLY
    return library(supply=SUPPLY.replace(old, new))


def test_the_steps_of_the_used_file_take_the_place_of_the_step() -> None:
    procedure = good(small(ONE), library(supply=SUPPLY))
    assert list(procedure.steps) == [
        "nominal",
        "power-battery",
        "power-load",
        "power-drop",
        "power-which",
        "power-rest",
        "lamp",
        "feed",
    ]
    assert list(procedure.findings) == ["weak", "fine", "power-flat"]
    assert list(procedure.repairs) == ["power-charge"]


def test_everything_in_it_means_its_own_parts_still() -> None:
    procedure = good(small(ONE), library(supply=SUPPLY))
    load, rest = procedure.step("power-load"), procedure.step("power-rest")
    assert load.limit is not None
    assert load.limit.fill({"power-battery": Quantity.parse("12.6 V")}).low == Quantity.parse(
        "12.0 V"
    )
    assert load.lookalikes[0].limit.names == {"power-battery"}
    assert procedure.step("power-drop").text == "power-battery - power-load"
    assert procedure.step("power-drop").kind is Kind.COMPUTE
    assert rest.table is not None
    assert rest.table.by == "power-which"
    assert rest.table.names == {"power-drop"}
    assert procedure.step("power-battery").names == {"nominal"}
    assert (rest.routes, rest.skip) == ({PASS: "lamp", "high": "power-flat"}, "power-flat")
    flat = procedure.findings["power-flat"]
    assert (flat.because, flat.repair, flat.prove_with) == (
        ("power-battery",),
        ("power-charge",),
        ("power-load",),
    )


def test_what_it_asks_of_the_job_is_asked_once_and_first() -> None:
    again = ONE + "more: {use: supply, go: {good: fine}}\n"
    procedure = good(small(again.replace("then: fine", "then: more")), library(supply=SUPPLY))
    assert procedure.first == "nominal"
    assert [name for name, step in procedure.steps.items() if step.fact] == ["nominal"]
    assert procedure.step("nominal").routes == {PASS: "power-battery"}
    assert procedure.step("feed").routes[PASS] == "more-battery"


def test_what_it_takes_to_do_it_is_laid_out_once() -> None:
    lib = changed("for: any vehicle\n", "for: any vehicle\ntools: [multimeter, load tester]\n")
    procedure = good(small(ONE, head="tools: [test lamp, multimeter]"), lib)
    assert procedure.tools == ("test lamp", "multimeter", "load tester")


def test_a_procedure_may_begin_anywhere_and_come_back_to_it() -> None:
    steps = "before: {do: look}\n" + ONE.strip()
    procedure = good(small(steps), library(supply=SUPPLY))
    assert procedure.step("before").routes == {PASS: "power-battery"}


def test_a_used_file_may_use_another_one() -> None:
    middle = small("power: {use: supply, go: {good: fine}}").replace("weak:", "bad:")
    middle = middle.replace("procedure: small", "procedure: middle")
    outer = "whole: {use: middle, go: {fine: lamp}}\nlamp: {lamp: there, fail: weak, then: fine}\n"
    procedure = good(
        small(outer),
        library(
            supply=SUPPLY,
            middle=middle.replace("  bad: {cause: no supply, correction: mend it}\n", ""),
        ),
    )
    assert "whole-power-battery" in procedure.steps
    assert procedure.step("whole-power-load").names == {"whole-power-battery"}
    assert procedure.step("whole-power-rest").routes[PASS] == "lamp"


def test_the_file_comes_through_whole_a_second_time() -> None:
    """Nothing of one reading leaks into the next."""
    lib = library(supply=SUPPLY)
    assert good(small(ONE), lib) == good(small(ONE), lib)


# --- faults ---


def test_a_file_that_is_not_there_is_told_with_its_name() -> None:
    found = faults_in(small(ONE))
    (fault,) = found
    assert fault[:2] == (Severity.ERROR, "steps.power.use")
    assert fault[2].startswith("there is no procedure file supply.yaml beside this one")


def test_a_fault_in_the_used_file_is_told_once_with_its_place_there() -> None:
    found = faults_in(small(ONE), changed("title:", "titel:"))
    (fault,) = found
    assert fault[:2] == (Severity.ERROR, "steps.power.use")
    assert fault[2].startswith("supply.yaml has faults; the first is: line 1: 'title' is missing")


def test_a_warning_in_the_used_file_does_not_stop_its_use() -> None:
    good(
        small(ONE),
        changed(
            "cause: the battery is flat\n",
            "cause: the battery is flat\n    corrected: it was changed\n",
        ),
    )
    lost = changed("findings:\n", "findings:\n  lost: {cause: x, correction: y}\n")
    assert not faults_in(small(ONE), lost)


@pytest.mark.parametrize(
    ("files", "chain"),
    [
        ({"small": "SELF"}, "small → small"),
        ({"a": "power: {use: small, go: {fine: fine}}", "small": "SELF"}, "small → a → small"),
    ],
)
def test_a_file_cannot_use_itself_however_far_around(files: dict[str, str], chain: str) -> None:
    first = chain.split(" → ")[1]
    own = small(f"power: {{use: {first}, go: {{fine: fine}}}}")
    texts = {name: own if body == "SELF" else small(body) for name, body in files.items()}
    found = faults_in(own, library(**texts))
    assert any("a procedure cannot use itself: " + chain in message for _, _, message in found)


def test_files_that_use_each_other_a_thousand_times_are_refused_quickly() -> None:
    """Each uses the next one twice, so that 2 to the 7th copies would come together."""

    def level(number: int) -> str:
        if number == 8:
            return small(
                "\n".join(f"a{i}: {{do: look}}" for i in range(20)) + "\nz: {do: look, then: fine}"
            )
        use = f"{{use: n{number + 1}, go: {{fine: GO}}}}"
        return small(f"a: {use.replace('GO', 'b')}\nb: {use.replace('GO', 'fine')}")

    files = {f"n{number}": level(number) for number in range(1, 9)}
    messages = [message for _, _, message in faults_in(level(1), library(**files))]
    assert any("over 1000 steps" in message for message in messages)


def test_files_are_put_in_to_a_certain_depth_only() -> None:
    files = {f"n{n}": small(f"a: {{use: n{n + 1}, go: {{fine: fine}}}}") for n in range(20)}
    messages = [message for _, _, message in faults_in(files["n0"], library(**files))]
    assert any("put in more than 8 deep" in message for message in messages)


def test_two_used_files_may_not_bring_the_same_name() -> None:
    inner = small("b-c: {lamp: there, fail: weak, then: fine}")
    other = small("c: {lamp: there, fail: weak, then: fine}")
    text = small("a: {use: inner, go: {fine: a-b}}\na-b: {use: other, go: {fine: fine}}")
    found = faults_in(text, library(inner=inner, other=other))
    assert has(found, Severity.ERROR, "steps.a-b", "a part of 'a' is called 'a-b-c' too"), found


@pytest.mark.parametrize(
    ("go", "path", "message"),
    [
        (
            "{good: lampp}",
            "steps.power.go.good",
            "no step or finding 'lampp'; did you mean 'lamp'?",
        ),
        ("{god: lamp}", "steps.power.go.god", "supply has no finding 'god'; did you mean 'good'?"),
        ("{flat: lamp}", "steps.power", "supply ends well with 'good'; tell under 'go:'"),
    ],
)
def test_where_it_leads_must_be_told_and_be_there(go: str, path: str, message: str) -> None:
    text = small(ONE.replace("{good: lamp}", go))
    assert has(faults_in(text, library(supply=SUPPLY)), Severity.ERROR, path, message)


def test_a_file_that_ends_badly_only_must_lead_on_as_well() -> None:
    bad = changed("then: good", "then: flat")
    text = small(ONE.replace("go: {good: lamp}", "go: {}"))
    message = "nothing leads back from supply; map one of flat, good under 'go:'"
    found = faults_in(text, bad)
    assert has(found, Severity.ERROR, "steps.power", message), found


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("off: turn the key off", "off: key off", "the condition 'key: off'"),
        ("unit: V}", "unit: V, value: 24 V}", "the fact 'nominal'"),
        ("sparks burn", "sparks may burn", "the caution 'sparks'"),
        ("before-changing: {}", "before-changing: {key: {door: shut}}", "before changing 'key'"),
    ],
)
def test_the_two_files_must_call_the_same_things_by_the_same_name(
    old: str, new: str, what: str
) -> None:
    head = """\
facts:
  nominal: {say: the nominal supply voltage, unit: V}
cautions:
  sparks: {signal: WARNING, hazard: sparks burn, avoid: keep clear}
before-changing:
  key: {plug: in}
"""
    assert old in SUPPLY
    text = SUPPLY.replace(old, new).replace(
        "conditions:\n", "conditions:\n  door: {shut: shut it}\n"
    )
    found = faults_in(small(ONE, head=head), library(supply=text))
    assert has(found, Severity.ERROR, "steps.power.use", what), found
    assert len(found) == 1


def test_a_name_that_a_used_step_takes_is_not_free() -> None:
    text = small(ONE + "power-load: {do: look, then: fine}\n")
    found = faults_in(text, library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "steps.power-load", "a part of 'power' is called")


def test_a_limit_may_use_only_what_the_used_file_measures() -> None:
    text = small(ONE.replace("power-battery", "power-batery"))
    found = faults_in(text, library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "steps.feed.accept", "did you mean 'power-battery'?")


def test_a_path_around_the_used_file_leaves_its_readings_untaken() -> None:
    fork = "fork: {ask: is it known, answers: {yes: feed, no: power}}\n"
    found = faults_in(small(fork + ONE.strip()), library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "steps.feed.accept", "without measuring 'power-battery'")


def test_a_circle_through_the_used_file_is_told_at_the_step_that_uses_it() -> None:
    text = small(ONE.replace("then: fine", "then: power"))
    found = faults_in(text, library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "steps.power", "may never end: power-battery → power-load")


def test_a_repair_step_cannot_use_a_file() -> None:
    text = small("one: {lamp: there, fail: weak, then: fine}", repairs="mend: {use: supply}")
    found = faults_in(text, library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "repairs.mend.use", "write its steps here")


def test_the_step_that_uses_a_file_is_gone_to_and_proves_nothing() -> None:
    mend = "mended: {cause: x, correction: y, because: [power]}"
    steps = ONE.replace("fail: weak", "fail: mended")
    found = faults_in(small(steps, findings=mend), library(supply=SUPPLY))
    assert has(found, Severity.ERROR, "findings.mended.because[0]", "there is no step 'power'")


def test_nothing_is_guessed_about_what_a_broken_file_holds() -> None:
    text = small(ONE + block("x", ""))
    _, faults = inspect(text, changed("title:", "titel:"))
    assert [fault.path for fault in faults] == ["steps.power.use"]
