"""The words of test points and of causes, held against the circuit of the file."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity

STEPS = """
one: {measure: voltage from the lamp feed to frame, accept: at least 11 V, low: two, then: fine}
two: {ask: is the lamp fuse whole, answers: {yes: weak, no: blown}}
"""
CIRCUIT = """
circuit:
  parts:
    battery: {battery: 12.6 V, from: plus post, to: frame}
    lamp fuse: {fuse: 10 A, from: plus post, to: fuse out}
    red white wire: {wire: 2 m, size: 1.5 mm², from: fuse out, to: lamp feed}
    lamp: {lamp: 5 W, voltage: 12 V, from: lamp feed, to: frame}
faults:
  wire-broken: {open: red white wire, found-as: weak}
  fuse-blown: {blown: lamp fuse, found-as: blown}
"""


def told(where: str = "the pin", cause: str = "the lamp fuse is blown") -> str:
    findings = f"blown: {{cause: '{cause}', correction: mend it}}"
    return small(STEPS, head=f"points: {{lamp feed: {where}}}", findings=findings) + CIRCUIT


@pytest.mark.parametrize(
    "where",
    ["the thick red wire", "the white and red wire", "the blue plug", "{where: pin, wire: RDWH}"],
)
def test_a_point_with_the_wire_that_the_circuit_joins_to_it_is_good(where: str) -> None:
    good(told(where))


@pytest.mark.parametrize("where", ["the thick blue wire at the lamp", "{where: pin, wire: BU}"])
def test_a_point_whose_wire_has_another_colour_in_the_circuit_is_told(where: str) -> None:
    message = (
        "'lamp feed' has a blue wire here, and the circuit joins 'red white wire' to it, a red "
        "and white wire; mend one of them"
    )
    assert has(faults_in(told(where)), Severity.ERROR, "points.lamp feed", message)


@pytest.mark.parametrize(
    "cause",
    [
        "the fuse is blown, and so the red white wire is not fed",
        "the fuse of the red white wire is blown",
        "the red white wire behind the fuse box, or the fuse, is bad",
    ],
)
def test_a_cause_may_name_what_lies_beside_the_fault(cause: str) -> None:
    good(told(cause=cause))


@pytest.mark.parametrize(
    "cause", ["the red white wire is broken", "the plug, or the red white wire, is bad"]
)
def test_a_cause_that_is_about_a_wire_whose_faults_are_found_as_another_is_told(cause: str) -> None:
    message = (
        "the cause names the 'red white wire', and its faults are found as 'weak', those of "
        "'blown' in other parts; mend the cause, or 'found-as:' of the faults"
    )
    assert has(faults_in(told(cause=cause)), Severity.ERROR, "findings.blown", message)
