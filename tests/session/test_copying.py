"""Changed copies are those of the standard library."""

import dataclasses
from dataclasses import dataclass
from typing import Any

import pytest
from bench import Bench, volts

from voiceassist.session.copying import replace
from voiceassist.session.session import Session


@dataclass(frozen=True, slots=True)
class Checked:
    """Checks itself, and counts how often."""

    share: float

    def __post_init__(self) -> None:
        if not 0 <= self.share <= 1:
            raise ValueError("a share is from 0 to 1")


@dataclass(frozen=True, slots=True)
class Named(Checked):
    """Has a part that is not its own."""

    name: str = ""


@dataclass(frozen=True)
class Loose:
    """Keeps no slots."""

    one: int
    two: int = 2


def test_a_session_is_copied_as_by_the_standard_library() -> None:
    session = Bench().to("feed").session
    for field in dataclasses.fields(Session):
        change: Any = {field.name: object()}
        copied, expected = replace(session, **change), dataclasses.replace(session, **change)
        for part in dataclasses.fields(Session):
            assert getattr(copied, part.name) is getattr(expected, part.name)
        assert type(copied) is Session
    assert replace(session) == session
    assert replace(session) is not session


def test_the_copied_value_stays_as_it_was() -> None:
    session = Bench().to("feed").session
    before = repr(session)
    assert replace(session, pending=(volts("3"),)) != session
    assert repr(session) == before


def test_a_copy_checks_itself() -> None:
    for value in (Checked(0.5), Named(0.5, "half")):
        assert replace(value, share=0.25).share == 0.25
        with pytest.raises(ValueError, match="from 0 to 1"):
            replace(value, share=2.0)


def test_values_without_slots_are_copied_too() -> None:
    assert replace(Loose(1), two=3) == Loose(1, 3)


@pytest.mark.parametrize("value", [Checked(0.5), Loose(1)])
def test_a_part_that_is_not_there_is_refused(value: Checked | Loose) -> None:
    with pytest.raises(TypeError):
        replace(value, three=3)  # type: ignore[call-arg]


def test_a_part_that_a_session_has_not_is_refused() -> None:
    with pytest.raises(TypeError, match="no_such_part"):
        replace(Bench().session, no_such_part=1)  # type: ignore[call-arg]
