"""What is answered beside the step, word for word, and what is done where nothing can be."""

from decimal import Decimal

import pytest
from bench import Bench, amps, small, volts

from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    Reading,
    Series,
    Spread,
)
from voiceassist.session.choosing import choosable
from voiceassist.session.events import Heard, Interrupted, NoReply
from voiceassist.session.naming import IN_STATE
from voiceassist.session.outputs import DetailChanged, NoteTaken, StepSkipped, VerdictGiven
from voiceassist.session.session import Detail
from voiceassist.session.states import State
from voiceassist.session.table import HERE, STEP, Then

ROW = """
feed: {measure: voltage of the feed, accept: 11 V to 13 V, fail: bad}
end: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad, then: good}
"""
NOT_EXPECTED = "That does not fit here."


def bare(value: str) -> Reading:
    return Reading(Decimal(value), None)


def rows() -> Bench:
    return small(ROW)


# --- what is wrong, and why ---


def test_the_cause_so_far_is_told_by_what_is_known() -> None:
    unknown = "No cause is proved yet; so far nothing measured is wrong."
    assert rows().after("cause").texts() == unknown
    assert rows().after(volts("12.0"), "cause").texts() == unknown
    found = rows().after(volts("5.0"))
    assert found.after("cause").texts() == "What is known: it is bad. Because: feed: 5.0 V."


def test_before_a_finding_what_stands_out_is_the_last_reading_that_failed() -> None:
    bench = small("""
        feed: {measure: voltage of the feed, accept: 11 V to 13 V, fail: end, then: good}
        end: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad, then: good}
    """).after(volts("5.0"))
    assert bench.after("cause").texts() == (
        "No cause is proved yet. What stands out is feed 5.0 V."
    )


def test_at_the_finding_its_questions_are_answered_of_it() -> None:
    bench = rows().after(volts("5.0"))
    assert bench.state is State.AFTER
    assert bench.after("why").texts() == "Because: feed: 5.0 V."
    assert bench.after("how").texts() == "Mend it."
    assert bench.after("explain").texts() == "Finding: it is bad. Because: feed: 5.0 V. Mend it."
    assert bench.after("limit").texts() == "Feed, 5.0 V: it should be 11 V to 13 V."
    assert bench.after("where").texts().startswith("The finding is this: it is bad.")
    assert bench.after("how-far").texts() == "Nothing more to do."


def test_what_was_read_is_told_by_its_name_and_the_last_without_one() -> None:
    bench = rows()
    assert bench.after("read-last").texts() == "You have taken no readings yet."
    assert bench.after("read-back").texts() == "You have taken no readings yet."
    assert bench.after(Command("read-back", "feed")).texts() == "Feed has not been measured yet."
    bench.say(volts("12.0"))
    assert bench.after("read-last").texts() == "Feed was 12.0 V."
    assert bench.after(Command("read-back", "feed")).texts() == "Feed was 12.0 V."
    assert bench.after("read-back").texts() == "Your readings: feed, 12.0 V."


def test_what_is_next_is_what_is_awaited() -> None:
    bench = rows()
    asked = bench.texts()
    assert asked.endswith("Measure the voltage of the feed.")
    assert bench.after("next").texts() == "Measure the voltage of the feed."


@pytest.mark.parametrize("asked", ["next", "repeat"])
def test_where_a_change_is_waited_for_the_change_is_what_is_next(asked: str) -> None:
    bench = small("""
        row: {needs: {key: run}, sweep: voltage on the pin, unit: V,
          accept: {direction: falling}, fail: bad, then: good}
    """)
    assert bench.state is State.CONDITION
    assert bench.after(asked).texts() == "Turn the key to run. Say done."


def test_a_step_that_needs_no_tool_and_tells_nothing_says_so() -> None:
    bench = small("look: {ask: is it dark, answers: {yes: bad, no: good}}")
    assert bench.after("tool").texts() == "The procedure says no more about how."
    assert small("one: {lamp: at the end, fail: bad, then: good}").after("tool").texts() == (
        "The test lamp."
    )
    assert rows().after("tool").texts() == "The multimeter."
    counted = small("one: {count: flashes, accept: at most 3 times, fail: bad, then: good}")
    assert counted.after("tool").texts() == "The procedure says no more about how."


