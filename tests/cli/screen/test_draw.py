"""The picture of a state: nothing is lost for want of room but what matters least."""

import io
from dataclasses import replace

import pytest
from cli.screen.lines import (
    ACKNOWLEDGED,
    AFFIRM,
    ASK,
    CAUTION,
    CONFIRM,
    END,
    FINDING,
    JOB,
    KEY,
    KEY_MET,
    NEXT,
    READING,
    SESSION,
    VERDICT,
    VOLTS,
    Line,
    folded,
)
from rich.cells import cell_len
from rich.console import Console

from voiceassist.app.view import EarState
from voiceassist.cli.screen.draw import Screen, picture
from voiceassist.cli.screen.letters import written_large
from voiceassist.cli.screen.parts import ScreenState, ShownLevel

MEASURED = folded(
    SESSION, CAUTION, CONFIRM, AFFIRM, ACKNOWLEDGED, KEY, ASK, KEY_MET, VOLTS, READING, VERDICT
)


def rows(state: ScreenState, width: int = 80, height: int = 24) -> list[str]:
    console = Console(file=io.StringIO(), width=width, height=height)
    return [row.plain for row in picture(console, state, width, height)]


def text(state: ScreenState, width: int = 80, height: int = 24) -> str:
    return "\n".join(row.rstrip() for row in rows(state, width, height))


def large(words: str, width: int = 80) -> str:
    found = written_large(words, width)
    assert found is not None
    return "\n".join(found)


@pytest.mark.parametrize("size", [(80, 24), (200, 60), (120, 40), (40, 24), (20, 10), (80, 5)])
@pytest.mark.parametrize("upto", range(1, len(JOB) + 1))
def test_the_picture_is_just_as_large_as_the_terminal(size: tuple[int, int], upto: int) -> None:
    state = replace(folded(*JOB[:upto]), sound=ShownLevel(-30, -60, speech=False, clipped=True))
    found = rows(state, *size)
    assert len(found) == size[1]
    assert max(map(cell_len, found)) <= size[0]


def test_at_80_by_24_all_of_it_is_there() -> None:
    shown = text(replace(MEASURED, sound=ShownLevel(-30, -60, speech=False, clipped=False)))
    for part in (
        "Fan runs too fast", large("feed"), "WARNING: The fan may start. Keep clear.",
        "Heard: twelve point five volts  87% sure", "▼ 12.5 V", "PASS", "limit 12 V to 13 V",
        "└ 12 V", "13 V ┘", "Vehicle: key run", "mic", "noise -60 dB", "It is pin one.",
        large("Measure the feed."),
    ):  # fmt: skip
        assert part in shown, part


@pytest.mark.parametrize("signal", ["DANGER", "WARNING", "CAUTION", "NOTICE"])
def test_a_signal_word_is_large_until_it_is_acknowledged(signal: str) -> None:
    caution: Line = {**CAUTION, "signal": signal, "text": f"{signal}: the fan may start."}
    panel = [row.strip() for row in rows(folded(SESSION, caution, CONFIRM))]
    for row in large(signal).splitlines():
        assert row.strip() in panel
    shown = text(folded(SESSION, caution, CONFIRM, AFFIRM, ACKNOWLEDGED, ASK))
    assert large(signal).splitlines()[0] not in shown
    assert f"{signal}: The fan may start." in shown


@pytest.mark.parametrize("size", [(40, 16), (30, 12), (80, 9)])
def test_where_there_is_little_room_the_caution_and_the_task_stay(size: tuple[int, int]) -> None:
    shown = text(folded(SESSION, CAUTION, CONFIRM), *size)
    assert "WARNING" in shown or large("warning").splitlines()[1] in shown
    for part in ("The fan may start.", "Keep clear.", "understood."):
        assert part in shown, shown


@pytest.mark.parametrize(
    ("verdict", "word"),
    [("pass", "PASS"), ("low", "TOO LOW"), ("too close to call", "TOO CLOSE TO CALL")],
)
def test_a_verdict_stands_there_in_words(verdict: str, word: str) -> None:
    assert f" {word} " in text(folded(READING, {**VERDICT, "verdict": verdict}))


def test_the_doubt_band_is_named_where_there_is_one() -> None:
    assert "too close to call" not in text(MEASURED)
    band: Line = {**VERDICT, "guard_low": "12.2 V", "guard_high": "12.8 V"}
    assert "▒ too close to call" in text(folded(READING, band))


def test_over_range_points_beyond_the_bar() -> None:
    over: Line = {**VERDICT, "reading": "over range", "verdict": "high"}
    assert "over range ▶" in text(folded(over))


def test_a_lamp_has_no_bar() -> None:
    lamp: Line = {**VERDICT, "reading": "bright", "limit": "bright", "low": "", "high": ""}
    shown = text(folded(lamp))
    assert "bright" in shown
    assert "└" not in shown


def test_on_a_large_terminal_what_to_do_and_the_verdict_are_large() -> None:
    shown = text(MEASURED, 120, 40)
    assert large("Measure the feed.") in shown
    assert large("12.5 V: pass") in shown


def test_a_finding_is_told_once_with_its_reasons_and_then_kept_in_short() -> None:
    told, kept = text(folded(SESSION, FINDING, NEXT)), text(folded(SESSION, FINDING, AFFIRM, NEXT))
    assert told.count("the wire is broken") == 1
    assert "Because: feed: 3 V." in told
    assert "Finding: the wire is broken." in kept
    assert "To do: mend the wire." in kept


OFFER: Line = {"event": "ask", "step": "feed", "text": "Shall I guide the repair?"}
LONG = "the fan module does not follow a good command, so that it only does as it is told"


