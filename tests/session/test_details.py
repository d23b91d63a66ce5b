"""Which wire, what tool, how tight: asked by typed lines, answered from what the file tells."""

import re

import pytest
from lines import Lines
from roof_lamp import ROOF_LAMP

from voiceassist import resources
from voiceassist.session.actions.enter import enter
from voiceassist.session.copying import replace
from voiceassist.session.details import TOPICS
from voiceassist.session.naming import METER, MINUS, PLACE, STUCK, TIME


def at_feed() -> Lines:
    return Lines(text=ROOF_LAMP)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        # colours by IEC 60757: BN brown, WH white, BK black; from memory
        (
            "which wire",
            "Feed: the brown with white wire of 1.5 mm². Earth: the black wire.",
        ),
        ("what colour is it", "Feed: brown with white. Earth: black."),
        ("which pin", "Feed: pin 1 of the lamp plug. Earth: pin 2 of the lamp plug."),
        ("which connector", "Feed: the lamp plug. Earth: the lamp plug."),
        ("what do i have to take off", "To open: roof trim."),
        ("how tight", "The procedure does not say."),
        ("what part do i need", "The procedure does not say."),
        ("what tool", "For this step: trim wedge. The multimeter. Tools for this job: multimeter."),
    ],
)
def test_a_detail_is_told_from_the_data_of_the_step(asked: str, told: str) -> None:
    bench = at_feed()
    before = bench.session
    assert bench.type(asked) == told
    assert bench.session == before


@pytest.mark.parametrize("asked", ["which wire", "what colour", "which pin"])
def test_where_no_data_are_the_words_about_the_point_are_told(asked: str) -> None:
    bench = at_feed()
    bench.type("twelve volts")
    assert bench.step == "by-eye"
    assert bench.type(asked) == "Stud: bare bolt on the pillar."
    assert bench.type("which connector") == "Stud: bare bolt on the pillar."


def at_offer() -> Lines:
    bench = at_feed()
    bench.type("twelve volts", "twelve volts")
    assert bench.session.finding == "lamp"
    return bench


def test_once_the_finding_is_told_torque_part_and_tool_are_those_of_its_repair() -> None:
    bench = at_offer()
    torque = "Lamp screws: 2 N·m. Earth bolt: 8 N·m to 10 N·m."
    assert bench.type("what torque") == torque
    assert bench.type("what part do i order") == "Part: roof lamp."
    assert bench.type("what tool do i need").startswith("For this step: torque wrench.")
    bench.type("affirm", "done")
    assert bench.step == "fit"
    assert bench.type("how tight do i do it up") == torque
    # ISO 8820-3: a blade fuse of 10 A is red; from public tables
    assert bench.type("which fuse") == "A 10 A fuse is red; read the number on it too."


def test_how_far_counts_the_minutes_that_the_steps_tell() -> None:
    bench = at_feed()
    # 7 minutes as told, and one as usual for a reading
    assert "2 more steps" in bench.type("how far")
    assert "8 minutes" in bench.type("how far")
    # 2 and 3 minutes of repair, one of proof
    assert "6 minutes" in at_offer().type("how far")


def test_the_explanation_tells_what_must_be_opened() -> None:
    assert "To open: roof trim." in at_feed().type("tell me how")


@pytest.mark.parametrize("name", ["which wire", "what colour", "which pin", "how tight"])
def test_a_detail_can_be_asked_for_before_a_caution_is_acknowledged(name: str) -> None:
    bench = Lines("heater-fan-module")
    state = bench.state
    bench.type(name)
    assert bench.state is state
    assert bench.texts()


def test_the_wires_of_the_circuit_answer_where_the_file_has_a_diagram() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six volts")
    assert bench.type("which connector").startswith("Feed pin: the module plug.")


def test_every_detail_of_the_grammar_is_one_that_is_known_and_the_other_way() -> None:
    for language in ("en", "ko"):
        text = " ".join(resources.grammar_files(language).values())
        asked = set(re.findall(r"\{about asked/([a-z]+)\}", text))
        told_otherwise = {STUCK, TIME, PLACE, METER, MINUS}  # which are no detail of the step
        assert asked - told_otherwise == set(TOPICS) - {"tool"}  # which is a command of its own
        assert language != "en" or told_otherwise <= asked


def test_how_to_go_about_a_step_is_no_answer_to_which_connector() -> None:
    text = ROOF_LAMP.replace("measure: voltage across the stud", "how: wait, measure: the sky", 1)
    bench = Lines(text=text.replace("how: wait, measure:", "how: wait a little\n    measure:"))
    bench.type("twelve volts")
    assert bench.type("tell me how") == "Wait a little."
    assert bench.type("which connector") == "The procedure does not say."


def test_a_torque_that_is_for_all_fasteners_is_told_without_naming_any() -> None:
    block = "torque: {lamp screws: 2 N·m, earth bolt: 8 N·m to 10 N·m}"
    assert block in ROOF_LAMP
    bench = Lines(text=ROOF_LAMP.replace(block, "torque: 9 N·m"))
    bench.type("twelve volts", "twelve volts")
    assert bench.type("what torque") == "9 N·m."


GIVES = "No torque is given here for that. Given here: "


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("how tight do i do the bolt up", "Earth bolt: 8 N·m to 10 N·m."),
        ("what torque for the earth bolt", "Earth bolt: 8 N·m to 10 N·m."),
        ("how tight are the screws", "Lamp screws: 2 N·m."),
        ("what torque on the stud nut", f"{GIVES}Lamp screws: 2 N·m. Earth bolt: 8 N·m to 10 N·m."),
        (
            "what torque for the seat bolt",
            f"{GIVES}Lamp screws: 2 N·m. Earth bolt: 8 N·m to 10 N·m.",
        ),
    ],
)
def test_a_torque_is_told_only_for_the_fastener_that_was_asked_for(asked: str, told: str) -> None:
    bench = at_offer()
    bench.type("affirm", "done")
    assert bench.type(asked) == told


def test_a_torque_for_another_fastener_of_the_repair_is_told_at_any_of_its_steps() -> None:
    bench = Lines("no-charging")
    stood = replace(bench.session, finding="charge-wire")
    bench.session = enter(bench.engine.setup, stood, "on-battery").session
    assert bench.type("what torque on the stud nut") == "Charge stud: 12 N·m."
    assert bench.type("what torque") == "Battery clamp: 6 N·m."
    assert bench.type("what torque on the clamp bolt") == "Battery clamp: 6 N·m."
    assert bench.type("what torque for the alternator bolts") == f"{GIVES}Battery clamp: 6 N·m."


def test_a_torque_with_no_name_answers_a_bolt_and_no_part_that_was_named() -> None:
    block = "torque: {lamp screws: 2 N·m, earth bolt: 8 N·m to 10 N·m}"
    bench = Lines(text=ROOF_LAMP.replace(block, "torque: 9 N·m"))
    bench.type("twelve volts", "twelve volts")
    assert bench.type("what torque for the bolts") == "9 N·m."
    assert bench.type("what torque for the seat bolt") == f"{GIVES}9 N·m."
