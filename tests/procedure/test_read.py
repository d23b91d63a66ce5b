"""Reading procedure files: what they can say, and every fault at once."""

import pytest
from small_files import faults_in, small

from voiceassist.procedure.faults import ProcedureFaultsError, Severity
from voiceassist.procedure.model import Kind, Procedure, Signal
from voiceassist.procedure.read import inspect, read_procedure

SMALL = """\
procedure: small
title: Lamp does not light
for: an invented trailer
points: {feed pin: pin one}
conditions:
  key: {off: turn the key off, run: turn the key to run}
cautions:
  hot: {signal: CAUTION, hazard: the lamp is hot, avoid: let it cool}
  gas: {signal: DANGER, hazard: gas explodes, avoid: keep sparks away}
steps:
  supply:
    measure: voltage at the feed pin
    needs: {key: run}
    caution: [hot, gas]
    accept: 12.0 V to 12.9 V
    fail: weak
  glow:
    lamp: at the feed pin
    off: weak
    dim: weak
    then: fine
findings:
  weak: {cause: no supply, correction: mend it}
  fine: {cause: nothing found, correction: none}
"""


def faults(text: str) -> list[str]:
    return [str(fault) for fault in inspect(text)[1]]


def good(text: str) -> Procedure:
    procedure, found = inspect(text)
    assert not found
    assert procedure is not None
    return procedure


def changed(old: str, new: str) -> str:
    assert old in SMALL
    return SMALL.replace(old, new)


def test_a_small_procedure_is_read_whole() -> None:
    procedure = good(SMALL)
    supply = procedure.step("supply")
    assert procedure.first == "supply"
    assert supply.kind is Kind.MEASURE
    assert supply.unit is not None
    assert supply.unit.symbol == "V"
    assert supply.routes == {"pass": "glow", "fail": "weak"}
    assert [point.where for point in supply.points] == ["pin one"]
    assert supply.needs[0].instruction == "turn the key to run"


def test_the_gravest_caution_comes_first() -> None:
    signals = [caution.signal for caution in good(SMALL).step("supply").cautions]
    assert signals == [Signal.DANGER, Signal.CAUTION]


def test_on_off_and_numbers_stay_the_words_they_were_written_as() -> None:
    procedure = good(changed("title: Lamp does not light", "title: 12.60"))
    assert procedure.title == "12.60"
    assert procedure.step("glow").routes["off"] == "weak"


@pytest.mark.parametrize(
    ("old", "new", "line", "message"),
    [
        ("title:", "titel:", 2, "'titel' is not a key here; did you mean 'title'?"),
        ("    lamp: at", "    lam: at", 18, "'lam' is not a key here; did you mean 'lamp'?"),
        ("{key: run}", "{kee: run}", 13, "there is no condition 'kee'; did you mean 'key'?"),
        ("{key: run}", "{key: ran}", 13, "'key' has no state 'ran'; did you mean 'run'?"),
        ("[hot, gas]", "[hott]", 14, "there is no caution 'hott'; did you mean 'hot'?"),
        ("12.0 V to 12.9 V", "12.9 V to 12.0 V", 15, "swap its ends"),
        ("12.0 V to 12.9 V", "12.0 V to 12.9 A", 15, "current"),
        ("12.0 V to 12.9 V", "about twelve", 15, "write it like"),
        ("12.0 V to 12.9 V", "batery - 1 V to 13 V", 15, "'batery' in the limit is not measured"),
        ("fail: weak", "fail: week", 16, "no step or finding 'week'; did you mean 'weak'?"),
        ("    fail: weak\n", "    low: weak\n", 11, "a reading that is high leads nowhere"),
        ("    then: fine\n", "", 17, "the last step leads nowhere after a pass"),
        ("    dim: weak\n", "", 17, "a reading that is dim leads nowhere"),
        ("signal: DANGER", "signal: PERIL", 9, "'PERIL' is not one of 'DANGER', 'WARNING'"),
        ("correction: mend it", "cure: mend it", 23, "'correction' is missing; add it"),
        ("  glow:", "  Glow Lamp:", 17, "'Glow Lamp' is not a name"),
        ("measure:", "ask: x\n    measure:", 11, "do and use; found measure and ask"),
        ("  fine:", "  glow:", 24, "a step is called 'glow' too"),
        ("then: fine", "then: supply", 11, "may never end: supply → glow → supply"),
        ("procedure: small", "procedure: [small]", 1, "text is wanted here, found a list"),
        ("title: Lamp does not light", "title:", 2, "this is empty"),
    ],
)  # fmt: skip
def test_a_fault_is_named_with_its_line_and_what_would_do(
    old: str, new: str, line: int, message: str
) -> None:
    procedure, found = inspect(changed(old, new))
    assert procedure is None
    assert any(f.line == line and message in f.message for f in found), [str(f) for f in found]


