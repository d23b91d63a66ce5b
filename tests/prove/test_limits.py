"""Limits that nobody needs, and the room that readings leave at the others."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from prove.shop import LAMP, changed, proved, setup

from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import HIGH, LOW, PASS
from voiceassist.prove.cases import Case
from voiceassist.prove.limits import Limits, Margin, cases_of, limits_of
from voiceassist.prove.walk import Compared, Taken, Walk
from voiceassist.prove.widening import without_end

#: The lamp with one more fault, which is no open circuit.
WORN = changed(
    LAMP,
    (
        "faults:\n",
        "faults:\n  worn: {high-resistance: side lamp, value: 50 Ω to 100 Ω, found-as: lamp}\n",
    ),
)
PROCEDURE = setup().procedure
EVERY_END = (
    ("battery", LOW),
    ("battery", HIGH),
    ("feed", LOW),
    ("feed", HIGH),
    ("earth", HIGH),
    ("whole", HIGH),
)


def limits(text: str) -> Limits:
    _, proof = proved(text)
    assert proof.examined is not None
    return proof.examined.limits


def test_ends_that_no_fault_falls_beyond_are_not_needed_and_a_step_without_others_is_idle() -> None:
    """No fault of the lamp weakens the battery, and none lifts the feed above it."""
    found = limits(WORN)
    assert found.unneeded == (("battery", LOW), ("battery", HIGH), ("feed", HIGH))
    assert found.idle == ("battery",)


def test_over_range_needs_no_end() -> None:
    """A broken filament fails whatever the limit is."""
    assert ("whole", HIGH) in limits(LAMP).unneeded


def test_an_end_that_a_later_step_stands_in_for_is_not_needed() -> None:
    """Without the limit of the lamp's earth, the same reading taken again names the same fault."""
    twice = changed(
        WORN,
        (
            "  whole:\n",
            "  again:\n    measure: voltage from the lamp earth to the frame\n"
            "    accept: at most 0.2 V\n    high: earth-side\n  whole:\n",
        ),
    )
    found = limits(twice)
    assert ("earth", HIGH) in found.unneeded
    assert ("again", HIGH) in found.unneeded
    assert {"earth", "again"} <= set(found.idle)
    assert ("whole", HIGH) not in found.unneeded


def test_a_limit_that_no_path_of_the_diagnosis_leads_to_is_left_alone() -> None:
    spare = (
        "findings:\n",
        "  spare:\n    measure: voltage from the lamp earth to the frame\n"
        "    accept: at most 0.1 V\n    fail: lamp\n    then: good\nfindings:\n",
    )
    apart = setup(changed(LAMP, spare)).procedure
    assert "spare" in apart.steps
    assert limits_of(apart, [], []).unneeded == EVERY_END


# --- which walks are made ---


def walk(*taken: tuple[str, str], finding: str = "", compared: tuple[Compared, ...] = ()) -> Walk:
    steps = tuple(Taken(step, outcome, "") for step, outcome in taken)
    return Walk(taken=steps, finding=finding, compared=compared)


def test_each_end_that_a_fault_falls_beyond_is_taken_away_once_for_it() -> None:
    low = walk(("battery", PASS), ("feed", LOW), finding="feed-side")
    done = [
        (Case("broken-wire", 0, 2), low),
        (Case("broken-wire", 1, 2), low),
        (Case("burnt-holder", 1, 2), low),
        (Case("broken-earth", 0, 2), walk(("feed", PASS), ("earth", HIGH), finding="earth-side")),
    ]
    assert list(cases_of(PROCEDURE, done)) == [
        Case("broken-wire", 0, 2, widened=("feed", LOW)),
        Case("burnt-holder", 1, 2, widened=("feed", LOW)),
        Case("broken-earth", 0, 2, widened=("earth", HIGH)),
    ]


def test_what_is_no_end_of_a_limit_is_not_taken_away() -> None:
    none_there = walk(("earth", LOW), ("whole", "over"), ("nowhere", HIGH), ("feed", "skipped"))
    assert not list(cases_of(PROCEDURE, [(Case("lamp-gone", 0, 1), none_there)]))


@pytest.mark.parametrize("end", EVERY_END)
def test_taking_an_end_away_leaves_everything_else(end: tuple[str, str]) -> None:
    opened = without_end(PROCEDURE, end)
    name, side = end
    before, after = PROCEDURE.steps[name].limit, opened.steps[name].limit
    assert before is not None
    kept = before.high if side == LOW else before.low
    if kept is None:
        assert after is None
    else:
        assert after is not None
        assert (after.low, after.high) == ((None, kept) if side == LOW else (kept, None))
    assert {n: s for n, s in opened.steps.items() if n != name} == {
        n: s for n, s in PROCEDURE.steps.items() if n != name
    }


# --- what the walks tell ---

BROKEN = Case("broken-wire", 0, 1)
FOUND = walk(("feed", LOW), finding="feed-side")
WIDE = Case("broken-wire", 0, 1, widened=("feed", LOW))


