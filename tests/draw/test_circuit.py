"""Circuits drawn as current paths: all of it there, nothing over anything else, few crossings."""

from dataclasses import replace
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from draw.shipped import HEATER, NAMES, SVG, every, shipped

from voiceassist.circuit.colours import colour, colour_in
from voiceassist.circuit.values import ByState
from voiceassist.draw.canvas import Box, Canvas
from voiceassist.draw.circuit import (
    LEAST_LETTER,
    circuit_canvas,
    circuit_sheets,
    draw_circuit,
    laid_out,
    sheet_canvases,
)
from voiceassist.draw.crossings import crossings
from voiceassist.draw.letters import NODE, TEXT
from voiceassist.draw.paths import PathPlan
from voiceassist.draw.values import figure
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import Procedure

Line = tuple[tuple[float, float], tuple[float, float]]


def sheet(procedure: Procedure) -> PathPlan:
    assert procedure.circuit is not None
    return laid_out(procedure.circuit)


def canvases(procedure: Procedure) -> list[Canvas]:
    assert procedure.circuit is not None
    return [circuit_canvas(procedure.circuit), *sheet_canvases(procedure.circuit)]


def words(svg: str) -> set[str]:
    return {one.text or "" for one in ElementTree.fromstring(svg).iter(f"{SVG}text")}


def lines(canvas: Canvas) -> list[Line]:
    """Every piece of a line but those of signs' own frames."""
    found = ElementTree.fromstring(canvas.svg("", ""))
    ways = [one.attrib["points"].split() for one in found.iter(f"{SVG}polyline")]
    points = [[(float(x), float(y)) for x, y in (p.split(",") for p in way)] for way in ways]
    return [piece for way in points for piece in pairwise(way)]


def runs_through(line: Line, box: Box) -> bool:
    (x1, y1), (x2, y2) = line
    within = Box(box.x + 0.5, box.y + 1, box.width - 1, box.height - 2)
    across = min(x1, x2) < within.right and within.x < max(x1, x2) + 1e-9
    return across and min(y1, y2) < within.bottom and within.y < max(y1, y2) + 1e-9


def test_there_are_circuits_to_draw() -> None:
    assert len(NAMES) >= 3


@pytest.mark.parametrize("name", NAMES)
def test_no_letters_lie_over_each_other_or_over_a_line(name: str) -> None:
    procedure = shipped(name)
    for canvas in canvases(procedure):
        letters = canvas.letters
        assert not [pair for pair in combinations(letters, 2) if pair[0].meets(pair[1])]
        assert min(box.x for box in letters) >= -16
        through = [
            box
            for box in letters
            for line in lines(canvas)
            # letters that belong to a sign, such as the M of a motor, stand within it
            if box.width > NODE and runs_through(line, box)
        ]
        assert through == []


@pytest.mark.parametrize("name", NAMES)
def test_every_part_and_node_is_named(name: str) -> None:
    procedure = shipped(name)
    assert procedure.circuit is not None
    said = " ".join(words(draw_circuit(procedure)))
    for part in procedure.circuit.parts.values():
        assert set((part.label or part.name).split()) <= set(said.split()), part.name
    for node in sheet(procedure).level:
        assert set(node.replace("-", " ").split()) <= set(said.replace("-", " ").split()), node


@pytest.mark.parametrize("name", NAMES)
def test_every_terminal_is_joined_once_and_runs_of_a_path_follow_each_other(
    name: str,
) -> None:
    procedure = shipped(name)
    plan = sheet(procedure)
    joints = [
        (run.element, joint.terminal)
        for path in plan.paths
        for run in path
        for joint in (run.joint, run.other)
        if joint is not None
    ]
    every = [(i, j.terminal) for i, one in enumerate(plan.elements) for j in one.joints]
    assert sorted(joints) == sorted(every)
    assert all(a.bottom <= b.top for path in plan.paths for a, b in pairwise(path))


def test_the_library_has_one_crossing_in_all() -> None:
    assert sum(crossings(sheet(p).paths, sheet(p).level) for p in every()) <= 1


def test_the_supply_is_above_and_current_runs_down_to_earth() -> None:
    plan = sheet(HEATER)
    assert plan.level["battery plus post"] == 0
    way = ["battery plus post", "fuse out", "relay out", "feed pin", "earth pin", "body earth"]
    levels = [plan.level[node] for node in way]
    assert levels == sorted(levels)
    assert len(set(levels)) == len(levels)