# --- how much is spoken ---


@pytest.mark.parametrize(
    ("at_first", "words", "now"),
    [
        (Detail.NORMAL, ("less",), "brief"),
        (Detail.NORMAL, ("less", "less"), "brief"),
        (Detail.NORMAL, ("more",), "teaching"),
        (Detail.TEACHING, ("more",), "teaching"),
        (Detail.TEACHING, ("less",), "normal"),
        (Detail.BRIEF, ("more",), "normal"),
    ],
)
def test_less_and_more_go_one_level_on_and_no_further(
    at_first: Detail, words: tuple[str, ...], now: str
) -> None:
    said = {
        "brief": "I will say less.",
        "normal": "I will say it in the usual words.",
        "teaching": "I will explain more.",
    }
    bench = small(ROW, detail=at_first).after(*words)
    changed = [o for o in bench.outputs if isinstance(o, DetailChanged)]
    assert [(o.step, o.text, o.detail) for o in changed] == [("feed", said[now], now)]
    assert bench.session.detail is Detail(now)


STEP_IN_FULL = """
one: {measure: voltage on the pin, how: hold still, why: it feeds the lamp, accept: 4 V to 6 V,
  fail: bad, then: two}
two: {measure: voltage on the pin, how: hold still, why: it feeds the lamp, accept: 4 V to 6 V,
  fail: bad, then: good}
"""
POINT, HOW, WHY = "The pin: pin one with the red wire.", "Hold still.", "Why: it feeds the lamp."


@pytest.mark.parametrize(
    ("detail", "first", "second"),
    [
        (Detail.BRIEF, "One.", "Two."),
        (
            Detail.NORMAL,
            f"Measure the voltage on the pin. {POINT} {HOW}",
            "Voltage on the pin.",
        ),
        (
            Detail.TEACHING,
            f"Measure the voltage on the pin. {POINT} {HOW} {WHY}",
            f"Voltage on the pin. {POINT} {HOW} {WHY}",
        ),
    ],
)
def test_a_step_tells_its_place_and_way_once_and_to_a_learner_each_time_with_its_reason(
    detail: Detail, first: str, second: str
) -> None:
    bench = small(STEP_IN_FULL, detail=detail)
    assert bench.texts().endswith(first)
    assert bench.after(volts("5.0")).texts() == f"5.0 V. Good. {second}"


# --- what can not be taken back ---


def test_where_nothing_was_said_nothing_is_taken_back() -> None:
    to_correct = "There is nothing to correct here. For an earlier reading, say revise."
    assert rows().after("revise").texts() == to_correct
    assert rows().after("mistake").texts() == to_correct
    assert rows().after("go-back").texts() == "There is no earlier step to go back to."
    assert rows().after("disregard").texts() == (
        "There is nothing to forget. To change a reading, say revise."
    )
    assert rows().after("same").texts() == (
        "There is no earlier value of this kind. Say what it shows."
    )


def test_while_a_value_is_corrected_no_other_is_begun() -> None:
    bench = rows().after(volts("12.0"), "revise", Answer("feed"))
    assert bench.texts() == "Feed was 12.0 V. Say what is right, or go back to keep it."
    assert bench.after("revise").texts() == (
        "Say the right value, or go back to keep the one you had."
    )
    assert bench.after("go-back").texts() == ("The value stays as it was. Voltage of the end.")
    assert bench.step == "end"


def test_the_same_as_before_is_the_last_value_of_its_kind() -> None:
    bench = rows().after(volts("12.0"), "same")
    assert [r.shown for r in bench.session.ledger] == ["12.0 V", "12.0 V"]
    other = small("""
        feed: {measure: current of the feed, accept: 1 A to 3 A, fail: bad}
        end: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad, then: good}
    """).after(amps("2.0"), "same")
    assert other.texts() == "There is no earlier value of this kind. Say what it shows."


def test_the_value_that_was_misread_is_asked_for_again() -> None:
    bench = rows().after(volts("12.0"), "mistake")
    assert (bench.step, bench.state) == ("feed", State.MEASURE)
    assert bench.texts() == "Feed was 12.0 V. Say what is right, or go back to keep it."
    named = small("""
        one: {measure: voltage of the feed, accept: 11 V to 13 V, fail: bad}
        two: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad}
        three: {measure: voltage of the rest, accept: 11 V to 13 V, fail: bad, then: good}
    """).after(volts("12.0"), volts("12.5"))
    assert named.after(Command("mistake", "one")).step == "one"


