"""The picture of a step in rows of letters, for a terminal."""

import pytest
from draw.shipped import NAMES, every, shipped
from draw.test_step_picture import HEATER, steps_of, view
from rich.cells import cell_len

from voiceassist.draw.step_rows import step_rows
from voiceassist.draw.step_view import StepMoment

FEED = """\
red lead at feed pin, module plug pin 1, BN brown
black lead at body earth
module plug, open
┌──────┬──────┬──────┬──────┐
│ [1]  │  2   │  3   │  4   │
│  BN  │  VT  │  BK  │  GY  │
└──────┴──────┴──────┴──────┘
 ▲ red
live: battery plus post, feed pin
open: control contact, module plug"""


def test_leads_plug_and_what_is_live_are_told_in_rows() -> None:
    assert "\n".join(step_rows(view(HEATER, "feed"))) == FEED


def test_the_rows_follow_the_conditions() -> None:
    found = step_rows(view(HEATER, "feed", StepMoment({"key": "off", "module plug": "in"})))
    assert "module plug" in found
    assert found[-2:] == (
        "live: battery plus post",
        "open: control contact, fan relay, ignition switch",
    )


def test_a_step_that_asks_for_nothing_of_the_circuit_has_no_rows() -> None:
    identify = [
        (procedure, step.name)
        for procedure in every()
        for step in procedure.steps.values()
        if not step.needs
        and step.name not in (procedure.circuit.probes if procedure.circuit else {})
    ]
    assert identify
    assert {step_rows(view(*case)) for case in identify} == {()}


@pytest.mark.parametrize("name", NAMES)
def test_boxes_are_whole_and_fit_into_eighty_columns(name: str) -> None:
    for step in steps_of(shipped(name)):
        rows = step_rows(view(shipped(name), step))
        boxes = [row for row in rows if row[:1] in {"┌", "│", "└"}]
        assert all(cell_len(row) <= 80 for row in boxes)
        wide = [cell_len(row) for row in boxes]
        assert wide == [width for width in wide[::4] for _ in range(4)]