@pytest.mark.parametrize(
    ("after", "is_needed"),
    [
        (walk(("feed", PASS), ("earth", HIGH), finding="earth-side"), True),
        (walk(("feed", PASS), ("earth", PASS), ("whole", PASS), finding="good"), True),
        (walk(("feed", PASS)), True),
        (walk(("feed", PASS), ("earth", HIGH), finding="feed-side"), False),
    ],
)
def test_an_end_is_needed_when_the_walk_without_it_leads_elsewhere(
    after: Walk, is_needed: bool
) -> None:
    found = limits_of(PROCEDURE, [(BROKEN, FOUND)], [(WIDE, after)])
    assert (("feed", LOW) not in found.unneeded) is is_needed
    assert ("feed" not in found.idle) is is_needed
    others = tuple(end for end in EVERY_END if end != ("feed", LOW))
    assert tuple(end for end in found.unneeded if end != ("feed", LOW)) == others


def test_one_fault_that_needs_an_end_is_enough() -> None:
    holder, wide_holder = (
        Case("burnt-holder", 0, 1),
        Case("burnt-holder", 0, 1, widened=WIDE.widened),
    )
    same, astray = FOUND, walk(("feed", PASS), finding="good")
    done = [(BROKEN, FOUND), (holder, FOUND)]
    found = limits_of(PROCEDURE, done, [(WIDE, astray), (wide_holder, same)])
    assert ("feed", LOW) not in found.unneeded


def test_another_wrong_finding_than_before_makes_an_end_needed() -> None:
    """Both are wrong for this fault, yet the end is what decides between them."""
    lamp, wide = Case("lamp-gone", 0, 1), Case("lamp-gone", 0, 1, widened=("feed", LOW))
    found = limits_of(PROCEDURE, [(lamp, FOUND)], [(wide, walk(finding="earth-side"))])
    assert ("feed", LOW) not in found.unneeded


def test_a_walk_is_held_against_the_one_of_its_own_draw() -> None:
    """The second draw was found at once; the first was astray before and is astray now."""
    astray = walk(finding="good")
    done = [(Case("broken-wire", 0, 2), astray), (Case("broken-wire", 1, 2), FOUND)]
    wide = Case("broken-wire", 0, 2, widened=("feed", LOW))
    assert ("feed", LOW) in limits_of(PROCEDURE, done, [(wide, astray)]).unneeded


# --- the room at each end ---


def read(reading: str, verdict: str = PASS, low: str = "12.0 V", high: str = "13.0 V") -> Compared:
    return Compared("battery", verdict, reading, low, high)


def rooms(*compared: Compared) -> dict[str, Margin]:
    walks = [(Case("", n, 1), walk(compared=(one,))) for n, one in enumerate(compared)]
    return {room.end[1]: room for room in limits_of(PROCEDURE, walks, []).rooms}


def test_the_nearest_reading_on_either_side_tells_the_room() -> None:
    found = rooms(
        read("12.5 V"), read("12.75 V"), read("12.25 V"), read("11.5 V", LOW), read("11.75 V", LOW)
    )
    low, high = found[LOW], found[HIGH]
    assert (low.end, low.inside, low.outside, low.at, low.unit) == (
        ("battery", LOW), 0.25, 0.25, 12.0, "V"
    )  # fmt: skip
    assert (high.end, high.inside, high.outside, high.at) == (("battery", HIGH), 0.25, None, 13.0)
    assert low.share == pytest.approx(0.25 / 12)


def test_units_are_brought_together_and_the_order_does_not_matter() -> None:
    both = read("12250 mV"), read("14.5 V", HIGH), read("13500 mV", HIGH)
    assert rooms(*both) == rooms(*reversed(both))
    assert rooms(*both)[HIGH].outside == 0.5
    assert rooms(*both)[LOW].inside == 0.25


def test_what_is_too_close_to_call_or_cannot_be_compared_leaves_no_mark() -> None:
    close = Verdict.TOO_CLOSE.value
    assert rooms(read("12.0 V", close)).keys() == {LOW, HIGH}
    assert {(r.inside, r.outside) for r in rooms(read("12.0 V", close)).values()} == {(None, None)}
    assert rooms(read("bright"), read("over range", HIGH), read("3 A")) == {}
    assert rooms(read("12.5 V", low="")).keys() == {HIGH}


def test_an_end_that_moves_is_told_where_the_nearest_reading_met_it() -> None:
    found = rooms(read("12.5 V", low="12.0 V"), read("13.0 V", low="12.875 V"))
    assert (found[LOW].inside, found[LOW].at) == (0.125, 12.875)


@pytest.mark.parametrize(("inside", "at"), [(None, 12.0), (0.5, 0.0)])
def test_where_no_share_can_be_told_it_is_whole(inside: float | None, at: float) -> None:
    assert Margin(("feed", LOW), inside, None, at, "V").share == 1.0


def test_the_share_of_an_end_below_zero_is_positive() -> None:
    assert Margin(("feed", LOW), 0.5, None, -2.0, "V").share == 0.25


@given(st.lists(st.decimals("12.0", "13.0", places=2), min_size=1))
def test_the_room_inside_is_what_the_extreme_readings_leave(values: list[Decimal]) -> None:
    found = rooms(*(read(f"{value} V") for value in values))
    assert found[LOW].inside == pytest.approx(float(min(values) - 12))
    assert found[HIGH].inside == pytest.approx(float(13 - max(values)))
