"""Limits by tables, facts, earlier readings: what they need, and whether it is there in time."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import PASS, Kind, SourceKind

BATTERY = "battery: {measure: voltage of the battery, accept: 12 V to 13 V, fail: weak}\n"
END = "last: {do: look, then: fine}\n"


def by_key(rows: str) -> str:
    """A step whose limit goes by the key."""
    return f"""one:
  needs: {{key: run}}
  measure: voltage
  accept:
    by: key
    table: {{{rows}}}
  fail: weak
  then: fine
"""


# --- tables ---


def test_a_table_may_go_by_a_condition() -> None:
    table = (
        good(small(BATTERY + by_key("off: at most 1 V, run: at least battery - 1 V")))
        .step("one")
        .table
    )
    assert table is not None
    assert (table.by, table.conditional) == ("key", True)
    assert table.names == {"battery"}
    assert [row.key for row in table.rows] == ["off", "run"]


def test_a_table_may_go_by_the_answer_to_a_question() -> None:
    text = small("""which:
  ask: is it long
  answers: {yes: one, no: one}
one:
  measure: resistance
  accept:
    by: which
    table: {yes: at most 2 Ω, no: at most 1 Ω}
  fail: weak
  then: fine
""")
    table = good(text).step("one").table
    assert table is not None
    # the session knows the answers of every language by these names
    assert [row.key for row in table.rows] == ["affirm", "negative"]


def test_a_table_may_go_by_an_earlier_value() -> None:
    text = small("""air: {measure: temperature of the air, unit: °C}
one:
  measure: voltage
  accept:
    by: air
    table: {at most 0 °C: at least 10 V, 0 °C to 60 °C: at least 11 V}
  fail: weak
  then: fine
""")
    table = good(text).step("one").table
    assert table is not None
    assert not table.conditional
    picked = table.pick(Quantity.parse("20 °C"))
    assert picked is not None
    assert picked.text == "at least 11 V"


def test_a_missing_row_is_warned_of() -> None:
    found = faults_in(small(by_key("run: at least 11 V")))
    assert has(found, Severity.WARNING, "steps.one.accept.table", "no row for the state 'off'")


@pytest.mark.parametrize(
    ("old", "new", "path", "message"),
    [
        ("run:", "ran:", "table.ran", "'key' has no state 'ran'; did you mean 'run'?"),
        ("by: key", "by: kee", "by", "no condition, question or value 'kee'; did you mean 'key'?"),
        ("at least 11 V", "at least 11 A", "table.run", "this is a current"),
        ("at least 11 V", "eleven", "table.run", "write it like"),
    ],
)
def test_a_table_that_cannot_be_used_is_a_fault(
    old: str, new: str, path: str, message: str
) -> None:
    text = small(by_key("off: at most 1 V, run: at least 11 V").replace(old, new, 1))
    found = faults_in(text)
    assert has(found, Severity.ERROR, f"steps.one.accept.{path}", message), found


def test_rows_of_values_must_be_of_the_kind_they_go_by() -> None:
    text = small("""air: {measure: temperature of the air, unit: °C}
one:
  measure: voltage
  accept: {by: air, table: {at most 5 V: at least 10 V}}
  fail: weak
  then: fine
""")
    found = faults_in(text)
    assert has(
        found, Severity.ERROR, "steps.one.accept.table.at most 5 V", "'air' is a temperature"
    )


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("at most ten: at least 10 V", "depends on ten"),
        ("5 °C to 0 °C: at least 10 V", "swap its ends"),
        ("warm °C: at least 10 V", "write it like"),
        ("at most air: at least 10 V", "give it fixed values"),
        ("at most 0 °C: lots", "write it like"),
    ],
)
def test_a_row_of_values_that_cannot_be_read_is_a_fault(row: str, message: str) -> None:
    text = small(f"""air: {{measure: temperature of the air, unit: °C}}
one:
  measure: voltage
  accept: {{by: air, table: {{{row}}}}}
  fail: weak
  then: fine
