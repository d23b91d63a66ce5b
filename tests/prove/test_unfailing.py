"""A limit that nothing can fail is an error; one that no fault of the file needs is not."""

import pytest
from prove.shop import LAMP, changed, proved

from voiceassist.prove.proof_text import failures, to_json


def told(text: str) -> list[str]:
    procedure, proof = proved(text)
    return [f.step for f in failures(procedure, proof) if "cannot be failed" in f.message]


def test_no_limit_of_a_sound_procedure_is_told() -> None:
    assert told(LAMP) == []


@pytest.mark.parametrize("limit", ["at least 0 V", "0 V to 40 V", "-5 V to battery + 5 V"])
def test_a_limit_that_holds_whatever_is_broken_is_an_error(limit: str) -> None:
    wide = changed(LAMP, ("accept: battery - 0.5 V to battery + 0.1 V", f"accept: {limit}"))
    assert told(wide) == ["feed"]
    procedure, proof = proved(wide)
    (failure,) = [f for f in failures(procedure, proof) if "cannot be failed" in f.message]
    assert not failure.only_warns
    assert "the step passes with lights on, lamp plug in; tell" in failure.message
    assert to_json(proof)["unfailing"] == ["feed"]


def test_a_limit_that_only_an_unnamed_fault_would_fail_is_none() -> None:
    """No fault of this file fails the earth any more, but an open white wire would."""
    fewer = changed(
        LAMP,
        ("  broken-earth: {open: white wire, found-as: earth-side}\n", ""),
    )
    assert told(fewer) == []


def test_a_leak_fails_a_limit_that_a_dead_short_would_blow_the_fuse_before() -> None:
    """With the lamp out, 5 Ω to the frame draw 2.5 A; a dead short blows the fuse and draws 0 A."""
    leak = changed(
        LAMP,
        ("voltage from the lamp feed to the frame", "current in the brown wire, by clamp"),
        ("accept: battery - 0.5 V to battery + 0.1 V", "accept: at most 1.5 A"),
        ("    fail: feed-side", "    high: feed-side"),
    )
    assert told(leak) == []