def inked(found: list[str]) -> set[str]:
    """Rows of large letters."""
    return {row.strip() for row in found if set(row.strip()) & set("▀▄█") and "░" not in row}


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("more", [[], [OFFER], [AFFIRM, NEXT, END]])
def test_the_finding_is_the_largest_text_until_the_repair_begins_and_at_the_end(
    size: tuple[int, int], more: list[Line]
) -> None:
    state = folded(SESSION, CAUTION, ACKNOWLEDGED, ASK, READING, VERDICT, FINDING, *more)
    written = written_large("the wire is broken", size[0], 7)
    assert written is not None
    assert inked(rows(state, *size)) == {row.strip() for row in written}
    assert "To do: mend the wire." in text(state, *size)


def test_a_finding_has_its_reasons_and_the_question_beside_it() -> None:
    shown = text(folded(SESSION, CAUTION, ACKNOWLEDGED, ASK, FINDING, OFFER))
    for part in ("FINDING", "WARNING: The fan", "Because: feed: 3 V.", "Shall I guide the repair?"):
        assert part in shown, part


def test_a_long_finding_has_its_first_clause_large_and_loses_no_word() -> None:
    long = {**FINDING, "cause": LONG, "text": f"Finding: {LONG}."}
    shown = rows(folded(SESSION, CAUTION, ACKNOWLEDGED, ASK, long, OFFER), 80, 18)
    clause, rest = LONG.split(", ")
    written = written_large(clause, 80, 7)
    assert written is not None
    assert inked(shown) == {row.strip() for row in written}
    assert f"{rest}." in [row.strip() for row in shown]


@pytest.mark.parametrize("size", [(20, 12), (30, 8), (20, 10), (80, 7)])
def test_where_letters_do_not_fit_the_finding_still_stands_there(size: tuple[int, int]) -> None:
    shown = " ".join(text(folded(SESSION, FINDING, OFFER), *size).split())
    assert "FINDING" in shown
    assert "THE WIRE IS BROKEN" in shown


def test_during_the_repair_its_step_is_large_and_the_finding_small() -> None:
    state = folded(SESSION, ASK, FINDING, OFFER, AFFIRM, NEXT)
    assert large("lamp") in text(state)
    assert "Finding: the wire is broken." in text(state)


def test_the_limit_of_the_step_at_hand_is_shown_before_its_reading() -> None:
    asked: Line = {**ASK, "limit": "12.1 V to 12.8 V"}
    assert "Should be: 12.1 V to 12.8 V" in text(folded(SESSION, asked))
    assert "Should be: 12.1 V to 12.8 V" in text(folded(SESSION, asked), 20, 12).replace("\n", " ")
    assert "Should be" not in text(folded(SESSION, ASK)), "there is none"


def test_a_limit_stays_while_something_else_is_asked_and_goes_with_its_step() -> None:
    asked: Line = {**ASK, "limit": "12.1 V to 12.8 V"}
    silent: Line = {"event": "ask", "step": "feed", "text": "", "limit": ""}
    assert "Should be" in text(folded(SESSION, asked, AFFIRM, silent))
    assert "Should be" in text(folded(SESSION, asked, AFFIRM, CONFIRM))
    for after in (NEXT, FINDING, END):
        assert "Should be" not in text(folded(SESSION, asked, after))


@pytest.mark.parametrize(
    ("state", "word"),
    [
        (replace(MEASURED, ears=EarState.LISTENING), "listening"),
        (replace(MEASURED, ears=EarState.LISTENING, speaking=True), "speaking"),
        (replace(MEASURED, ears=EarState.HEARING, speaking=True), "hearing you"),
        (replace(MEASURED, ears=EarState.THINKING), "thinking"),
        (replace(MEASURED, ears=EarState.IDLE), "waiting"),
        (folded(SESSION, END), "closed: repaired"),
    ],
)
def test_what_it_does_now_stands_there_in_words(state: ScreenState, word: str) -> None:
    assert word in rows(state)[-1]


def test_a_voice_that_is_too_loud_is_told_in_words() -> None:
    loud = replace(MEASURED, sound=ShownLevel(-4, -60, speech=True, clipped=True))
    assert "TOO LOUD" in rows(loud)[-1]


def test_nothing_heard_is_over_99_percent_sure_in_figures() -> None:
    assert "over 99% sure" in text(folded({**AFFIRM, "probability": 1.0}))
    assert "98% sure" in text(folded({**AFFIRM, "probability": 0.989}))


def drawn(no_color: bool) -> str:
    out = io.StringIO()
    console = Console(
        file=out, width=80, height=24, force_terminal=True, no_color=no_color,
        color_system="truecolor", legacy_windows=False,
    )  # fmt: skip
    console.print(Screen(folded(SESSION, CAUTION, CONFIRM)))
    return out.getvalue()


def test_without_colour_the_words_are_the_same_and_no_colour_is_sent() -> None:
    coloured, plain = drawn(no_color=False), drawn(no_color=True)
    assert "48;" in coloured  # a background colour of any kind
    assert "48;" not in plain
    assert "38;" not in plain
    for row in large("WARNING").splitlines():
        assert row.strip() in plain


LEADS = ("red lead at feed pin", "┌──────┬──────┐", "│ [1]  │  2   │", "└──────┴──────┘")


def test_where_the_leads_stand_is_shown_with_the_plug_as_it_is_drawn() -> None:
    shown = text(replace(folded(SESSION, ASK), leads=LEADS), 100, 40)
    assert "\n".join(LEADS) in shown


def test_the_leads_give_way_to_what_was_said() -> None:
    state = replace(folded(SESSION, ASK), leads=LEADS)
    assert text(state, 40, 12) == text(replace(state, leads=()), 40, 12)