""")
    place = f"steps.one.accept.table.{row.partition(':')[0]}"
    assert has(faults_in(text), Severity.ERROR, place, message), faults_in(text)


def test_a_table_by_what_is_a_step_and_a_condition_is_a_fault() -> None:
    text = small("key: {do: look}\n" + by_key("off: at most 1 V, run: at least 11 V"))
    found = faults_in(text)
    assert has(
        found, Severity.ERROR, "steps.one.accept.by", "is a step and a condition; rename one"
    )


def test_a_table_needs_a_way_for_each_end_that_a_row_has() -> None:
    text = by_key("off: at most 1 V, run: at least 11 V").replace("  fail: weak", "  low: weak")
    assert has(faults_in(small(text)), Severity.ERROR, "steps.one", "a reading that is high")


def test_the_state_that_a_table_goes_by_must_be_known() -> None:
    text = small(
        by_key("off: at most 1 V, run: at least 11 V").replace("  needs: {key: run}\n", "")
    )
    found = faults_in(text)
    assert has(found, Severity.ERROR, "steps.one.accept", "the state of 'key' not known")


def test_the_question_that_a_table_goes_by_must_be_asked_on_every_path() -> None:
    text = small("""first:
  ask: shall we ask
  answers: {yes: which, no: one}
which:
  ask: is it long
  answers: {yes: one, no: one}
one:
  measure: resistance
  accept: {by: which, table: {yes: at most 2 Ω, no: at most 1 Ω}}
  fail: weak
  then: fine
""")
    found = faults_in(text)
    assert has(found, Severity.ERROR, "steps.one.accept", "without asking 'which'")


# --- names ---


@pytest.mark.parametrize(
    ("limit", "message"),
    [
        ("at most one", "the limit needs the step's own reading, 'one'"),
        ("at most batery", "'batery' in the limit is not measured by any step; did you mean"),
        ("at most glow + 1 V", "'glow' in the limit is a step that gives no value"),
        ("at most battery * 2 A", "this is a power, and the step reads a voltage"),
        ("at most battery + 1 A", "use the same kind of unit on both sides"),
        ("battery to 2 A", "this is a current, and the step reads a voltage"),
    ],
)
def test_a_name_in_a_limit_must_be_an_earlier_value(limit: str, message: str) -> None:
    glow = "glow: {lamp: there, fail: weak}\n"
    one = f"one: {{measure: voltage, unit: V, accept: {limit}, fail: weak, then: fine}}"
    found = faults_in(small(BATTERY + glow + one))
    assert has(found, Severity.ERROR, "steps.one.accept", message), found


def test_a_formula_needs_earlier_values_too() -> None:
    found = faults_in(small("one: {compute: batery - 1 V, then: fine}"))
    assert has(
        found, Severity.ERROR, "steps.one.compute", "'batery' in the formula is not measured"
    )


FORK = """first:
  ask: is there a battery
  answers: {yes: battery, no: one}
battery: {measure: voltage, accept: 12 V to 13 V, fail: weak}
"""


@pytest.mark.parametrize(
    ("written", "place", "what"),
    [
        ("measure: voltage, accept: at most battery, fail: weak", "accept", "limit"),
        ("compute: battery - 1 V", "compute", "formula"),
        (
            "sweep: voltage, accept: {direction: falling, start: at most battery}, fail: weak",
            "accept",
            "limit",
        ),
        (
            "needs: {plug: in}, measure: voltage, accept: 1 V to 2 V, fail: weak, "
            "if-forgotten: {plug: at least battery}",
            "accept",
            "limit",
        ),
    ],
)
def test_every_path_must_have_taken_what_is_needed(written: str, place: str, what: str) -> None:
    found = faults_in(small(f"{FORK}one: {{{written}, then: fine}}"))
    message = f"without measuring 'battery', which the {what} needs"
    assert has(found, Severity.ERROR, f"steps.one.{place}", message), found


def test_a_meter_that_showed_over_range_gave_no_value() -> None:
    text = small("""coil: {measure: resistance of the coil, unit: Ω, over: one}