def test_coil_and_contact_of_a_relay_stand_apart_and_tell_where_the_other_is() -> None:
    plan = sheet(shipped("relay-and-socket"))
    path_of = {
        one.half: number + 1
        for number, path in enumerate(plan.paths)
        for run in path
        for one in [plan.elements[run.element]]
        if one.part.name == "relay"
    }
    assert path_of.keys() == {"coil", "contact"}
    assert path_of["coil"] != path_of["contact"]
    told = {f"{other}: path\xa0{path_of[other]}" for other in path_of}
    assert told <= words(draw_circuit(shipped("relay-and-socket")))


def test_a_corner_has_no_dot_and_a_branching_has_one() -> None:
    found = ElementTree.fromstring(draw_circuit(shipped("rested-battery")))
    dots = [one for one in found.iter(f"{SVG}circle") if one.attrib["class"] == "dot"]
    plan = sheet(shipped("rested-battery"))
    inner = len(plan.paths) - 2
    assert len(dots) == 2 * inner  # of three paths between two rails only the middle one


def test_a_wire_tells_its_colour_size_and_length() -> None:
    assert "BN 1.5\xa0mm², 1\xa0m" in words(draw_circuit(shipped("five-volt-sensor-supply")))


def test_the_broad_letters_of_command_stay_within_the_box_of_its_module() -> None:
    """4.98 em by the advance widths of DejaVu Sans: c .550, o .612, m .974 (twice), a .613,
    n .634, d .635."""
    root = ElementTree.fromstring(draw_circuit(shipped("charging-by-module")))
    (said,) = [one for one in root.iter(f"{SVG}text") if one.text == "command"]
    middle, half = float(said.attrib["x"]), 4.98 * TEXT / 2
    boxes = [one for one in root.iter(f"{SVG}rect") if one.attrib["class"] == "part"]
    around = [
        box
        for box in boxes
        if float(box.attrib["x"]) < middle - half - 1
        and middle + half + 1 < float(box.attrib["x"]) + float(box.attrib["width"])
    ]
    assert around


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_of_paper_has_letters_that_can_be_read(name: str) -> None:
    procedure = shipped(name)
    for svg in circuit_sheets(procedure):
        root = ElementTree.fromstring(svg)
        wide, tall = (float(root.attrib[k].removesuffix("mm")) for k in ("width", "height"))
        assert sorted((wide, tall)) == [210, 297]
        *_, width, height = map(float, root.attrib["viewBox"].split())
        points = TEXT * min(wide / width, tall / height) * 72 / 25.4
        assert points >= LEAST_LETTER


def test_sheets_together_have_every_part_and_tell_where_a_bar_goes_on() -> None:
    trailer = shipped("trailer-socket")
    sheets = circuit_sheets(trailer)
    assert len(sheets) > 1
    plan = sheet(trailer)
    said = [words(one) for one in sheets]
    assert set().union(*said) >= {str(i + 1) for i in range(len(plan.paths))}
    assert {"fuse", "switch"} <= said[0]


def test_a_procedure_without_circuit_has_none_to_draw() -> None:
    for draw in (draw_circuit, circuit_sheets):
        with pytest.raises(ValueError, match="has no circuit"):
            draw(replace(HEATER, circuit=None))


# IEC 60757, from memory.
@pytest.mark.parametrize(
    ("name", "letters"),
    [("brown wire", "BN"), ("green yellow lead", "GNYE"), ("feed lead", ""), ("Red one", "RD")],
)
def test_the_letters_of_a_colour_come_from_the_name_of_a_wire(name: str, letters: str) -> None:
    assert colour_in(name) == letters


@pytest.mark.parametrize("wrong", ["", "brown", "B", "XX", "BNWHRD"])
def test_letters_that_are_no_colour_are_refused(wrong: str) -> None:
    with pytest.raises(CircuitError, match="such as BN or GNYE"):
        colour(wrong)


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (10000.0, "Ω", "10 kΩ"),
        (0.0239, "Ω", "23.9 mΩ"),
        (12.5, "V", "12.5 V"),
        (0.0, "Ω", "0 Ω"),
        (ByState("fan", {"low": 10e3, "high": 1.2e3}), "Ω", "1.2 kΩ to 10 kΩ"),
    ],
)
def test_a_value_is_written_with_a_prefix(value: float | ByState, unit: str, written: str) -> None:
    assert figure(value, unit) == written
