"""Every kind of step, and the keys each takes."""

from decimal import Decimal

import pytest
from small_files import faults_in, good, has, small

from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepLimit
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import NEVER, Kind, Source, SourceKind, Step

END = "last: {do: look, then: fine}"
LAMP = "last: {lamp: there, fail: weak, then: fine}"
BATTERY = "battery: {measure: voltage of the battery, accept: 12 V to 13 V, fail: weak}\n"


def step(written: str, name: str = "one") -> Step:
    """The step in ``written``, after a battery reading."""
    return good(small(BATTERY + written)).step(name)


def test_a_sweep_tells_what_its_readings_must_do() -> None:
    sweep = step("""one:
  sweep: voltage on the wire while the control is turned up
  accept:
    direction: falling
    start: 8.0 V to 9.0 V
    end: 2.0 V to 3.0 V
    least: 4
    largest-step: 3 V
    smallest-step: 0.2 V
  fail: weak
  then: fine""")
    assert sweep.kind is Kind.SWEEP
    assert isinstance(sweep.sweep, SweepLimit)
    limit = sweep.sweep
    assert (limit.rising, limit.least) == (False, 4)
    assert (str(limit.largest_step), str(limit.smallest_step)) == ("3 V", "0.2 V")
    assert limit.start is not None
    assert limit.start.text == "8.0 V to 9.0 V"
    assert str(sweep.unit) == "V"


def test_a_sweep_without_ends_needs_a_unit() -> None:
    written = "one: {sweep: voltage, accept: {direction: rising}, fail: weak, then: fine}"
    assert has(faults_in(small(written)), Severity.ERROR, "steps.one", "a sweep needs a 'unit: V'")
    with_unit = written.replace("fail:", "unit: mV, fail:")
    assert str(good(small(with_unit)).step("one").unit) == "mV"


def test_a_count_is_of_times() -> None:
    count = step("one: {count: flashes, accept: at least 3 times, fail: weak, then: fine}")
    assert (count.kind, str(count.unit)) == (Kind.COUNT, "times")
    kept = step("one: {count: flashes, then: fine}")
    assert (kept.limit, str(kept.unit)) == (None, "times")


def test_a_computed_step_has_the_unit_of_its_formula() -> None:
    written = """\
current: {measure: current of the motor, unit: A}
one: {compute: battery / current, accept: at most 2 Ω, high: weak, then: fine}"""
    one = step(written)
    assert (one.kind, one.text, str(one.unit)) == (Kind.COMPUTE, "battery / current", "Ω")
    assert one.names == {"battery", "current"}
    kept = step("one: {compute: battery - 1 V, then: fine}")
    assert (kept.limit, str(kept.unit)) == (None, "V")


def test_a_computed_value_may_stand_in_a_later_limit() -> None:
    later = """\
drop: {compute: battery - 1 V}
one: {measure: voltage, accept: at most drop + 1 V, high: weak, then: fine}"""
    assert step(later).names == {"drop"}


@pytest.mark.parametrize(
    ("time", "seconds"), [("30 s", 30), ("20 min", 1200), ("1 h", 3600), ("1 h 30 min", 5400)]
)
def test_a_wait_has_a_time(time: str, seconds: int) -> None:
    wait = step(f"one: {{wait: the modules to fall asleep, for: {time}, then: fine}}")
    assert (wait.kind, wait.wait_s, wait.text) == (Kind.WAIT, seconds, "the modules to fall asleep")


@pytest.mark.parametrize("time", ["soon", "20", "0 s", "-5 min", "25 h", "1.5 h", "9999999 s"])
def test_a_time_that_cannot_be_waited_is_a_fault(time: str) -> None:
    text = small(f"one: {{wait: a while, for: {time}, then: fine}}")
    assert has(faults_in(text), Severity.ERROR, "steps.one.for", "write it like 30 s, 20 min")


def test_an_action_may_stand_outside_a_repair() -> None:
    do = step("one: {do: take the fuse out, fuse: 7.5 A, sets: {plug: out}, then: fine}")
    assert (do.kind, do.sets) == (Kind.DO, (("plug", "out"),))
    assert str(do.fuse) == "7.5 A"


