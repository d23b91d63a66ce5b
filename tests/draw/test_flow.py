"""Flow charts that can be read: everything there, nothing over anything else."""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from bench import FAN
from draw.shipped import HEATER, NAMES, SVG, shipped
from roof_lamp import ROOF_LAMP

from voiceassist.draw.canvas import Box
from voiceassist.draw.chart import before, chart_of, takes
from voiceassist.draw.flow import draw_flow, flow_canvas
from voiceassist.draw.layers import layered
from voiceassist.draw.mermaid import flow_mermaid, quoted
from voiceassist.procedure.read import read_procedure


def boxes(svg: str) -> list[Box]:
    """The boxes of steps and findings."""
    found = ElementTree.fromstring(svg).iter(f"{SVG}rect")
    styles = {"step", "ask", "finding", "taken"}
    return [
        Box(*(float(one.attrib[key]) for key in ("x", "y", "width", "height")))
        for one in found
        if one.attrib["class"] in styles
    ]


@pytest.mark.parametrize("name", NAMES)
def test_no_boxes_and_no_letters_lie_over_each_other(name: str) -> None:
    procedure = shipped(name)
    drawn = boxes(draw_flow(procedure))
    assert len(drawn) >= len(procedure.steps)
    assert not [pair for pair in combinations(drawn, 2) if pair[0].meets(pair[1])]
    letters = flow_canvas(chart_of(procedure)).letters
    assert not [pair for pair in combinations(letters, 2) if pair[0].meets(pair[1])]
    inside = [box for box in drawn for word in letters if box.holds(word)]
    assert {id(box) for box in inside} == {id(box) for box in drawn}


@pytest.mark.parametrize("name", NAMES)
def test_each_letter_lies_in_one_box_or_between_boxes(name: str) -> None:
    procedure = shipped(name)
    drawn = boxes(draw_flow(procedure))
    for word in flow_canvas(chart_of(procedure)).letters:
        assert all(box.holds(word) for box in drawn if box.meets(word))


