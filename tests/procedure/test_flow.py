"""Every step is reached and every path ends, however long the file."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity


def test_a_circle_is_told_with_its_steps() -> None:
    text = small("one: {lamp: there, fail: weak}\ntwo: {lamp: there, fail: fine, then: one}")
    found = faults_in(text)
    assert has(found, Severity.ERROR, "steps.one", "may never end: one → two → one")


def test_a_circle_may_close_by_a_skip() -> None:
    text = small(
        "one: {lamp: there, fail: weak}\ntwo: {lamp: there, skip: one, fail: weak, then: fine}"
    )
    assert has(faults_in(text), Severity.ERROR, "steps.one", "may never end: one → two → one")


def test_two_circles_are_both_told() -> None:
    text = small("""one: {ask: which, answers: {left: left, right: right}}
left: {lamp: there, fail: weak, then: one}
right: {lamp: there, fail: fine, then: one}""")
    circles = [message for _, _, message in faults_in(text) if "never end" in message]
    assert len(circles) == 2


def test_a_step_reached_by_a_skip_only_is_reached() -> None:
    text = small("""one: {lamp: there, skip: two, fail: weak, then: fine}
two: {lamp: here, fail: weak, then: fine}""")
    assert good(text)


@pytest.mark.parametrize(("steps", "allowed"), [(1000, True), (1001, False)])
def test_a_procedure_has_a_thousand_steps_at_most(steps: int, allowed: bool) -> None:
    chain = "\n".join(f"n{n}: {{do: look}}" for n in range(steps - 1))
    text = small(f"{chain}\nlast: {{lamp: there, fail: weak, then: fine}}")
    found = faults_in(text)
    assert has(found, Severity.ERROR, "steps", "over 1000 steps here; use fewer") is not allowed
    assert allowed == (not found)


def test_a_circle_of_a_thousand_steps_is_found() -> None:
    chain = "\n".join(f"n{n}: {{do: look}}" for n in range(999))
    text = small(f"{chain}\nlast: {{lamp: there, fail: weak, then: n0}}")
    assert has(faults_in(text), Severity.ERROR, "steps.n0", "n998 → last → n0")