def test_a_named_reading_is_corrected_in_one_breath_and_another_kind_of_value_is_not() -> None:
    bench = rows().after(volts("12.0"))
    bench.say(Correction(volts("12.5"), "feed"))
    assert bench.texts() == "Feed corrected: 12.5 V. Good. Voltage of the end."
    assert [r.shown for r in bench.session.ledger if not r.superseded] == ["12.5 V"]
    before = bench.session
    assert bench.after(Correction(Lamp("bright"), "feed")).texts().startswith(NOT_EXPECTED)
    assert bench.session.ledger == before.ledger


# --- skipping ---


def test_a_step_is_skipped_with_its_reason_in_one_breath_or_asked_for_it() -> None:
    bench = rows().after(Command("skip", "no-tool"))
    assert bench.texts() == "Skipped, no tool. Measure the voltage of the end."
    assert bench.step == "end"
    asked = rows().after("skip")
    assert asked.texts() == (
        "Why skip this step? You can say no access, or no tool, or not fitted, or not safe. "
        "Say negative to stay."
    )
    assert asked.after(Answer("somewhere")).texts() == (
        "Why skip this step? You can say no access, or no tool, or not fitted, or not safe. "
        "Say negative to stay."
    )
    assert asked.after(Command("skip", "not-safe")).texts().startswith("Skipped, not safe.")


def test_a_step_that_cannot_be_skipped_says_why_whatever_the_reason() -> None:
    bench = small("one: {skip: never, measure: voltage, accept: 4 V to 6 V, fail: bad, then: good}")
    for said in (Command("skip"), Command("skip", "no-tool")):
        assert bench.after(said).texts() == "This step cannot be skipped."
    asked = small("look: {ask: is it dark, answers: {yes: bad, no: good}}")
    assert asked.after("skip").texts() == (
        "A question cannot be skipped: its answer decides what comes next."
    )


def test_what_can_be_taken_early_goes_by_the_way_of_steps_that_pass_not_of_those_left_out() -> None:
    bench = small("""
        feed: {skip: end, measure: voltage of the feed, accept: 11 V to 13 V, fail: bad}
        middle: {measure: voltage of the middle, accept: 11 V to 13 V, fail: bad}
        end: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad, then: good}
    """)
    assert choosable(bench.engine.setup, bench.session) == ("middle", "end")


# --- answers that do not fit ---


ASKED = """
tells: {ask: which way, answers: {left: {say: [to the left], go: good}, right: bad}}
"""


def test_an_answer_that_is_none_here_is_refused_and_help_names_those_there_are() -> None:
    bench = small(ASKED)
    assert bench.after(Answer("up")).texts() == "That does not fit here. Which way?"
    assert "Here you can say to the left, or right." in bench.after("help").texts()
    assert bench.after(Answer("left")).session.finding == "good"


def test_of_two_hearings_that_are_no_answer_here_both_are_refused() -> None:
    bench = small(ASKED)
    bench.hear(volts("5"), volts("15"))
    assert bench.texts() == "That does not fit here. Which way?"


@pytest.mark.parametrize(("said", "told"), [(volts("9"), "Forgotten."), ("skip", "All right.")])
def test_what_was_waiting_and_is_denied_is_said_to_be_dropped(
    said: Meaning | str, told: str
) -> None:
    one = "one: {measure: voltage, accept: 4 V to 6 V, fail: bad, then: good}"
    bench = small(one, certain=False).after(said, "negative")
    assert bench.texts() == f"{told} Measure the voltage."


def test_help_names_a_plain_no_beside_answers_in_words_of_their_own() -> None:
    bench = small(
        "it: {ask: is it so, answers: {mostly: {say: [for the most part], go: good}, no: bad}}"
    )
    assert "Here you can say for the most part, or negative." in bench.after("help").texts()


def test_a_row_of_values_is_none_where_one_reading_is_wanted() -> None:
    bench = rows().after(Series((volts("12.0"), volts("12.1"))))
    assert bench.texts() == "Give one steady reading here."
    assert bench.session.ledger == ()


