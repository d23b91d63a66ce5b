"""The picture of a step: where the leads stand, what is open and live; nothing over anything."""

import random
from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest
from draw.browser import seen
from draw.shipped import NAMES, SVG, every, shipped
from draw.test_circuit import runs_through

from voiceassist.draw.canvas import Box, Canvas
from voiceassist.draw.circuit import A4, LEAST_LETTER
from voiceassist.draw.faces import faces_of
from voiceassist.draw.step_picture import StepMoment, picture_canvas, step_picture
from voiceassist.draw.step_view import BLACK, RED, StepView, step_view
from voiceassist.draw.step_words import step_words
from voiceassist.measure.scale import Scale
from voiceassist.procedure.model import Procedure

HEATER = shipped("heater-fan-module")
VOLTS = Scale(
    (Decimal("12.4"),), Decimal(12), Decimal("12.7"), low_text="12.0 V", high_text="12.7 V"
)
#: A telephone's screen with a margin of 8 px on either side.
TELEPHONE = 390 - 16
#: Letters of fewer CSS px are hard to read on a telephone; common practice, no source.
LEAST_PX = 9.0
#: The fallback of many systems; its letters are wider than those that are asked for.
WIDE_LETTERS = '.step-picture text{font-family:"DejaVu Sans"!important}'


def steps_of(procedure: Procedure) -> list[str]:
    return [*procedure.steps, *procedure.repairs]


def sample(procedure: Procedure) -> list[str]:
    """Two of its steps, always the same."""
    return random.Random(procedure.name).sample(steps_of(procedure), 2)


def view(procedure: Procedure, name: str, moment: StepMoment | None = None) -> StepView:
    return step_view(procedure, name, moment or StepMoment())


