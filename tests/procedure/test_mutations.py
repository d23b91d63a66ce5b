"""However a file is spoilt, it is refused in sentences with a place, or it is still good."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voiceassist.procedure.faults import Fault, Severity
from voiceassist.procedure.meter_file import inspect_meter
from voiceassist.procedure.read import inspect

HOUSE = Path(__file__).parents[2]
FILES = {
    path.name: path.read_text(encoding="utf-8")
    for path in (
        HOUSE / "procedures" / "heater-fan-module.yaml",
        HOUSE / "procedures" / "meters" / "ordinary.yaml",
        HOUSE / "tests" / "data" / "roof-fan.yaml",
        HOUSE / "voiceassist" / "app" / "desk" / "starter.yaml",
    )
}
USED = (HOUSE / "tests" / "data" / "supply-check.yaml").read_text(encoding="utf-8")

Change = Callable[[list[str], int, int, str], list[str]]


def deleted(lines: list[str], at: int, other: int, noise: str) -> list[str]:
    return lines[:at] + lines[at + 1 :]


def swapped(lines: list[str], at: int, other: int, noise: str) -> list[str]:
    """The keys of two lines change places."""
    (one, _, rest), (two, _, more) = lines[at].partition(":"), lines[other].partition(":")
    new = list(lines)
    new[at], new[other] = f"{two}:{rest}", f"{one}:{more}"
    return new


def replaced(lines: list[str], at: int, other: int, noise: str) -> list[str]:
    key, _, _ = lines[at].partition(":")
    return [*lines[:at], f"{key}: {noise}", *lines[at + 1 :]]


def repeated(lines: list[str], at: int, other: int, noise: str) -> list[str]:
    """A block stands there twice."""
    first, last = min(at, other), max(at, other)
    return lines[:last] + lines[first:last] + lines[last:]


def cut_off(lines: list[str], at: int, other: int, noise: str) -> list[str]:
    return lines[:at]


#: Values that are something else than what a key wants, or nearly what it wants.
ODD = """\
;[];{};[a, b];{a: b};~;yes;12;at most;0 V to 0 A;x: y;!t 1;battery - battery;use;power-x;9e999 V
1 V / (battery - battery);{direction: rising};{by: key, table: {off: 1 V to 2 V}};never;- a"""
noise = st.one_of(
    st.text(max_size=20),
    st.sampled_from([*ODD.replace("\n", ";").split(";"), "a" * 700]),
)
changes = st.lists(
    st.tuples(
        st.sampled_from([deleted, swapped, replaced, repeated, cut_off]),
        st.integers(0, 10_000),
        st.integers(0, 10_000),
        noise,
    ),
    min_size=1,
    max_size=3,
)


def spoilt(text: str, how: list[tuple[Change, int, int, str]]) -> str:
    lines = text.splitlines()
    for change, at, other, noise in how:
        if lines:
            lines = change(lines, at % len(lines), other % len(lines), noise)
    return "\n".join(lines)


def check(found: object, faults: tuple[Fault, ...], text: str) -> None:
    assert (found is None) == any(fault.level is Severity.ERROR for fault in faults)
    lines = max(1, len(text.splitlines()))
    for fault in faults:
        assert 1 <= fault.line <= lines, fault
        assert fault.message, fault
        assert "\n" not in fault.message.strip() or "this is not YAML" in fault.message, fault
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)


@pytest.mark.parametrize("name", sorted(FILES))
@settings(max_examples=120)
@given(how=changes)
def test_a_spoilt_file_is_refused_with_a_place_or_still_good(
    name: str, how: list[tuple[Change, int, int, str]]
) -> None:
    text = spoilt(FILES[name], how)
    procedure, faults = inspect(text, lambda _: USED)
    check(procedure, faults, text)
    meter, faults = inspect_meter(text)
    check(meter, faults, text)


@settings(max_examples=60)
@given(how=changes)
def test_a_spoilt_used_file_is_told_at_the_step_that_uses_it(
    how: list[tuple[Change, int, int, str]],
) -> None:
    text = FILES["roof-fan.yaml"]
    procedure, faults = inspect(text, lambda _: spoilt(USED, how))
    check(procedure, faults, text)


@settings(max_examples=200)
@given(text=st.text(max_size=200))
def test_no_text_at_all_makes_the_reader_raise(text: str) -> None:
    procedure, faults = inspect(text)
    assert procedure is None
    assert faults
    assert all(fault.line >= 1 for fault in faults)