SWEEP = """
row: {sweep: voltage on the pin while it is turned up,
  accept: {direction: falling, start: 8 V to 9 V, end: 2 V to 3 V, least: 2}, fail: bad, then: good}
"""


@pytest.mark.parametrize("said", ["done", "disregard", Correction(volts("8.4"))])
def test_before_the_first_reading_of_a_row_there_is_none_to_end_drop_or_correct(
    said: Meaning | str,
) -> None:
    bench = small(SWEEP)
    assert bench.after(said).texts().startswith(NOT_EXPECTED)
    assert (bench.state, bench.session.points) == (State.SWEEP, ())


def test_a_reading_of_a_row_is_corrected_or_dropped_and_another_quantity_is_none() -> None:
    bench = small(SWEEP).after(volts("8.4"), volts("5.0"))
    assert bench.texts() == "5.0 V."
    bench.say(Correction(volts("5.5")))
    assert [str(point.value) for point in bench.session.points] == ["8.4", "5.5"]
    for wrong in (amps("2"), Correction(amps("2"))):
        assert bench.after(wrong).texts().startswith(NOT_EXPECTED)
    assert bench.after("disregard").texts() == "Forgotten."
    assert [str(point.value) for point in bench.session.points] == ["8.4"]


def judged(bench: Bench) -> VerdictGiven:
    return [o for o in bench.outputs if isinstance(o, VerdictGiven)][-1]


@pytest.mark.parametrize(
    ("points", "told", "verdict"),
    [
        (("8.4", "2.5"), "Good.", "pass"),
        (("8.4",), "Too few readings: take at least 2 and say done.", "not valid"),
        (("8.4", "8.6", "2.5"),
         "Reading 2 goes the wrong way: they should be falling steadily.", "low"),
        (("7.0", "2.5"), "The first reading is not as it should be: 8 V to 9 V.", "low"),
        (("8.4", "3.5"), "The last reading is not as it should be: 2 V to 3 V.", "high"),
    ],
)  # fmt: skip
def test_a_row_is_judged_as_a_whole_by_its_way_and_its_ends(
    points: tuple[str, ...], told: str, verdict: str
) -> None:
    bench = small(SWEEP).after(*map(volts, points), "done")
    found = judged(bench)
    assert (found.step, found.text) == ("row", told)
    assert found.verdict == verdict


def test_a_value_that_wanders_more_than_it_may_fails_at_its_step() -> None:
    step = "{measure: voltage, steady: 0.2 V, accept: 4 V to 6 V, fail: bad, then: good}"
    bench = small(f"one: {step}").after(Spread(volts("5.0"), volts("5.5")))
    found = judged(bench)
    assert (found.step, found.verdict, found.limit) == ("one", "high", "steady within 0.2 V")
    assert found.text == "It wanders by 0.5 V: it should hold within 0.2 V."
    assert bench.session.finding == "bad"


OHM = """
    one: {measure: voltage of the end, unit: V}
    two: {measure: current of the end, unit: A}
    ohm: {compute: one / two, accept: at most 1 Ω, high: bad, then: good}
"""


def test_what_cannot_be_worked_out_from_its_parts_waits_and_skipped_it_proves_nothing() -> None:
    bench = small(OHM).after(volts("5.0"), amps("0"))
    assert bench.state is State.COMPUTE
    assert bench.session.finding == ""
    assert bench.texts() == (
        "0 A, noted. This cannot be worked out: nothing can be divided by zero. "
        "Say revise to measure a part of it again, or skip."
    )
    bench.say("skip")
    (left_out,) = [o for o in bench.outputs if isinstance(o, StepSkipped)]
    assert (left_out.step, left_out.reason) == ("ohm", "no-value")
    assert left_out.text == "Skipped, it cannot be worked out."
    assert "Steps were skipped, so this finding is not proved." in bench.texts()


def test_a_sum_by_zero_that_may_not_be_skipped_waits_for_another_value() -> None:
    never = OHM.replace("then: good", "skip: never, then: good")
    bench = small(never).after(volts("5.0"), amps("0"), "skip")
    assert bench.texts() == "This step cannot be skipped."
    bench.after(Correction(amps("10")))
    assert bench.session.finding == "good"
    assert "not proved" not in bench.texts()