def test_every_step_and_every_way_out_is_there() -> None:
    svg = draw_flow(HEATER)
    text = [one.text for one in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    led = {HEATER.first, *(to for step in HEATER.steps.values() for to in step.routes.values())}
    assert set(HEATER.steps) & led <= set(text), "one that only proves is on no way"
    assert set(HEATER.findings) <= set(text)
    assert {"low, high", "pass", "yes", "no", "fail"} <= set(text)
    chart = chart_of(HEATER)
    inner = list(chart.inner())
    ends = [end for step in chart.steps for end in chart.findings_of(step.name)]
    arrows = [one for one in ElementTree.fromstring(svg).iter() if "marker-end" in one.attrib]
    assert len(arrows) == len(inner) + len(ends)


def test_a_step_that_is_come_to_by_skipping_only_is_drawn() -> None:
    steps = FAN[FAN.index("steps:\n") :]
    ask = "    ask: is it so\n    answers: {yes: battery, no: charge-first}\n"
    led = steps.replace("steps:\n", f"steps:\n  first:\n{ask}    skip: aside\n  aside:\n{ask}")
    procedure = read_procedure(FAN.replace(steps, led), "fan.yaml")
    chart = chart_of(procedure)
    assert "aside" in {step.name for step in chart.steps}
    assert ("aside", "skipped") in {(one.target, one.label) for one in chart.exits}
    assert "aside" in draw_flow(procedure)
    assert '-->|"skipped"|' in flow_mermaid(procedure)


def test_the_path_of_a_session_is_drawn_bold() -> None:
    plain = draw_flow(HEATER)
    taken = draw_flow(HEATER, ["battery", "feed", "feed-lamp", "feed-side"])
    assert 'class="taken"' not in plain
    assert taken.count('class="taken"') == 4  # three steps and the finding, beside its step only
    assert taken.count('class="edge-taken"') == 3


def test_what_a_file_says_cannot_break_the_drawing() -> None:
    text = FAN.replace("cause: the battery is too low", 'cause: <b> & "it" is too low')
    drawn = draw_flow(read_procedure(text, "fan.yaml"))
    words = [one.text or "" for one in ElementTree.fromstring(drawn).iter(f"{SVG}text")]
    assert any('<b> & "it"' in word for word in words)


def test_each_node_lies_below_all_that_lead_to_it() -> None:
    nodes = list("abcdef")
    edges = [("a", "b"), ("b", "c"), ("a", "c"), ("c", "d"), ("a", "d"), ("e", "d")]
    found = layered(nodes, edges, dict.fromkeys(nodes, 100.0), 10)
    level = {node: i for i, row in enumerate(found.rows) for node in row}
    assert all(level[a] < level[b] for a, b in edges)
    for row in found.rows:
        places = [found.centre[node] for node in row]
        assert places == sorted(places)
    assert [len(found.chains[edge]) for edge in edges] == [2, 2, 3, 2, 4, 4]


_NODE = r'(?:\["[^"]*"\]|\{\{"[^"]*"\}\}|\(\["[^"]*"\]\))'
_GRAMMAR = [
    rf"  [sf]\d+{_NODE}",
    r'  [sf]\d+ (?:-->|==>)\|"[^"]*"\| [sf]\d+',
    r"  %% [^{}%]*",
    r"  classDef taken stroke-width:4px",
    r"  class [sf]\d+(?:,[sf]\d+)* taken",
]


@pytest.mark.parametrize("name", NAMES)
def test_every_line_of_mermaid_text_is_a_node_an_arrow_or_a_remark(name: str) -> None:
    """The flowchart syntax of the Mermaid library: quoted texts, marks in them by number."""
    procedure = shipped(name)
    head, *lines = flow_mermaid(procedure, [procedure.first]).splitlines()
    assert head == "flowchart TD"
    assert all(any(re.fullmatch(one, line) for one in _GRAMMAR) for line in lines)
    declared = {match[1] for line in lines if (match := re.match(r"  ([sf]\d+)[\[({]", line))}
    used = {name for line in lines if "|" in line for name in re.findall(r"\b[sf]\d+\b", line)}
    assert declared == used - _words(lines)


def _words(lines: list[str]) -> set[str]:
    """Names that only stand in labels."""
    return {n for line in lines for label in re.findall(r'\|"(.*?)"\|', line)
            for n in re.findall(r"\b[sf]\d+\b", label)}  # fmt: skip


def test_marks_of_the_library_are_written_by_number() -> None:
    assert quoted('a "b" <c> #1; d`') == "a #34;b#34; #60;c#62; #35;1#59; d#96;"
    assert '==>|"pass"|' in flow_mermaid(HEATER, ["battery", "feed"])


def test_a_step_tells_its_cautions_and_the_states_that_it_needs() -> None:
    feed = HEATER.steps["feed"]
    told = before(feed)
    assert told[0].startswith(f"{feed.cautions[0].signal}: ")
    assert told[-1].startswith("with ")
    assert all(f"{need.condition} {need.state}" in told[-1] for need in feed.needs)
    text = [one.text for one in ElementTree.fromstring(draw_flow(HEATER)).iter(f"{SVG}text")]
    assert any((line or "").startswith("WARNING: ") for line in text)


def test_a_step_shows_its_pins_time_access_tools_parts_and_torque() -> None:
    procedure = read_procedure(ROOF_LAMP, "lamp.yaml")
    words = " ".join(
        one.text or "" for one in ElementTree.fromstring(draw_flow(procedure)).iter(f"{SVG}text")
    )
    told = ("feed: lamp plug pin 1, BNWH 1.5 mm²", "7 min, opens roof trim", "tools: trim wedge")
    assert all(one in words for one in told)
    assert all(one in flow_mermaid(procedure) for one in told)
    assert takes(procedure.step("fit")) == (
        "3 min",
        "tools: torque wrench",
        "parts: roof lamp",
        "torque: lamp screws 2 N·m, earth bolt 8 N·m to 10 N·m",
    )


HORN = """
procedure: horn
title: Horn is silent
for: an invented van
each: {fuse: [one, two]}
conditions: {button: {pressed: {do: press the button, hold: 5 s}}}
steps:
  battery: {measure: voltage of the battery, accept: at least 12 V, low: flat}
  sounds: {ask: does it sound, answers: {yes: good, no: feed}, not-sure: feed}
  feed:
    needs: {button: pressed}
    measure: voltage on the feed
    accept: at least 11 V
    bands: {at most 1 V: fuse}
    low: weak
    then: good
  fuse: {for-each: fuse, lamp: at fuse <fuse>, fail: weak, then: good}
findings:
  flat: {cause: the battery is flat, correction: charge it, go-on: battery}
  weak: {cause: the feed is weak, correction: follow it back}
  good: {cause: all is well, correction: none, no-fault: true}
"""


def test_ways_in_doubt_bands_and_where_a_job_goes_on_are_drawn() -> None:
    procedure = read_procedure(HORN, "horn.yaml")
    ways = {(one.step, one.target): one.label for one in chart_of(procedure).exits}
    assert ways["sounds", "feed"] == "no, not sure"
    assert ways["feed", "fuse-one"] == "at most 1 V"
    assert ("fuse-one", "fuse-two") in ways
    drawn = "".join(ElementTree.fromstring(draw_flow(procedure)).itertext())
    assert "put right, on at battery" in drawn
    assert "at fuse two" in drawn
    assert before(procedure.steps["feed"]) == ("with button pressed, 5 s at most",)