def test_ten_different_faults_are_reported_in_one_go() -> None:
    text = SMALL
    for old, new in [
        ("procedure: small", "procedure: Small One"),
        ("title:", "titel:"),
        ("signal: DANGER", "signal: PERIL"),
        ("needs: {key: run}", "needs: {kee: run}"),
        ("caution: [hot, gas]", "caution: [hot, gass]"),
        ("12.0 V to 12.9 V", "12.0 V to 12.9 A"),
        ("fail: weak", "fail: week"),
        ("    dim: weak\n", "    dims: weak\n"),
        ("then: fine", "then: fein"),
        ("correction: mend it", "cure: mend it"),
    ]:
        assert old in text
        text = text.replace(old, new)
    procedure, found = inspect(text)
    assert procedure is None
    lines = {fault.line for fault in found}
    assert lines >= {1, 2, 9, 13, 14, 15, 16, 20, 21, 23}


def test_a_limit_may_not_need_a_reading_that_a_path_leaves_out() -> None:
    text = SMALL.replace(
        "steps:\n",
        "steps:\n  which:\n    ask: long or short\n    answers: {long: supply, short: load}\n",
    ).replace(
        "  glow:\n",
        "  load:\n    measure: voltage under load\n    accept: at least supply - 1 V\n"
        "    low: weak\n  glow:\n",
    )
    assert any("without measuring 'supply'" in fault for fault in faults(text))


def test_a_step_that_no_path_reaches_is_a_warning_only() -> None:
    text = changed("    then: fine\n", "    then: fine\n  lost:\n    do: nothing\n    then: fine\n")
    procedure, found = inspect(text)
    assert procedure is not None
    assert [(f.level, f.path) for f in found] == [(Severity.WARNING, "steps.lost")]


def test_an_answer_must_be_sayable() -> None:
    text = SMALL.replace(
        "steps:\n", "steps:\n  which:\n    ask: x\n    answers: {size 2: supply, yes: supply}\n"
    )
    assert any("'size 2' cannot be said as it is" in fault for fault in faults(text))


def test_answers_may_be_said_in_several_ways() -> None:
    text = SMALL.replace(
        "steps:\n",
        "steps:\n  which:\n    ask: does it run\n    answers:\n"
        "      runs: {say: [runs, it runs], go: supply}\n      no: supply\n",
    )
    replies = good(text).step("which").replies
    assert [(reply.name, reply.phrases) for reply in replies] == [
        ("runs", ("runs", "it runs")),
        ("negative", ()),
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "this holds no procedure"),
        ("[1, 2", "this is not YAML"),
        ("just words", "this holds no procedure"),
        ("a: &x [1]\nb: *x\n", "aliases"),
        ("a: !!python/object/apply:os.system [ls]\n", "the tag"),
        ("a: !mine 3\n", "the tag !mine"),
        ("procedure: a\nprocedure: b\n", "stands here twice"),
        ("a: \x00", "this is not YAML"),
        ("? [a]\n: b\n", "a name here must be plain text"),
        ("--- {a: b}\n--- {c: d}\n", "this is not YAML"),
        ("[" * 900_000, "nested more than 20 deep"),
    ],
)
def test_what_is_not_a_procedure_is_refused_in_a_sentence(text: str, message: str) -> None:
    procedure, found = inspect(text)
    assert procedure is None
    assert any(message in fault.message for fault in found), [str(f) for f in found]