def test_a_measurement_may_tell_all_there_is_to_know_of_it() -> None:
    one = step("""one:
  needs: {plug: in, key: run}
  measure: voltage on the wire
  accept: 8.0 V to 9.0 V
  plausible: 0 V to 15 V
  steady: 0.2 V
  source: standard ISO 11898-2
  source-resistance: 4.7 kΩ
  if-forgotten: {plug: at most 0.5 V}
  if-close: press the probe on harder
  picture: wire.svg
  skip: never
  fail: weak
  then: fine""")
    assert str(one.steady) == "0.2 V"
    assert one.source == Source(SourceKind.STANDARD, "ISO 11898-2")
    assert one.source_resistance is not None
    assert one.source_resistance.in_base == Decimal(4700)
    (lookalike,) = one.lookalikes
    assert (lookalike.need.condition, lookalike.need.state) == ("plug", "in")
    assert lookalike.limit.fill({}).holds(Quantity.parse("0.4 V"))
    assert (one.when_close, one.picture, one.skip) == (
        "press the probe on harder",
        "wire.svg",
        NEVER,
    )


def test_a_skipped_step_may_lead_elsewhere() -> None:
    text = "one: {do: look, skip: fine}\ntwo: {do: look again, then: weak}"
    assert good(small(text)).step("one").skip == "fine"


@pytest.mark.parametrize(
    ("written", "source"),
    [
        ("general rule of thumb", Source(SourceKind.RULE)),
        ("standard ISO 8820-3", Source(SourceKind.STANDARD, "ISO 8820-3")),
        ("maker's data, the label", Source(SourceKind.MAKER, "the label")),
        ("maker’s data; sheet 7", Source(SourceKind.MAKER, "sheet 7")),
    ],
)
def test_a_source_is_a_rule_a_standard_or_the_makers_own(written: str, source: Source) -> None:
    limit = "one: {measure: voltage, accept: at most 1 V, fail: weak, then: fine}"
    procedure = good(small(limit, head=f"source: {written}"))
    assert procedure.source == source
    assert procedure.step("one").source == source


# --- keys that do not belong ---


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("measure: voltage, unit: V, sets: {key: run}", "sets"),
        ("lamp: there, fail: weak, sets: {key: run}", "sets"),
        ("ask: does it light, answers: {yes: fine, no: weak}, sets: {key: run}", "sets"),
        ("identify: odometer, accept: bright", "accept"),
        ("ask: does it light, answers: {yes: fine, no: weak}, then: fine", "then"),
        ("ask: does it light, answers: {yes: fine, no: weak}, low: weak", "low"),
        ("measure: voltage, unit: V, answers: {yes: fine}", "answers"),
        ("measure: voltage, unit: V, dim: weak", "dim"),
        ("measure: voltage, unit: V, for: 20 s", "for"),
        ("measure: voltage, unit: V, go: {a: fine}", "go"),
        ("measure: voltage, unit: V, source: standard X", "source"),
        ("measure: voltage, unit: V, if-close: look", "if-close"),
        ("measure: voltage, unit: V, low: weak", "low"),
        ("compute: 1 V + 1 V, needs: {key: run}", "needs"),
        ("compute: 1 V + 1 V, unit: V", "unit"),
        ("wait: a while, for: 5 s, fail: weak", "fail"),
        ("do: look, accept: at most 1 V", "accept"),
        ("identify: vin, high: weak", "high"),
        ("count: flashes, over: weak", "over"),
        ("lamp: there, fail: weak, plausible: 0 V to 1 V", "plausible"),
    ],
)
def test_a_key_without_effect_is_a_fault(written: str, key: str) -> None:
    text = small(f"one: {{{written}}}\nlast: {{do: look, then: fine}}")
    found = faults_in(text)
    assert has(found, Severity.ERROR, f"steps.one.{key}", f"{key!r} has no effect"), found


@pytest.mark.parametrize(
    "written",
    [
        "measure: voltage, unit: V",
        "count: flashes",
        "lamp: there, fail: weak",
        "ask: does it light, answers: {yes: last, no: weak}",
        "identify: vin",
        "compute: 1 V + 1 V",
        "wait: a while, for: 5 s",
        "do: look",
    ],
)
def test_every_kind_may_tell_how_and_why(written: str) -> None:
    text = small(f"one: {{{written}, how: with care, why: to know}}\n{LAMP}")
    assert good(text).step("one").how == "with care"


