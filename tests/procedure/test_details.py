"""What a step takes and what is known of its test points: kept as data, and refused when wrong."""

import re
from pathlib import Path
from textwrap import dedent

import pytest
from small_files import faults_in, good, has, small

from voiceassist.circuit.colours import COLOURS
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import Details, Point

STEP = "one: {{measure: voltage at the lamp, accept: at least 11 V, fail: weak, then: fine, {}}}"


def details(written: str) -> Details:
    return good(small(STEP.format(written))).step("one").details


def errors(written: str, path: str, words: str) -> bool:
    return has(faults_in(small(STEP.format(written))), Severity.ERROR, f"steps.one.{path}", words)


@pytest.mark.parametrize(
    ("written", "seconds"), [("2 min", 120), ("45 s", 45), ("1 h 30 min", 5400)]
)
def test_effort_is_a_length_of_time(written: str, seconds: int) -> None:
    assert details(f"effort: {written}").effort_s == seconds


def test_a_step_that_tells_nothing_has_no_details() -> None:
    assert details("why: it must light") == Details()


def test_access_tools_and_parts_are_one_or_more() -> None:
    told = details("opens: door trim, tools: [trim wedge, torx 20], parts: [seal, four clips]")
    assert told.opens == ("door trim",)
    assert told.tools == ("trim wedge", "torx 20")
    assert told.parts == ("seal", "four clips")
    assert details("opens: [glove box, duct]").opens == ("glove box", "duct")


def test_a_torque_is_a_value_or_a_range_in_newton_metres() -> None:
    # N·m is the SI's unit of the moment of force: SI Brochure, 9th edition, table 5, from memory
    (one,) = details("torque: 9 N·m").torques
    assert (one.what, one.limit.low, one.limit.high) == (
        "",
        Quantity.parse("9 N·m"),
        Quantity.parse("9 N·m"),
    )
    (ranged,) = details("torque: 8 Nm to 10 Nm").torques
    assert (str(ranged.limit.low), str(ranged.limit.high)) == ("8 N·m", "10 N·m")
    each = details("torque: {module screws: 2 N·m, earth bolt: at least 9 N·m}").torques
    assert [one.what for one in each] == ["module screws", "earth bolt"]
    assert each[1].limit.high is None


@pytest.mark.parametrize(
    ("written", "path", "words"),
    [
        ("effort: quick", "effort", "'quick' is no length of time; write it like 30 s, 20 min"),
        ("effort: 0 min", "effort", "'0 min' is no length of time"),
        ("effort: 2.5 min", "effort", "'2.5 min' is no length of time"),
        ("torque: 9 V", "torque", "'9 V' is a voltage, not a torque; write it like 9 N·m"),
        ("torque: 9", "torque", "'9' is not a number with a unit"),
        ("torque: -9 N·m", "torque", "'-9 N·m' is not above zero"),
        ("torque: {bolt: tight}", "torque.bolt", "'tight' is not a number with a unit"),
        ("torque: [9 N·m]", "torque", "a torque, or a block of what is tightened"),
        ("opens: {door: trim}", "opens", "text or a list is wanted here"),
        ("torque: {}", "torque", "this is empty; fill it in"),
        ("tools: []", "tools", "this is empty; fill it in"),
        ("opens: []", "opens", "this is empty; fill it in"),
        ("tools: wedge", "tools", "a list is wanted here"),
        ("tool: [wedge]", "tool", "'tool' is not a key here; did you mean 'tools'?"),
    ],
)
def test_a_wrong_detail_is_told_with_what_would_do(written: str, path: str, words: str) -> None:
    assert errors(written, path, words), faults_in(small(STEP.format(written)))


def test_a_sum_takes_no_tools() -> None:
    file = small(
        "one: {measure: voltage, unit: V}\n"
        "two: {compute: one - 1 V, effort: 2 min, accept: at least 1 V, fail: weak, then: fine}"
    )
    assert has(faults_in(file), Severity.ERROR, "steps.two.effort", "has no effect in a step with")


# --- test points ---

POINTS = "points:\n  lamp feed: {{{}}}"
AT = "one: {measure: voltage at the lamp feed, accept: at least 11 V, fail: weak, then: fine}"
WHOLE = "where: the brown wire, connector: lamp plug, pin: 1, wire: BN, size: 1.5 mm²"


def point(written: str) -> Point:
    return good(small(AT, head=POINTS.format(written))).step("one").points[0]


def test_a_point_can_tell_its_connector_pin_and_wire() -> None:
    assert point(WHOLE) == Point("lamp feed", "the brown wire", "lamp plug", "1", "BN", "1.5 mm²")
    assert point("where: the brown wire") == Point("lamp feed", "the brown wire")
    assert point("where: there, connector: plug, pin: A4").pin == "A4"


