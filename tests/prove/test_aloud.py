"""What a procedure can say, and whether that is English by ear."""

from pathlib import Path

import pytest
from prove.shop import LAMP

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.circuit.parts import Fuse
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.aloud import Sentence, sentences
from voiceassist.prove.english import slips

SHOP = build.Components(Settings())
SHIPPED = sorted(p.stem for p in (Path(__file__).parents[2] / "procedures").glob("*.yaml"))


def said(name: str) -> list[Sentence]:
    return list(sentences(setup_of(build.procedure(name).procedure, SHOP)))


# --- slips, each as a grammar of English has them (common knowledge, no source) ---


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ("Then that does not count: the key was not off.", "'not off' is heard as a double"),
        ("The plug was not unplugged.", "'not unplugged'"),
        ("It does not draw nothing.", "'not … nothing' is a double negative"),
        ("Is key in run?", "'Is key in' lacks an article"),
        ("Are lens and reflector clear?", "'Are lens and' lacks an article"),
        ("At most 1 more steps to a finding.", "'one steps' is one and many"),
        ("One more steps to go.", "'one steps' is one and many"),
        ("Because the headlamps was on.", "'the headlamps was' is one and many"),
        ("Is it so? The module plug are out.", "'the module plug are' is one and many"),
    ],
)
def test_a_slip_of_english_is_told(text: str, slip: str) -> None:
    assert [found for found in slips(text) if slip in found], list(slips(text))


@pytest.mark.parametrize(
    "text",
    [
        "Then that does not count: the key was still on.",
        "Is the key in run? Is fuse one under the dash whole? Is it bright, dim or off?",
        "At most 2 more steps to a finding. One more step to go. Wait 1 s.",
        "The lens is clear. The bus is open. The wires to the front module are broken.",
        "The fuse of the work lamps is blown. The lamps are lit, and the glass is clear.",
        "No change: not fuse one.",
        "Does the fan wheel turn freely by hand?",
    ],
)
def test_plain_english_has_no_slip(text: str) -> None:
    assert list(slips(text)) == []


def test_a_breath_of_more_than_thirty_five_words_is_told_with_figures_counted_as_spoken() -> None:
    long = " ".join(["word"] * 34)
    assert list(slips(f"{long} 12.5.", SHOP.to_words)) != []
    assert list(slips(f"{long}. And more.", SHOP.to_words)) == []


# --- what is read ---


def test_everything_that_can_be_spoken_is_read_once_and_with_its_place() -> None:
    setup = setup_of(read_procedure(LAMP, "side-lamp.yaml"), SHOP)
    found = list(sentences(setup))
    assert len({each.text for each in found}) == len(found)
    procedure = setup.procedure
    texts = " ".join(each.text for each in found).lower()
    for step in (*procedure.steps.values(), *procedure.repairs.values()):
        parts = (step.text, step.how, step.why, *(c.hazard for c in step.cautions))
        assert all(part.lower() in texts for part in parts if step.formula is None)
    for finding in procedure.findings.values():
        assert finding.cause.lower() in texts
        assert finding.correction.lower() in texts
    for states in procedure.conditions.values():
        assert all(instruction.lower() in texts for instruction in states.values())


def test_own_words_of_a_verdict_and_short_cautions_are_read_too() -> None:
    found = {(each.place, each.kind): each.text for each in said("key-off-draw")}
    assert found["steps.without-one", "says pass"] == "No change: not fuse one."
    assert found["cautions.battery", "caution in short"] == "WARNING: mind the battery posts."


def test_what_a_step_takes_is_read_by_what_it_is_asked_for() -> None:
    found = {(each.place, each.kind): each.text for each in said("slow-cranking")}
    fitting = "repairs.put-in-starter"
    assert found[fitting, "torque"] == (
        "Starter bolts: 45 N·m. Starter stud: 9 N·m. Battery clamp: 6 N·m."
    )
    assert found[fitting, "part"] == "Part: starter, or its solenoid."
    assert found["steps.engine-turns", "how"] == "To open: engine undertray."


@pytest.mark.parametrize("name", SHIPPED)
def test_the_shipped_procedures_speak_plain_english_in_short_breaths(name: str) -> None:
    wrong = [
        f"{each.place}, {each.kind}: {slip}"
        for each in said(name)
        for slip in slips(each.text, SHOP.to_words)
    ]
    assert wrong == []


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_point_is_told_in_eight_words_and_named_with_one_article(name: str) -> None:
    procedure = build.procedure(name).procedure
    steps = list(procedure.steps.values())
    for point in {point for step in steps for point in step.points}:
        assert len(point.where.split()) <= 8, point
        told = [step.text for step in steps if point in step.points]
        with_article = [f"the {point.name}" in text for text in told]
        assert len(set(with_article)) == 1, (point.name, told)


@pytest.mark.parametrize("name", SHIPPED)
def test_a_repair_that_condemns_a_part_names_the_new_one(name: str) -> None:
    procedure = build.procedure(name).procedure
    for finding in procedure.findings.values():
        if finding.condemns and finding.repair:
            texts = [procedure.repairs[step].text for step in finding.repair]
            assert any("new" in text.split() for text in texts), (finding.name, texts)


@pytest.mark.parametrize("name", SHIPPED)
def test_every_caution_of_a_shipped_procedure_has_its_short_form(name: str) -> None:
    procedure = build.procedure(name).procedure
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    for caution in {caution for step in steps for caution in step.cautions}:
        assert 0 < len(caution.short.split()) <= 6, caution.name


@pytest.mark.parametrize("name", SHIPPED)
def test_a_fuse_that_is_fitted_has_the_rating_of_its_circuit(name: str) -> None:
    procedure = build.procedure(name).procedure
    assert procedure.circuit is not None
    ratings = {part.ampere for part in procedure.circuit.parts.values() if isinstance(part, Fuse)}
    for step in procedure.repairs.values():
        assert step.fuse is None or float(step.fuse.in_base) in ratings, step.name


@pytest.mark.parametrize("name", SHIPPED)
def test_ohms_are_read_only_with_the_supply_off(name: str) -> None:
    procedure = build.procedure(name).procedure
    for step in procedure.steps.values():
        if step.unit is None or step.unit.quantity != "resistance" or step.formula is not None:
            continue
        needs = {need.condition: need.state for need in step.needs}
        dead = needs.get("key") == "off" or needs.get("minus clamp") == "off"
        loose = needs.get("relay") == "out"
        assert dead or loose, step.name