one: {measure: resistance, accept: at most coil, high: weak, then: fine}""")
    assert has(faults_in(text), Severity.ERROR, "steps.one.accept", "without measuring 'coil'")


def test_a_step_that_is_skipped_on_purpose_gave_no_value() -> None:
    text = small(
        BATTERY.replace("fail:", "skip: one, fail:")
        + "one: {measure: voltage, accept: at most battery, high: weak, then: fine}"
    )
    assert has(faults_in(text), Severity.ERROR, "steps.one.accept", "without measuring 'battery'")


# --- facts ---

FACTS = """facts:
  supply: {say: the nominal supply voltage, unit: V, value: 12 V}
  rated: {say: the current on the label, unit: A, source: maker's data the label}
"""


def test_a_fact_without_a_value_is_asked_for_before_the_first_step() -> None:
    one = "one: {measure: current, accept: at most rated, high: weak, then: fine}"
    procedure = good(small(one, head=FACTS))
    asked = procedure.step("rated")
    assert procedure.first == "rated"
    assert (asked.kind, asked.text, str(asked.unit)) == (
        Kind.MEASURE,
        "the current on the label",
        "A",
    )
    assert (asked.fact, asked.limit, dict(asked.routes)) == ("rated", None, {PASS: "one"})
    assert procedure.facts["rated"].source.kind is SourceKind.MAKER
    assert "supply" not in procedure.steps
    assert procedure.facts["supply"].value == Quantity.parse("12 V")


def test_facts_are_asked_for_one_after_another() -> None:
    procedure = good(
        small("one: {lamp: there, fail: weak, then: fine}", head=FACTS.replace(", value: 12 V", ""))
    )
    assert [procedure.step(name).routes[PASS] for name in ("supply", "rated")] == ["rated", "one"]


def test_facts_stand_in_limits_and_formulas() -> None:
    steps = """half: {compute: supply * 0.5}
one: {measure: voltage, accept: at least 90 % of supply, low: weak, then: fine}"""
    assert good(small(steps, head=FACTS)).step("one").names == {"supply"}


def test_wire_can_be_told_by_facts() -> None:
    head = """facts:
  size: {say: the cross-section of the wire, unit: mm², value: 2.5 mm²}
  long: {say: the length of the wire, unit: m, value: 6 m}
"""
    limit = "'at most wire-drop(long, size, 10 A)'"
    one = f"one: {{measure: voltage, accept: {limit}, high: weak, then: fine}}"
    assert good(small(one, head=head)).step("one").names == {"size", "long"}


@pytest.mark.parametrize(
    ("fact", "path", "message"),
    [
        ("{say: x, unit: V, value: 12 A}", "facts.a.value", "use the same kind of unit"),
        ("{say: x, unit: volts}", "facts.a.unit", "'volts' is not a known unit"),
        ("{say: x, unit: mm²}", "facts.a", "cannot be spoken; give it a 'value:'"),
        ("{say: x, unit: V, source: my uncle}", "facts.a.source", "is no source"),
        ("{say: x}", "facts.a", "a fact needs its 'unit:', or the 'words:'"),
    ],
)
def test_a_fact_that_cannot_be_used_is_a_fault(fact: str, path: str, message: str) -> None:
    found = faults_in(small(END, head=f"facts: {{a: {fact}}}"))
    assert has(found, Severity.ERROR, path, message), found


def test_no_step_may_lead_to_a_fact() -> None:
    text = small("one: {lamp: there, fail: rated, then: fine}", head=FACTS)
    assert has(faults_in(text), Severity.ERROR, "steps.one.fail", "'rated' is a fact")


def test_a_fact_and_a_step_may_not_share_a_name() -> None:
    text = small("rated: {lamp: there, fail: weak, then: fine}", head=FACTS)
    assert has(faults_in(text), Severity.ERROR, "facts.rated", "a step is called 'rated' too")


# --- what stands beside a limit ---


def test_what_is_plausible_should_hold_the_limit() -> None:
    text = small(
        f"one: {{measure: voltage, accept: 1 V to 5 V, plausible: 2 V to 9 V, fail: weak}}\n{END}"
    )
    found = faults_in(text)
    assert has(found, Severity.WARNING, "steps.one.plausible", "2 V to 9 V does not hold the limit")


def test_a_lookalike_that_would_pass_is_warned_of() -> None:
    text = small("""one:
  needs: {plug: in}
  measure: voltage
  accept: at most 5 V
  if-forgotten: {plug: at most 0.5 V}
  high: weak
  then: fine""")
    found = faults_in(text)
    assert has(found, Severity.WARNING, "steps.one.if-forgotten.plug", "a reading that passes")


@pytest.mark.parametrize(
    ("needs", "message"),
    [("{key: run}", "the step does not need 'plug'"), ("{plug: in}", "this is a current")],
)
def test_a_lookalike_is_of_a_condition_that_the_step_needs(needs: str, message: str) -> None:
    limit = "at most 0.5 A" if "plug" in needs else "at most 0.5 V"
    text = small(f"""one:
  needs: {needs}
  measure: voltage
  accept: 2 V to 5 V
  if-forgotten: {{plug: {limit}}}
  fail: weak
  then: fine""")
    assert has(faults_in(text), Severity.ERROR, "steps.one.if-forgotten.plug", message)


@pytest.mark.parametrize(
    ("text", "limit", "quantity"),
    [
        ("voltage on the wire", "at most 1 A", "current"),
        ("current in the wire", "at most 1 V", "voltage"),
        ("resistance of the coil", "at most 1 V", "voltage"),
        ("the frequency of the signal", "at most 1 V", "voltage"),
        ("temperature of the air", "at most 1 Ω", "resistance"),
    ],
)
def test_words_that_contradict_the_limit_are_a_fault(text: str, limit: str, quantity: str) -> None:
    found = faults_in(small(f"one: {{measure: {text}, accept: {limit}, fail: weak}}\n{END}"))
    assert has(found, Severity.ERROR, "steps.one.measure", f"is for a {quantity}; mend one of them")


def test_a_voltage_at_a_current_sensor_is_no_contradiction() -> None:
    text = "one: {measure: voltage at the current sensor, accept: at most 1 V, fail: weak}\n"
    assert good(small(text + END))


# --- bands of readings that fail ---

BANDED = (
    "one: {measure: voltage there, accept: at least 11 V, bands: {BAND}, low: weak, then: fine}"
)


def test_a_band_is_a_way_of_its_own() -> None:
    step = good(small(BANDED.replace("BAND", "at most 1 V: fine"))).step("one")
    assert step.routes["at most 1 V"] == "fine"
    assert list(step.bands) == ["at most 1 V"]


@pytest.mark.parametrize(
    ("band", "path", "message"),
    [
        ("at most 1 V: weaker", "steps.one.bands.at most 1 V", "no step or finding 'weaker'"),
        ("at most 1 A: weak", "steps.one.bands.at most 1 A",
         "this is a current, and the step reads a voltage"),
        ("at most x: weak", "steps.one.bands.at most x", "'x'"),
        ("at least 12 V: weak", "steps.one.bands.at least 12 V",
         "every reading within it passes, so it leads nowhere"),
    ],
)  # fmt: skip
def test_a_band_that_cannot_be_is_a_fault(band: str, path: str, message: str) -> None:
    found = faults_in(small(BANDED.replace("BAND", band)))
    assert has(found, Severity.ERROR, path, message), found


def test_a_band_needs_a_limit() -> None:
    text = small("one: {measure: voltage there, unit: V, bands: {at most 1 V: weak}, then: fine}")
    assert has(faults_in(text), Severity.ERROR, "steps.one.bands", "without a limit in 'accept'")
