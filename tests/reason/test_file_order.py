"""The minutes of an order are those worked by hand, and no step moves that would lose something."""

from functools import cache

import pytest
from bench import FAN
from prove.shop import LAMP, changed, setup

from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import GOOD
from voiceassist.reason.file_order import FileOrder, file_order
from voiceassist.reason.infer import UNLISTED
from voiceassist.reason.kept import kept
from voiceassist.reason.likely import likely
from voiceassist.reason.moves import Move, moved, moves
from voiceassist.reason.ways import ways

#: Battery 1 minute, as where none is told, feed 2, earth 4, the lamp out of its plug 1.
EFFORTS = (
    ("  feed:\n    needs", "  feed:\n    effort: 2 min\n    needs"),
    ("  earth:\n    needs", "  earth:\n    effort: 4 min\n    needs"),
    ("  whole:\n    needs", "  whole:\n    effort: 1 min\n    needs"),
)
TIMED = changed(LAMP, *EFFORTS)


@cache
def of(text: str) -> FileOrder:
    made = setup(text)
    return file_order(made, likely(made.procedure), draws=4)


def procedure(*changes: tuple[str, str], text: str = TIMED) -> Procedure:
    return read_procedure(changed(text, *changes), "small.yaml")


def can_move(of: Procedure) -> set[tuple[str, str]]:
    return {(m.step, m.before) for m in moves(of) if kept(of, m) is not None}


def test_the_minutes_to_a_finding_are_those_worked_by_hand() -> None:
    # Worked by hand: each path's efforts, added up.
    minutes = {GOOD: 8, "broken-wire": 3, "burnt-holder": 3, "broken-earth": 7, "lamp-gone": 8,
               "fed-short": 3, UNLISTED: 8}  # fmt: skip
    spent = of(TIMED).spent
    assert dict(spent.by_cause) == pytest.approx(minutes)
    # One in twenty is good, the five faults are alike, and three in a hundred are not listed:
    # 0.97 (0.05 · 8 + 0.19 (3 + 3 + 7 + 8 + 3)) + 0.03 · 8
    assert spent.mean == pytest.approx(5.0512)


def test_what_a_swap_saves_is_what_it_saves_by_hand() -> None:
    # The lamp before its earth: found after 4 minutes and not 8, the earth after 8 and not 7;
    # 0.97 · 0.19 · 3 minutes less. Lights and plug are brought back for the earth, four changes
    # more with a broken earth and two on a good vehicle: 0.5 (0.19 · 4 + 0.05 · 2) minutes more.
    (swap,) = of(TIMED).swaps
    assert swap.move == Move("whole", ("earth",))
    assert swap.saves == pytest.approx(0.97 * 0.19 * 3 - 0.5 * (0.19 * 4 + 0.05 * 2))


def test_where_every_step_takes_the_same_no_swap_is_told_that_saves_next_to_nothing() -> None:
    assert all(swap.saves >= 0.05 for swap in of(LAMP).swaps)


def test_a_swap_that_is_not_proved_is_not_offered() -> None:
    # A lamp that takes no current has failed; but one whose earth or feed is broken takes none
    # either, and is blamed where these were not looked at before.
    text = changed(
        TIMED,
        ("needs: {lights: off, lamp plug: out}\n    measure: resistance across the side lamp\n"
         "    accept: at most 12 Ω\n    fail: lamp",
         "needs: {lamp plug: in, lights: on}\n    measure: current in brown wire, by clamp\n"
         "    accept: at least 0.2 A\n    low: lamp"),
    )  # fmt: skip
    assert can_move(procedure(text=text)) >= {("whole", "earth"), ("whole", "feed")}
    found = of(text)
    assert found.unproved == (Move("whole", ("feed", "earth")),)
    assert found.swaps == ()


def test_a_step_moves_with_all_that_leads_to_it_and_from_it() -> None:
    whole = procedure()
    swapped = moved(whole, Move("whole", ("feed", "earth")))
    assert list(swapped.steps) == ["battery", "whole", "feed", "earth"]
    assert swapped.steps["battery"].routes["pass"] == "whole"
    assert swapped.steps["whole"].routes["pass"] == "feed"
    assert swapped.steps["earth"].routes["pass"] == "good"
    assert swapped.steps["feed"].routes == whole.steps["feed"].routes


def test_a_limit_keeps_the_reading_that_it_is_made_of() -> None:
    assert ("feed", "battery") not in can_move(procedure())
    assert ("earth", "feed") in can_move(procedure())


def test_no_step_is_taken_with_a_caution_less() -> None:
    known = procedure(("  earth:\n", "  earth:\n    caution: battery-gas\n"))
    assert ("whole", "earth") in can_move(known)  # it was told before, with the battery
    words = "cautions:\n  hot: {signal: CAUTION, hazard: the frame is hot, avoid: wait}\n"
    hot = ("steps:\n", f"{words}steps:\n")
    told = procedure(hot, ("  earth:\n", "  earth:\n    caution: hot\n"))
    assert ("whole", "earth") not in can_move(told)
    assert ("earth", "feed") in can_move(told)


def test_no_step_is_taken_before_what_was_opened_ahead_of_it() -> None:
    shut = procedure(("  earth:\n", "  earth:\n    opens: the lamp's cover\n"))
    assert ("whole", "earth") not in can_move(shut)


def test_what_rests_a_battery_or_sends_for_others_still_comes_first() -> None:
    charged = procedure(("accept: at most 12 Ω\n    fail: lamp", "accept: at most 12 Ω\n"
                         "    low: lamp\n    high: lamp"))  # fmt: skip
    assert all(before != "battery" for _, before in can_move(charged))


def test_a_step_that_leans_on_the_one_before_stays_behind_it() -> None:
    leaning = procedure(
        ("measure: resistance across", "measure: with the plug still out, resistance across")
    )
    assert ("whole", "earth") not in can_move(leaning)


def test_a_finding_keeps_its_proofs() -> None:
    text = changed(TIMED, ("lamp: {cause: the lamp has failed, correction: change it}",
                           "lamp: {cause: the lamp has failed, correction: change it, "
                           "condemns: side lamp, proved-by: {earth: earth}}"))  # fmt: skip
    assert ("whole", "earth") not in can_move(procedure(text=text))


def test_every_step_of_the_fan_that_moves_keeps_its_needs() -> None:
    fan = read_procedure(FAN, "fan.yaml")
    for move in moves(fan):
        swapped = kept(fan, move)
        if swapped is not None:
            assert {n: s.needs for n, s in swapped.steps.items()} == {
                n: s.needs for n, s in fan.steps.items()
            }


def test_how_often_each_way_is_taken_adds_up_by_hand() -> None:
    # Of all jobs three faults in five, each 0.19, end at the feed; of those left, one fault ends
    # at the earth; then the lamp, and the good vehicle with 0.05.
    made = setup(TIMED)
    found = ways(made, likely(made.procedure), draws=2)
    assert found.ends == pytest.approx(
        {"feed-side": 0.57, "earth-side": 0.19, "lamp": 0.19, "good": 0.05}
    )
    assert found.exits["feed", "feed-side"] == pytest.approx(0.57)
    assert found.exits["earth", "earth-side"] == pytest.approx(0.19 / 0.43)
    assert found.exits["whole", "lamp"] == pytest.approx(0.19 / 0.24)