@pytest.mark.parametrize(("skip", "state"), [("", State.AFTER), ("skip: never, ", State.COMPUTE)])
def test_a_sum_whose_part_was_skipped_is_left_out_unless_it_never_may_be(
    skip: str, state: State
) -> None:
    bench = small(OHM.replace("then: good", f"{skip}then: good")).after(volts("5.0"), "skip")
    bench.say(Answer("no-access"))
    told = "This cannot be worked out, because two has not been measured."
    assert (told in bench.texts(), bench.state) == (True, state)


def test_two_bare_numbers_between_which_it_wanders_are_asked_for_their_unit() -> None:
    """Forty volts fail where 100 mV are the most; forty millivolts would pass."""
    bench = small(
        "one: {measure: voltage of the end, accept: at most 0.1 V, fail: bad, then: good}"
    )
    bench.say(Spread(bare("40"), bare("50")))
    assert bench.state is State.WHICH
    assert bench.texts() == (
        "Was that 40 V to 50 V, or 40 mV to 50 mV? Say it again with its unit."
    )


# --- a condition that was forgotten ---

FORGOTTEN = """
a: {needs: {key: off}, measure: voltage of the feed, accept: 4 V to 6 V, fail: b, then: good}
b: {needs: {key: run}, measure: voltage of the end, accept: 4 V to 6 V,
  if-forgotten: {key: at most 1 V}, fail: bad, then: good}
"""


def test_a_forgotten_change_puts_no_reading_in_doubt_that_was_taken_in_another_state() -> None:
    bench = small(FORGOTTEN).after("done", volts("2.0"), "done", volts("0.5"))
    assert bench.state is State.FORGOTTEN
    bench.say("negative")
    assert bench.step == "b"
    assert "Nor does" not in bench.texts()
    assert [(r.step, r.superseded) for r in bench.session.ledger] == [("a", False)]


def test_a_forgotten_change_puts_in_doubt_what_led_here_in_the_same_state() -> None:
    bench = small(FORGOTTEN.replace("key: off", "key: run")).after(
        "done", volts("2.0"), volts("0.5"), "negative"
    )
    assert bench.step == "a"
    assert "Nor does a." in bench.texts()
    assert [(r.step, r.superseded) for r in bench.session.ledger] == [("a", True)]


# --- notes, offers and ways ---


def test_a_difference_of_the_vehicle_is_noted_in_the_words_it_was_told() -> None:
    bench = rows()
    bench.hear(Command("differs"), words="there are two wires")
    (note,) = [o for o in bench.outputs if isinstance(o, NoteTaken)]
    assert (note.step, note.words, note.verified) == ("feed", "there are two wires", True)
    assert note.text == (
        "Noted. Then the drawing may not fit this vehicle: find each wire by its plug and pin "
        "before you measure."
    )


@pytest.mark.parametrize(
    ("guess", "offered"),
    [
        (Answer("left"), "to the left"),
        (Answer("done"), "done"),
        (Note("it is green"), "take that as a note"),
        (Command("read-back", "feed"), "read back"),
    ],
)
def test_what_was_likely_meant_is_offered_in_a_few_words(guess: Meaning, offered: str) -> None:
    bench = small(ASKED)
    bench.give(Heard("mumble", guess=guess, certain=True))
    assert bench.state is State.MEANT
    assert bench.texts() == f"Did you mean {offered}? Say affirm or negative."
    assert bench.after("negative").state is State.ASK


def test_a_value_that_cannot_be_compared_is_offered_without_the_step_it_is_for() -> None:
    bench = rows().after(volts("12.0"))
    bench.give(Heard("mumble", guess=Correction(volts("12.5"), "feed"), certain=True))
    assert "feed" not in bench.texts()
    assert bench.texts().startswith("Did you mean ")


def test_an_entry_of_the_table_tells_every_state_that_may_follow() -> None:
    then = Then(lambda *_: None, State.PICK, HERE)  # type: ignore[arg-type]
    assert then.states(State.ASK) == {State.PICK, State.ASK}
    led = Then(lambda *_: None, STEP)  # type: ignore[arg-type]
    assert {State.MEASURE, State.LAMP, State.CAUTION} <= led.states(State.ASK)
    assert State.CLOSED not in led.states(State.ASK)


