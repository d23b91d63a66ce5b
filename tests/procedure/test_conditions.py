"""Conditions of the vehicle, and what must hold while one is changed."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Level
from voiceassist.procedure.model import Need

END = "last: {lamp: there, fail: weak, then: fine}\n"


def test_what_must_hold_while_a_condition_is_changed_comes_with_its_words() -> None:
    before = good(small(END, head="before-changing: {plug: {key: off}}")).before_changing
    assert before == {"plug": (Need("key", "off", "turn the key off"),)}


@pytest.mark.parametrize(
    ("written", "path", "message"),
    [
        ("{plugg: {key: off}}", "plugg", "no condition 'plugg'; did you mean 'plug'?"),
        ("{plug: {kee: off}}", "plug.kee", "no condition 'kee'; did you mean 'key'?"),
        ("{plug: {key: of}}", "plug.key", "'key' has no state 'of'; did you mean 'off'?"),
        ("{plug: {plug: out}}", "plug", "'plug' would have to be changed before itself"),
        ("{plug: {key: off}, key: {plug: in}}", "plug", "before itself: plug → key → plug"),
    ],
)
def test_what_cannot_be_brought_about_is_a_fault(written: str, path: str, message: str) -> None:
    found = faults_in(small(END, head=f"before-changing: {written}"))
    assert has(found, Level.ERROR, f"before-changing.{path}", message), found


def test_where_no_conditions_are_defined_the_remedy_is_to_add_one() -> None:
    text = small("one: {do: look, needs: {key: off}}\n" + END)
    start, end = text.index("conditions:"), text.index("steps:")
    found = faults_in(text[:start] + text[end:])
    message = "there is no condition 'key'; add it under 'conditions:'"
    assert found == [(Level.ERROR, "steps.one.needs.key", message)]