def test_a_step_has_exactly_one_kind() -> None:
    both = faults_in(small("one: {measure: voltage, ask: what, unit: V, then: fine}"))
    assert has(both, Severity.ERROR, "steps.one", "do and use; found measure and ask")
    none = faults_in(small("one: {how: with care, then: fine}"))
    assert has(none, Severity.ERROR, "steps.one", "do and use; found none of them")


@pytest.mark.parametrize(
    ("key", "value", "message"),
    [
        ("steady", "5 A", "this is a current, and the step reads a voltage"),
        ("steady", "0 V", "0 V is not above zero"),
        ("plausible", "0 A to 5 A", "this is a current, and the step reads a voltage"),
        ("plausible", "at most 5 V", "give two plain values"),
        ("source-resistance", "5 V", "5 V is a voltage; give a resistance"),
        ("fuse", "5 V", "5 V is a voltage; give a current"),
        ("fuse", "big", "'big' is not a number with a unit"),
        ("picture", "../wire.svg", "is no picture beside this file"),
        ("picture", "wire.exe", "is no picture beside this file"),
        ("source", "a friend", 'begin with "general rule of thumb" or "standard"'),
        ("source", "standard", "the name of the standard is missing"),
        ("unit", "A", "use the same kind of unit"),
        ("unit", "mm", "a reading in mm cannot be spoken"),
        ("skip", "nowhere", "no step or finding 'nowhere'"),
    ],
)
def test_a_value_beside_a_limit_must_go_with_it(key: str, value: str, message: str) -> None:
    text = small(
        f"one: {{measure: voltage, accept: 1 V to 5 V, fail: weak, {key}: {value}}}\n{END}"
    )
    found = faults_in(text)
    place = "steps.one.accept" if (key, value) == ("unit", "A") else f"steps.one.{key}"
    assert has(found, Severity.ERROR, place, message), found


def test_a_source_resistance_is_for_voltages_only() -> None:
    written = "measure: current, accept: at most 1 A, fail: weak, source-resistance: 1 kΩ"
    found = faults_in(small(f"one: {{{written}}}\n{END}"))
    assert has(found, Severity.ERROR, "steps.one.source-resistance", "for a voltage")


def test_makers_data_without_a_document_is_warned_of() -> None:
    written = "measure: voltage, accept: at most 1 V, fail: weak, source: maker's data"
    found = faults_in(small(f"one: {{{written}}}\n{END}"))
    assert has(found, Severity.WARNING, "steps.one.source", "tell which document")


def test_a_unit_may_stand_beside_a_limit_of_its_kind() -> None:
    text = small(f"one: {{measure: voltage, accept: at most 1 V, unit: mV, fail: weak}}\n{END}")
    assert str(good(text).step("one").unit) == "mV"


def test_a_reading_that_must_be_steady_needs_a_way_for_one_that_is_not() -> None:
    text = small(f"one: {{measure: voltage, unit: V, steady: 0.2 V}}\n{END}")
    assert has(faults_in(text), Severity.ERROR, "steps.one", "a reading that wanders leads nowhere")


@pytest.mark.parametrize(
    ("written", "accept", "message"),
    [
        ("measure: voltage", "[1 V, 2 V]", "this step has one limit"),
        ("measure: voltage", "{direction: falling}", "this step has one limit"),
        ("lamp: there", "{direction: falling}", "a lamp step accepts lamp states"),
        ("lamp: there", "brigth", "'brigth' is no lamp state; did you mean 'bright'?"),
        ("sweep: voltage, unit: V", "1 V to 5 V", "a sweep accepts a block"),
    ],
)
def test_each_kind_accepts_its_own_form(written: str, accept: str, message: str) -> None:
    text = small(f"one: {{{written}, accept: {accept}, fail: weak}}\n{END}")
    assert has(faults_in(text), Severity.ERROR, "steps.one.accept", message)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("measure: voltage", "a measurement needs a limit"),
        ("sweep: voltage, unit: V, fail: weak", "a sweep needs 'accept:'"),
        ("ask: what is it like", "a question needs 'answers:'"),
        ("wait: a while", "a waiting step needs its time"),
    ],
)
def test_what_a_kind_cannot_do_without_is_missed(written: str, message: str) -> None:
    found = faults_in(small(f"one: {{{written}}}\n{END}"))
    assert has(found, Severity.ERROR, "steps.one", message), found
