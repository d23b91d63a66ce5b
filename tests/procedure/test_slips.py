"""The slips that writers make most, each answered with what would do."""

import pytest
from small_files import HEAD, faults_in, has, small

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.text.tree import read_tree

BATTERY = "battery: {measure: voltage of the battery, accept: 12 V to 13 V, fail: weak}\n"
FEED = "feed: {measure: voltage of the feed, accept: at most battery, fail: weak, then: fine}\n"


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
        ("a: >= 10 A\n", 1, "written 'at least 10 A'"),
        ("a:\n  b: c\n d: e\n", 3, "stand in one column"),
        ("a:\n  b: c\n   d: e\n", 3, "stand in one column"),
        ('a: "b" c\n', 1, "ends with its quote"),
        ("a: b\nc:d\ne: f\n", 2, "a colon and a space"),
        ("a: 'tis b\nc: d\ne: f\n", 1, "nothing closes it"),
        ("a: {b:c, d: e}\n", 1, "leave a space: 'b: c'"),
        ("a: {b: slot nine, upper contact}\n", 1, "put a text with a comma in quotes"),
        ("a: {b: 12,2 V}\n", 1, "write numbers with a point"),
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
        ("12.2-12.9 V", "write '12.2 V to 12.9 V'"),
        ("10 to 20 A", "write '10 A to 20 A'"),
        ("12.2 V - 12.9 V", "write '12.2 V to 12.9 V'"),
        ("min 10 A", "write 'at least 10 A'"),
        (">= battery - 0.5 V", "write 'at least battery - 0.5 V'"),
        ("less than 0.5 V", "write 'at most 0.5 V'"),
        ("4.8 A +/- 10 %", "write 'about 4.8 A +/- 10 %'"),
        ("12.2 V DC to 12.9 V DC", "write '12.2 V to 12.9 V'"),
        ("12.2v to 12.9v", "write '12.2V to 12.9V'"),
        ("min 10 lux", "write it like"),
        ("at least 11.5", "tell its unit too, such as 11.5 V"),
    ],
)
def test_a_limit_that_cannot_be_read_is_answered_with_what_would_do(limit: str, said: str) -> None:
    with pytest.raises(MeasureError) as caught:
        LimitExpression.parse(limit)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("4", "area", "write it like 4 mm²"),
        ("0.8", "resistance", "write it like 0.8 Ω"),
        ("often", "ratio", "write it like 8.4 %"),
        ("0.8", "", "write it like 8.4 V"),
    ],
)
def test_a_number_without_its_unit_is_answered_with_a_unit_of_what_is_wanted(
    text: str, kind: str, said: str
) -> None:
    with pytest.raises(MeasureError) as caught:
        Quantity.parse(text, kind)
    assert f"{text!r} is not a number with a unit" in str(caught.value)
    assert said in str(caught.value)


@pytest.mark.parametrize(("text", "said"), [("5 amps", "write A"), ("3 furlongs", "use one of")])
def test_a_unit_written_out_is_answered_with_its_sign(text: str, said: str) -> None:
    with pytest.raises(MeasureError) as caught:
        Quantity.parse(text)
    assert said in str(caught.value)


def test_a_denial_that_denies_nothing_is_answered_with_its_form() -> None:
    head = HEAD.replace("key to run}", "it, ask: is it, not: the key was off}}").replace(
        "run: turn the", "run: {do: turn"
    )
    found = faults_in(small(BATTERY).replace(HEAD, head))
    said = "'the key was off' lacks 'was not' or 'were not'; write it like"
    assert has(found, Severity.ERROR, "conditions.key.run.not", said), found


def test_a_name_in_two_words_is_answered_with_one() -> None:
    found = faults_in(small(BATTERY.replace("fail: weak", "fail: Weak one")))
    assert has(found, Severity.ERROR, "steps.battery.fail", "as in 'weak-one'"), found


@pytest.mark.parametrize(
    ("steps", "blamed"),
    [
        (BATTERY.replace("12 V to 13 V", "12 to 13 lux") + FEED, ["steps.battery.accept"]),
        (BATTERY.replace("12 V to 13 V", "12 V to lode") + FEED, ["steps.battery.accept"]),
        (
            BATTERY.replace("12 V to 13 V", "12 V to feed") + FEED,
            ["steps.battery.accept", "steps.feed.accept"],
        ),
    ],
)
def test_a_limit_is_not_blamed_for_the_one_that_it_needs(steps: str, blamed: list[str]) -> None:
    load = "load: {measure: voltage of the load, accept: at most feed, fail: weak, then: fine}"
    found = faults_in(small(steps + load))
    assert [path for level, path, _ in found if level is Severity.ERROR] == blamed, found


def test_what_needs_a_condition_that_cannot_be_read_is_not_blamed_for_it() -> None:
    head = HEAD.replace("{off: turn the key off, run: turn the key to run}", "[off, run]")
    feed = FEED.replace("feed: {", "feed: {needs: {key: run}, ")
    found = faults_in(small(BATTERY + feed).replace(HEAD, head))
    assert [path for level, path, _ in found if level is Severity.ERROR] == ["conditions.key"]


@pytest.mark.parametrize("sign", ["+", "-"])
def test_parts_of_two_kinds_are_named_as_they_were_written(sign: str) -> None:
    found = faults_in(
        small(BATTERY + FEED.replace("at most battery", f"at most battery {sign} 2 A"))
    )
    said = "'battery' is a voltage, and '2 A' is a current"
    assert has(found, Severity.ERROR, "steps.feed.accept", said), found