def words(svg: str) -> list[str]:
    return [one.text or "" for one in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def styles(svg: str) -> set[str]:
    return {one.attrib.get("class", "") for one in ElementTree.fromstring(svg).iter()}


def over_each_other(canvas: Canvas) -> Iterator[tuple[Box, object]]:
    for one, other in combinations(canvas.letters, 2):
        if one.meets(other):
            yield one, other
    for box in canvas.letters:
        for piece in canvas.pieces:
            # letters that belong to a sign, such as the M of a motor, stand within it
            if box.width > 14 and runs_through(piece, box):
                yield box, piece


# --- what is told ---


def test_the_meter_stands_in_the_circuit_with_its_leads_where_the_step_puts_them() -> None:
    told = view(HEATER, "feed")
    assert [(one.end, one.name) for one in told.held] == [(RED, "feed pin"), (BLACK, "body earth")]
    svg = step_picture(HEATER, "feed")
    assert {"V", "voltmeter", "red", "black", "red lead: feed pin"} <= set(words(svg))
    assert {"lead-red", "lead-black", "tip-red", "tip-black"} <= styles(svg)


def test_the_pin_to_be_probed_is_marked_on_the_face_of_its_connector() -> None:
    (face,) = faces_of(view(HEATER, "feed"))
    assert face.connector == "module plug"
    assert [(c.number, c.colour) for c in face.cavities] == [
        ("1", "BN"), ("2", "VT"), ("3", "BK"), ("4", "GY"),
    ]  # fmt: skip
    assert [c.number for c in face.cavities if c.ends == (RED,)] == ["1"]
    assert "probed" in styles(step_picture(HEATER, "feed"))


def test_what_is_pulled_is_told_as_open_and_is_so_only_while_it_is() -> None:
    assert "open: control contact, module plug" in step_words(view(HEATER, "feed"))
    plugged_in = StepMoment({"module plug": "in"})
    assert "open: control contact" in step_words(view(HEATER, "feed", plugged_in))


def test_the_live_part_follows_the_key() -> None:
    def live(key: str) -> frozenset[str]:
        look = view(HEATER, "feed", StepMoment({"key": key})).look
        assert look is not None
        return look.live

    assert live("off") == {"battery plus post", "fuse out"}
    assert live("run") == {*live("off"), "ignition feed", "relay out", "feed pin"}


def test_live_is_told_by_weight_and_in_a_word() -> None:
    svg = step_picture(HEATER, "feed")
    assert {"live", "live-rail"} <= styles(svg)
    assert "30  battery plus post, live" in words(svg)


def test_a_lamp_a_clamp_and_an_ohmmeter_have_signs_of_their_own() -> None:
    assert "test lamp" in words(step_picture(HEATER, "feed-lamp"))
    assert "lamp, red" in words(step_picture(HEATER, "earth-drop"))  # both at one pin
    assert "clamp" in styles(step_picture(HEATER, "motor-current"))
    ohms = next(
        (p, s.name) for p in every() for s in p.steps.values()
        if s.unit is not None and s.unit.quantity == "resistance" and "from" in s.text
    )  # fmt: skip
    assert "Ω" in words(step_picture(*ohms))


def test_a_caution_stands_there_with_its_signal_word() -> None:
    said = words(step_picture(HEATER, "feed"))
    assert "WARNING" in said
    assert any("the fan may start by itself" in line for line in said)


def test_a_reading_stands_on_its_limit() -> None:
    moment = StepMoment(reading="12.4 V", verdict="pass", limit="12.0 V to 12.7 V", scale=VOLTS)
    svg = step_picture(HEATER, "feed", moment)
    said = words(svg)
    assert {
        "should be: 12.0\xa0V to 12.7\xa0V",
        "reads: 12.4\xa0V, pass",
        "12.0 V",
        "12.7 V",
    } <= set(said)
    assert "within" in styles(svg)
    assert "within" not in styles(step_picture(HEATER, "feed"))


def test_a_screen_reader_is_told_where_the_leads_stand() -> None:
    root = ElementTree.fromstring(step_picture(HEATER, "feed"))
    known = {one.attrib["id"]: one.text or "" for one in root.iter() if "id" in one.attrib}
    title, told = (known[key] for key in root.attrib["aria-labelledby"].split())
    assert root.attrib["role"] == "img"
    assert title == "feed: measure the voltage from feed pin to body earth"
    assert "red lead at feed pin, module plug pin 1, BN brown" in told
    assert "black lead at body earth" in told


def test_a_step_without_circuit_is_drawn_too() -> None:
    from dataclasses import replace

    said = words(step_picture(replace(HEATER, circuit=None), "feed"))
    assert "feed" in said
    assert "voltmeter" not in said


def test_an_unknown_step_is_refused() -> None:
    with pytest.raises(KeyError):
        step_picture(HEATER, "no-such-step")


def test_the_same_step_gives_the_same_picture() -> None:
    assert step_picture(HEATER, "feed") == step_picture(HEATER, "feed")


# --- how it looks ---


def laid_out_well(procedure: Procedure, name: str) -> None:
    for wide in (False, True):
        canvas = picture_canvas(view(procedure, name), wide=wide)
        assert list(over_each_other(canvas)) == []
        ElementTree.fromstring(step_picture(procedure, name, wide=wide))
        paper = max(
            min((across - 20) / canvas.width, (down - 20) / canvas.height)
            for across, down in (A4, A4[::-1])
        )
        assert not wide or paper * 10 * 72 / 25.4 >= LEAST_LETTER


@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_over_letters_and_a_sheet_of_paper_can_be_read(name: str) -> None:
    for step in sample(shipped(name)):
        laid_out_well(shipped(name), step)


@pytest.mark.census
@pytest.mark.parametrize("name", NAMES)
def test_every_step_of_the_library_is_laid_out_well(name: str) -> None:
    for step in steps_of(shipped(name)):
        laid_out_well(shipped(name), step)


def shown_well(cases: list[tuple[Procedure, str]], folder: Path, *, wide: bool, more: str) -> None:
    pictures = [step_picture(*case, wide=wide) for case in cases]
    found = seen(pictures, folder, width=1200 if wide else TELEPHONE, more=more)
    assert len(found) == len(cases)
    assert {one.name: one.overlaps for one in found if one.overlaps} == {}
    assert min(one.least for one in found) >= LEAST_PX


def test_a_browser_finds_nothing_over_letters_on_a_telephone(tmp_path: Path) -> None:
    cases = [(procedure, step) for procedure in every() for step in sample(procedure)]
    shown_well(cases[::3], tmp_path, wide=False, more="")


def test_a_browser_sees_what_does_lie_over_something(tmp_path: Path) -> None:
    spoilt = step_picture(HEATER, "feed").replace(
        'class="bold">fan relay', 'class="bold" dx="-20">fan relay'
    )
    (found,) = seen([spoilt], tmp_path, width=TELEPHONE)
    assert any("fan relay" in one for one in found.overlaps)


@pytest.mark.census
@pytest.mark.parametrize("wide", [False, True], ids=["telephone", "desk"])
@pytest.mark.parametrize("more", ["", WIDE_LETTERS], ids=["usual", "wide letters"])
def test_a_browser_finds_nothing_over_letters_in_the_whole_library(
    wide: bool, more: str, tmp_path: Path
) -> None:
    cases = [(procedure, step) for procedure in every() for step in steps_of(procedure)]
    shown_well(cases, tmp_path, wide=wide, more=more)
