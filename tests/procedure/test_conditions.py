"""Conditions of the vehicle, and what must hold while one is changed."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import Hold, Need, Wording
from voiceassist.procedure.parts.asking import wording

END = "last: {lamp: there, fail: weak, then: fine}\n"


def test_what_must_hold_while_a_condition_is_changed_comes_with_its_words() -> None:
    before = good(small(END, head="before-changing: {plug: {key: off}}")).before_changing
    assert before == {"plug": (Need("key", "off", "turn the key off"),)}


@pytest.mark.parametrize(
    ("written", "path", "message"),
    [
        ("{plugg: {key: off}}", "plugg", "no condition 'plugg'; did you mean 'plug'?"),
        ("{plug: {kee: off}}", "plug.kee", "no condition 'kee'; did you mean 'key'?"),
        ("{plug: {key: of}}", "plug.key", "'key' has no state 'of'; did you mean 'off'?"),
        ("{plug: {plug: out}}", "plug", "'plug' would have to be changed before itself"),
        ("{plug: {key: off}, key: {plug: in}}", "plug", "before itself: plug → key → plug"),
    ],
)
def test_what_cannot_be_brought_about_is_a_fault(written: str, path: str, message: str) -> None:
    found = faults_in(small(END, head=f"before-changing: {written}"))
    assert has(found, Severity.ERROR, f"before-changing.{path}", message), found


def test_where_no_conditions_are_defined_the_remedy_is_to_add_one() -> None:
    text = small("one: {do: look, needs: {key: off}}\n" + END)
    start, end = text.index("conditions:"), text.index("steps:")
    found = faults_in(text[:start] + text[end:])
    message = "there is no condition 'key'; add it under 'conditions:'"
    assert found == [(Severity.ERROR, "steps.one.needs.key", message)]


# --- what is said of a state ---


@pytest.mark.parametrize(
    ("condition", "state", "ask", "denied", "holds"),
    [
        # A plain word follows "is the"; a plural has "are", a numbered thing no article.
        ("plug", "in", "is the plug in", "the plug was not in", "the plug is in"),
        ("lamps", "off", "are the lamps off", "the lamps were still on", "the lamps are off"),
        ("fuse one", "out", "is fuse one out", "fuse one was still in", "fuse one is out"),
        ("bus", "open", "is the bus open", "the bus was not open", "the bus is open"),
        # What is no plain word is asked about by what was to be done.
        ("key", "run", "did you do it", "you did not do it", "the key is at run"),
        ("lamps", "low", "did you do it", "you did not do it", "the lamps are at low"),
    ],
)
def test_what_is_said_of_a_state_is_english_by_rule(
    condition: str, state: str, ask: str, denied: str, holds: str
) -> None:
    made = wording(condition, state, "do it")
    assert (made.ask, made.denied) == (ask, denied)
    assert made.holds == holds


def test_a_state_with_words_of_its_own_is_asked_about_and_told_in_them() -> None:
    own = "run: {do: turn it, ask: is the key in run?, not: the key was not in run.}"
    procedure = good(small(END).replace("run: turn the key to run", own))
    assert procedure.conditions["key"] == {"off": "turn the key off", "run": "turn it"}
    said = procedure.wordings["key"]["run"]
    assert said == Wording("is the key in run", "the key was not in run", "the key is in run")
    assert procedure.wordings["key"]["off"].ask == "is the key off"


ASKED = (
    "{needs: {key: run}, measure: voltage, accept: at least 5 V, if-forgotten: {key: at most 1 V}"
)


def test_a_state_asked_about_in_made_up_words_wants_its_own() -> None:
    found = faults_in(small(f"one: {ASKED}, low: weak, then: last}}\n{END}"))
    message = "'run' makes no plain question; give it 'ask:' and 'not:'"
    assert found == [(Severity.WARNING, "conditions.key.run", message)]


@pytest.mark.parametrize(
    ("state", "path", "message"),
    [
        ("{ask: is it on}", "", "'do' is missing; add it"),
        ("{do: turn it, asks: is it on}", ".asks", "did you mean 'ask'?"),
        ("{do: turn it, not: you forgot}", ".not", "write it like 'the key was not"),
        ("[turn it]", "", "words, or a block with 'do:', is wanted here, found a list"),
    ],
)
def test_a_state_that_cannot_be_said_is_a_fault(state: str, path: str, message: str) -> None:
    found = faults_in(small(END).replace("run: turn the key to run", f"run: {state}"))
    assert has(found, Severity.ERROR, f"conditions.key.run{path}", message), found


def test_the_vehicle_is_left_as_written_and_else_as_the_circuit_is_at_first() -> None:
    assert good(small(END, head="at-rest: {key: off}")).at_rest == {"key": "off"}
    found = faults_in(small(END, head="at-rest: {key: of, plugg: in}"))
    assert has(found, Severity.ERROR, "at-rest.key", "'key' has no state 'of'; did you mean 'off'?")
    assert has(found, Severity.ERROR, "at-rest.plugg", "no condition 'plugg'; did you mean 'plug'?")


# --- the leads of the meter ---

LINE = "draw: {measure: current in the wire, unit: A, meter: 10 A}\n"
VOLTS = "volts: {measure: voltage at the lamp, unit: V}\nohms: {measure: resistance, unit: Ω}\n"


def test_where_a_current_flows_through_the_meter_every_other_reading_needs_its_lead_back() -> None:
    procedure = good(small(LINE + VOLTS + "clamped: {measure: current by clamp, unit: A}\n" + END))
    leads = {n: [x.state for x in s.needs] for n, s in procedure.steps.items()}
    assert leads == {
        "draw": ["10 A"],
        "volts": ["volts"],
        "ohms": ["volts"],
        "clamped": [],
        "last": [],
    }
    assert procedure.at_rest["meter leads"] == "volts"


def test_a_procedure_without_such_a_current_knows_nothing_of_leads() -> None:
    assert "meter leads" not in good(small(VOLTS + END)).conditions


def test_a_meter_in_line_tells_its_range_and_a_range_reads_what_the_step_does() -> None:
    found = faults_in(small("one: {measure: current in the wire, unit: A}\n" + END))
    assert has(found, Severity.WARNING, "steps.one", "tell its range and socket")
    found = faults_in(small("one: {measure: voltage, unit: V, meter: 10 A}\n" + END))
    assert has(found, Severity.ERROR, "steps.one.meter", "a range of 10 A reads no voltage")


# --- waits ---


def test_a_wait_names_the_conditions_that_make_it_void() -> None:
    waits = "one: {wait: sleep, for: 20 min, voided-by: [key]}\n"
    assert good(small(waits + END)).steps["one"].voided_by == ("key",)
    found = faults_in(small(waits.replace("[key]", "[door]") + END))
    assert has(found, Severity.ERROR, "steps.one.voided-by", "there is no condition 'door'")


# --- words of a verdict ---

MEASURED = "{measure: voltage, accept: at least 5 V, low: weak, says: "


@pytest.mark.parametrize(
    ("step", "says"),
    [
        (
            f"{MEASURED}{{pass: no change, low: it dropped}}}}",
            {"pass": "no change", "low": "it dropped"},
        ),
        (
            f"{MEASURED}{{fail: it dropped., over: off}}}}",
            {"low": "it dropped", "high": "it dropped", "over": "off", "fail": "it dropped"},
        ),
        (
            "{lamp: there, fail: weak, says: {fail: no feed}}",
            {"dim": "no feed", "flickering": "no feed", "off": "no feed", "fail": "no feed"},
        ),
        (
            "{ask: is it whole, answers: {yes: last, no: weak}, says: {yes: then it is a joint}}",
            {"affirm": "then it is a joint"},
        ),
    ],
)
def test_a_step_has_its_own_words_for_an_outcome(step: str, says: dict[str, str]) -> None:
    assert good(small(f"one: {step}\n{END}")).steps["one"].says == says


def test_words_for_an_outcome_that_a_step_does_not_have_are_a_fault() -> None:
    found = faults_in(
        small("one: {ask: is it, answers: {yes: last, no: weak}, says: {low: x}}\n" + END)
    )
    assert has(found, Severity.ERROR, "steps.one.says.low", "no outcome 'low'; known here: yes, no")


# --- what is held for a moment ---

HELD = "{do: crank, ask: was it cranking, not: it was not cranking, HOW}"


def held(how: str) -> str:
    step = "one: {needs: {starter: crank}, measure: voltage there, unit: V, then: last}\n"
    text = small(step + END)
    return text.replace(
        "conditions:", "conditions:\n  starter: {crank: " + HELD.replace("HOW", how) + "}"
    )


@pytest.mark.parametrize(
    ("how", "hold"),
    [
        ("momentary: true", Hold()),
        ("hold: 5 s", Hold(5, "let go")),
        ("hold: 5 s, let-go: let the key go., rest: 1 min", Hold(5, "let the key go", 60)),
        ("hold: 5 s, momentary: true", Hold(5, "let go")),
    ],
)
def test_a_state_that_is_held_tells_how_long_what_ends_it_and_its_rest(
    how: str, hold: Hold
) -> None:
    (need,) = good(held(how)).steps["one"].held
    assert (need.momentary, need.hold) == (True, hold)


@pytest.mark.parametrize(
    ("how", "key", "message"),
    [
        ("hold: a moment", "hold", "'a moment' is no time to wait; write it like 30 s"),
        ("hold: 0 s", "hold", "'0 s' is no time to wait; write it like 30 s"),
        ("hold: 5 s, rest: 5", "rest", "'5' is no time to wait; write it like 30 s"),
        ("rest: 1 min", "rest", "'rest' has no effect without 'hold:'; tell how long"),
        ("momentary: true, let-go: x", "let-go", "'let-go' has no effect without 'hold:'"),
    ],
)
def test_a_time_that_cannot_be_held_is_a_fault(how: str, key: str, message: str) -> None:
    found = faults_in(held(how))
    assert has(found, Severity.ERROR, f"conditions.starter.crank.{key}", message), found


def test_what_is_spoken_ahead_of_a_change_needs_one() -> None:
    found = faults_in(small("one: {before: wait, do: look, then: last}\n" + END))
    message = "'before' is spoken ahead of a change, and nothing is changed here; add 'needs:'"
    assert has(found, Severity.ERROR, "steps.one.before", message), found
    text = small("one: {needs: {key: off}, before: wait a bit., do: look, then: last}\n" + END)
    assert good(text).steps["one"].before == "wait a bit"
