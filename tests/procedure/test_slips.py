"""The slips that writers make most, each answered with what would do."""

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.text.tree import read_tree


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("a: b\n\tc: d\n", 2, "indent with spaces"),
        ("a:\n  b: c\n\td: e\n", 3, "indent with spaces"),
        ("a: how: so\n", 1, "put in quotes"),
        ("a: {b: c: d}\n", 1, "quote a text with a colon or comma"),
        ("a: [b, c\nd: e\n", 2, "close what opens"),
        ("a: %b\n", 1, "put a text that begins with such a sign in quotes"),
        ("a: @b\n", 1, "put a text that begins with such a sign in quotes"),
    ],
)
def test_text_that_is_no_yaml_is_answered_with_what_would_do(
    text: str, line: int, said: str
) -> None:
    (fault,) = read_tree(text).faults
    assert fault.line == line
    assert said in fault.message


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ("11,5 V to 12 V", "write numbers with a point"),
        ("at least 11 volts", "write V, or"),
        ("3 bars to 4 bars", "write bar, or"),
        ("at most 12 minutes", "write min, or"),
        ("0 watts to 5 watts", "write W, or"),
        ("at most 3 lux", "use one of"),
        ("at least", "write it like"),
        ("12 V till 13 V", "write it like"),
    ],
)
def test_a_limit_that_cannot_be_read_is_answered_with_what_would_do(limit: str, said: str) -> None:
    with pytest.raises(MeasureError) as caught:
        LimitExpression.parse(limit)
    assert said in str(caught.value)


@pytest.mark.parametrize(("text", "said"), [("5 amps", "write A"), ("3 furlongs", "use one of")])
def test_a_unit_written_out_is_answered_with_its_sign(text: str, said: str) -> None:
    with pytest.raises(MeasureError) as caught:
        Quantity.parse(text)
    assert said in str(caught.value)