def test_a_file_that_swells_when_read_is_refused_at_once() -> None:
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join(['*' + chr(97 + i)] * 9)}]\n" for i in range(9)
    )
    assert any("aliases" in fault for fault in faults(bomb))
    assert any("too many" in fault for fault in faults("a: " + "b" * 1_000_001))


def test_the_error_lists_every_fault_after_the_file_name() -> None:
    text = changed("fail: weak", "fail: week").replace("then: fine", "then: fein")
    with pytest.raises(ProcedureFaultsError) as caught:
        read_procedure(text, "small.yaml")
    lines = str(caught.value).splitlines()
    assert len(lines) == 2
    assert all(line.startswith("small.yaml: line ") for line in lines)


TEN = """\
procedure: spoilt
title: A file with ten mistakes
for: an invented trailer
source: a friend of mine
facts:
  supply: {say: the nominal voltage, unit: V, value: 12 A}
conditions:
  key: {off: turn the key off, run: turn the key to run}
before-changing:
  key: {plug: out}
steps:
  one:
    needs: {key: run}
    measure: current of the lamp
    accept: 11 V to 13 V
    fail: weak
  two:
    sweep: voltage while the control is turned up
    unit: V
    accept: {direction: sideways}
    fail: weak
  three:
    wait: a while
    for: soon
  four:
    measure: voltage
    accept:
      by: kee
      table: {off: at most 1 V}
    fail: weak
  five:
    compute: three + 1 V
  six:
    use: nothing-there
  seven:
    ask: is it bright
    answers: {yes: fine, affirm: weak, no: weak}
findings:
  weak: {cause: no supply, correction: mend it, condemns: lamp}
  fine: {cause: nothing found, correction: none}
"""


def test_ten_mistakes_of_other_kinds_are_all_told_with_their_lines() -> None:
    _, found = inspect(TEN)
    assert [(fault.line, fault.path) for fault in found] == [
        (4, "source"),
        (6, "facts.supply.value"),
        (10, "before-changing.key.plug"),
        (14, "steps.one.measure"),
        (20, "steps.two.accept.direction"),
        (24, "steps.three.for"),
        (28, "steps.four.accept.by"),
        (32, "steps.five.compute"),
        (34, "steps.six.use"),
        (37, "steps.seven.answers.affirm"),
        (39, "findings.weak.condemns"),
    ]


@pytest.mark.parametrize(
    ("steps", "path"),
    [
        ("one: {measure: '', unit: V, fail: weak, then: fine}", "steps.one.measure"),
        ("one: {measure: voltage, unit: [V], then: fine}", "steps.one.unit"),
        ("one: {lamp: there, fail: The Weak One, then: fine}", "steps.one.fail"),
        ("one: {lamp: there, fail: weak, then: The Fine One}", "steps.one.then"),
        ("one: {ask: is it bright, answers: [fine, weak]}", "steps.one.answers"),
        ("one: {wait: a while, for: [5 s], then: fine}", "steps.one.for"),
        ("one: {sweep: voltage, unit: V, accept: [a], fail: weak, then: fine}", "steps.one.accept"),
        ("one: {do: look, needs: [key], then: fine}", "steps.one.needs"),
    ],
)
def test_what_cannot_be_used_is_not_missed_as_well(steps: str, path: str) -> None:
    assert [path for _, path, _ in faults_in(small(steps))] == [path]


@pytest.mark.parametrize(
    "accept", ["{direction: up}", "{by: key}", "''", "{derection: falling, direction: falling}"]
)
def test_a_badly_written_limit_is_told_once(accept: str) -> None:
    kind = "measure: voltage at" if "by" in accept or accept == "''" else "sweep: voltage at"
    text = changed("12.0 V to 12.9 V", accept).replace("measure: voltage at", kind)
    found = [fault for fault in faults(text) if "accept" in fault]
    assert len(found) == 1, found