@pytest.mark.parametrize(
    ("written", "path", "words"),
    [
        ("connector: plug", "points.lamp feed", "'where' is missing; add it"),
        ("where: there, wire: brown", "points.lamp feed.wire", "is not a wire colour; use one"),
        ("where: there, wire: BNRDGN", "points.lamp feed.wire", "is not a wire colour"),
        ("where: there, pin: 1", "points.lamp feed.pin", "pin 1 is told without its connector"),
        ("where: there, size: 2 m", "points.lamp feed.size", "'2 m' is no cross-section; write"),
        ("where: there, size: thick", "points.lamp feed.size", "'thick' is no cross-section"),
        ("where: there, colour: BN", "points.lamp feed.colour", "'colour' is not a key here"),
    ],
)
def test_a_wrong_point_is_told_with_what_would_do(written: str, path: str, words: str) -> None:
    faults = faults_in(small(AT, head=POINTS.format(written)))
    assert has(faults, Severity.ERROR, path, words), faults


CIRCUIT = """
circuit:
  at-first: {key: off, plug: in}
  parts:
    battery: {battery: 12.6 V, from: plus post, to: frame}
    brown wire: {wire: 2 m, size: 1.5 mm², from: plus post, to: lamp feed}
    lamp: {lamp: 5 W, voltage: 12 V, from: lamp feed, to: frame, behind: plug}
  plugs:
    plug: {pins: [lamp feed], closed-when: {plug: in}}
"""


def test_what_a_point_does_not_tell_the_circuit_does() -> None:
    at = AT.replace("at the lamp feed", "from the lamp feed to frame")
    one = good(small(at, head=POINTS.format("where: there")) + CIRCUIT).step("one").points[0]
    assert (one.connector, one.colour, one.size) == ("plug", "BN", "1.5 mm²")
    own = POINTS.format("where: there, connector: grey plug, wire: RDBN")
    told = good(small(at, head=own) + CIRCUIT).step("one").points[0]
    assert (told.connector, told.colour, told.size) == ("grey plug", "RDBN", "")


def test_where_wires_of_two_colours_meet_none_is_told() -> None:
    at = AT.replace("at the lamp feed", "from the lamp feed to frame")
    more = "    red wire: {wire: 1 m, size: 1.5 mm², from: lamp feed, to: frame}\n"
    circuit = CIRCUIT.replace("  plugs:", f"{more}  plugs:")
    one = good(small(at, head=POINTS.format("where: there")) + circuit).step("one").points[0]
    assert one.colour == ""


def test_the_earth_that_a_wire_ends_at_has_no_colour_of_its_own() -> None:
    at = AT.replace("at the lamp feed", "from the lamp feed to frame")
    brown = "    white wire: {wire: 1 m, size: 1.5 mm², from: lamp earth, to: frame}\n"
    circuit = CIRCUIT.replace("from: lamp feed, to: frame", "from: lamp feed, to: lamp earth")
    head = POINTS.format("where: there") + "\n  frame: bare metal"
    found = good(small(at, head=head) + circuit.replace("  plugs:", f"{brown}  plugs:"))
    assert [(p.name, p.colour) for p in found.step("one").points] == [
        ("lamp feed", "BN"),
        ("frame", ""),
    ]


# --- the guide ---

GUIDE = (Path(__file__).parents[2] / "procedures" / "WRITING.md").read_text(encoding="utf-8")
PART = GUIDE.split("### Pins, wires and tools")[1].split("\n### ")[0]


def test_the_examples_of_the_guide_load_and_tell_what_it_says() -> None:
    head, step = re.findall(r"```yaml-part\n(.*?)```", PART, re.DOTALL)
    at = AT.replace("at the lamp feed", "from the feed pin to the stripe pin")
    repairs = {"head": head, "repairs": dedent(step)}
    lamp = "lamp: {cause: open, correction: change it, repair: [fit-module], prove-with: [one]}"
    found = good(
        small(at.replace("then: fine", "over: fine, then: lamp"), findings=lamp, **repairs)
    )
    assert [one.colour for one in found.step("one").points] == ["BN", "GNYE"]
    fit = found.step("fit-module").details
    assert fit.opens == ("glove box", "air duct")
    assert [str(one.limit.low) for one in fit.torques] == ["2 N·m", "8 N·m"]


def test_the_guide_lists_every_letter_of_a_colour() -> None:
    assert all(f"`{letters}` {word}" in PART for letters, word in COLOURS.items())