def test_only_what_is_of_the_procedure_can_be_gone_to() -> None:
    bench = rows()
    assert bench.after(Command("go-to", "roof")).texts() == (
        "There is no step called roof here. Say go to, and one of these: end."
    )
    assert bench.after(Command("go-to")).texts() == "Say go to, and one of these: end."
    assert bench.after(Command("go-to", "feed")).texts() == "That is the step we are at."
    last = rows().after(volts("12.0"))
    assert last.after(Command("go-to", "feed")).texts() == (
        "Feed is measured already. Say revise to take it again."
    )
    assert last.after(Command("go-to")).texts() == "No other step can come before this one."


def test_against_which_cause_is_to_be_said() -> None:
    assert rows().after("against").texts() == "Say which: why not, and the cause by its name."


# --- pauses ---

KEY = "one: {needs: {key: run}, measure: voltage of the end, accept: 4 V to 6 V, fail: bad}\n" + (
    "two: {measure: voltage of the rest, accept: 4 V to 6 V, fail: bad, then: good}"
)


def paused(bench: Bench, until_s: float) -> Bench:
    bench.say("stand-by")
    bench.hear(Command("go-ahead"), at_s=until_s)
    return bench


def test_after_a_pause_the_task_is_told_and_after_a_long_one_the_state_asked_about() -> None:
    bench = small(KEY).after("done", volts("5.0"))
    awaited = " ".join(o.text for o in bench.session.prompt)
    assert paused(bench, 60.0).texts() == awaited
    assert paused(bench, 900.0).state is State.STILL
    assert bench.after("affirm").texts() == awaited
    unknown = small(ROW)
    first = " ".join(o.text for o in unknown.session.prompt)
    assert paused(unknown, 900.0).texts() == first  # nothing of the vehicle is known


def test_who_does_not_answer_is_told_what_is_awaited() -> None:
    bench = small(ROW)
    bench.give(NoReply())
    assert bench.texts() == "Whenever you are ready. Measure the voltage of the feed."
    bench.say("skip")
    asked = bench.texts()
    bench.give(NoReply())
    assert bench.texts() == f"Whenever you are ready. {asked}"


def test_a_fact_told_beside_a_question_is_known_after_it() -> None:
    bench = small(ROW).after("skip", Identifier("odometer", "120000"))
    bench.say("negative")
    assert bench.state is State.MEASURE
    assert dict(bench.session.facts)["odometer"] == "120000"


def test_after_two_offers_that_were_not_meant_others_are_made_anew() -> None:
    bench = small(ASKED)
    for _ in range(2):
        bench.give(Heard("mumble", guess=Answer("left"), certain=True))
        bench.say("negative")
    bench.give(Heard("mumble", guess=Answer("left"), certain=True))
    assert bench.state is State.ASK
    assert bench.session.offers == 0


def test_what_is_not_understood_is_answered_by_what_is_awaited_where_that_is_short() -> None:
    bench = small(ROW)
    bench.hear(words="mumble")
    assert bench.texts() == (
        "I did not understand that. Measure the voltage of the feed. Say help for more."
    )


def test_a_caution_that_was_cut_off_is_told_in_full_to_who_does_not_answer() -> None:
    step = "{caution: blades, measure: voltage, accept: 4 V to 6 V, fail: bad, then: good}"
    bench = small(f"one: {step}")
    told = " ".join(output.text for output in bench.session.prompt)
    bench.give(Interrupted(("blades",)))
    bench.give(NoReply())
    assert bench.texts() == told
    assert "WARNING: the fan may start. Keep clear." in told


def test_a_state_that_is_told_while_changes_are_asked_for_leaves_the_others_to_be_made() -> None:
    needs = "needs: {key: run, plug: out}"
    step = f"{{{needs}, measure: voltage, accept: 4 V to 6 V, fail: bad, then: good}}"
    bench = small(f"one: {step}", detail=Detail.TEACHING)
    bench.say(Command("forgot", f"key{IN_STATE}run"))
    assert bench.session.condition("key") == "run"
    assert "Unplug it." in bench.texts()
    assert "key" not in bench.texts()
