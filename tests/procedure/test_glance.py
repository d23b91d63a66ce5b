"""A quick look into a procedure file says what the reader that checks everything says."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from roof_lamp import ROOF_LAMP

from voiceassist.procedure.glance import CUSTOMER, FactWords, meter_words, procedure_words
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.read import read_procedure

SHIPPED = Path(__file__).parents[2] / "procedures"
FILES = sorted([*SHIPPED.glob("*.yaml"), *(Path(__file__).parents[1] / "data").glob("*.yaml")])

SMALL = """\
procedure: small
title: A lamp
for: an invented trailer
facts:
  supply: {say: the nominal supply voltage, unit: V, value: 12 V, shown-to: customer}
  label: {say: the current on the label, unit: A}
steps:
  feed: {measure: voltage at the lamp, accept: 12 V to 13 V, fail: weak, then: weak}
findings:
  weak: {cause: a weak feed, correction: mend it}
"""


def beside(path: Path, name: str) -> str | None:
    """A file that is used: beside this one, or a shipped one."""
    for folder in (path.parent, SHIPPED):
        if (folder / f"{name}.yaml").is_file():
            return (folder / f"{name}.yaml").read_text("utf-8")
    return None


def about(step: Step) -> str:
    return f"test lamp {step.text}" if step.kind is Kind.LAMP else step.text


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_steps_and_facts_are_those_of_the_procedure(path: Path) -> None:
    text = path.read_text("utf-8")
    checked = read_procedure(text, path.name, lambda name: beside(path, name))
    seen = procedure_words(text, lambda name: beside(path, name))
    steps = {**checked.steps, **checked.repairs}
    assert seen.steps == {name: about(step) for name, step in steps.items()}
    assert {n: f.say for n, f in seen.facts.items()} == {n: f.say for n, f in checked.facts.items()}


def test_a_fact_says_who_reads_it() -> None:
    read_procedure(SMALL, "small.yaml")  # it is a procedure without fault
    found = procedure_words(SMALL, lambda _: None)
    assert found.facts["supply"] == FactWords(
        "supply", "the nominal supply voltage", "12 V", CUSTOMER
    )
    assert found.facts["label"].shown_to == ""
    assert found.steps["label"] == "the current on the label"


@given(text=st.text(max_size=300) | st.just("steps: [1, 2]\nfacts: {a: b, c: {say: [x]}}\n"))
def test_no_file_whatever_it_holds_stops_a_page(text: str) -> None:
    procedure_words(text, lambda _: text)
    meter_words(text)


def test_a_procedure_that_uses_itself_comes_to_an_end() -> None:
    text = "steps:\n  again: {use: itself}\n  feed: {measure: a voltage}\n"
    assert "feed" in procedure_words(text, lambda _: text).steps


def test_what_a_step_takes_is_seen_in_a_line() -> None:
    found = procedure_words(ROOF_LAMP, lambda _: None)
    assert found.takes["feed-volts"] == "7 min; opens roof trim; tools: trim wedge"
    torque = "torque: lamp screws 2 N·m, earth bolt 8 N·m to 10 N·m"
    assert found.takes["fit"] == f"3 min; tools: torque wrench; parts: roof lamp; {torque}"
    assert found.parts == {"fit": ("roof lamp",)}
    assert "by-eye" not in found.takes


def test_steps_that_are_put_in_take_what_they_took() -> None:
    user = SMALL.replace("steps:\n", "steps:\n  roof: {use: roof-lamp, go: {weak: feed}}\n")
    found = procedure_words(user, lambda _: ROOF_LAMP)
    assert found.parts == {"roof-fit": ("roof lamp",)}


def test_details_of_a_wrong_shape_are_passed_over() -> None:
    wrong = SMALL.replace("measure: voltage", "opens: {a: b}, tools: [[x]], torque: 3, measure: V")
    assert procedure_words(wrong, lambda _: None).takes == {"feed": "torque: 3"}
