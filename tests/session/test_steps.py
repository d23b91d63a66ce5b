"""Cautions, conditions, readings and findings, step by step."""

from decimal import Decimal

import pytest
from bench import METER, Bench, amps, volts

from voiceassist.language.meanings import OverRange
from voiceassist.session.events import Begin
from voiceassist.session.outputs import (
    Ask,
    CautionSpoken,
    ConditionChange,
    Ended,
    FindingReached,
    Listen,
    ReadingTaken,
    VerdictGiven,
)
from voiceassist.session.session import Detail, Session
from voiceassist.session.states import State


def verdicts(bench: Bench) -> list[str]:
    return [output.verdict for output in bench.outputs if isinstance(output, VerdictGiven)]


# --- opening ---


def test_the_standing_notice_is_spoken_before_the_first_step(typed: Bench) -> None:
    texts = [output.text for output in typed.outputs]
    assert texts[0] == f"{typed.engine.setup.procedure.title}."
    notice = next(i for i, text in enumerate(texts) if "maker's instructions" in text)
    caution = next(i for i, o in enumerate(typed.outputs) if isinstance(o, CautionSpoken))
    assert notice < caution


def test_who_knows_the_notice_hears_the_title_and_the_first_caution(typed: Bench) -> None:
    opened = typed.engine.handle(Session(), Begin(familiar=True)).outputs
    kept = [o for o in typed.outputs if "maker's instructions" not in o.text]
    assert list(opened) == kept
    assert len(kept) == len(typed.outputs) - 1


def test_what_is_asked_for_carries_its_limit_which_is_not_spoken(typed: Bench) -> None:
    asked = {name: _asked(typed.to(name)) for name in ("battery", "feed", "feed-lamp")}
    assert {name: ask.limit for name, ask in asked.items()} == {
        "battery": "12 V to 12.9 V",
        "feed": "12.1 V to 12.8 V",  # within 0.5 V below and 0.2 V above the battery's 12.6 V
        "feed-lamp": "bright",
    }
    assert not any(" V to " in ask.text for ask in asked.values())


def test_a_question_beside_the_step_carries_no_limit(typed: Bench) -> None:
    typed.to("battery").say("note")
    assert _asked(typed).limit == ""


def _asked(bench: Bench) -> Ask:
    return next(output for output in reversed(bench.outputs) if isinstance(output, Ask))


def test_the_last_output_tells_what_can_be_said_next(typed: Bench) -> None:
    typed.to("battery")
    last = typed.outputs[-1]
    assert isinstance(last, Listen)
    assert last.expectation.quantities == ("voltage",)


# --- cautions ---


def test_a_warning_is_spoken_and_acknowledged_before_anything_is_asked(typed: Bench) -> None:
    assert typed.state is State.CAUTION
    assert "WARNING: battery gas explodes" in typed.texts()
    assert not any(isinstance(o, ConditionChange) for o in typed.outputs)
    assert "acknowledged" in Bench().after("affirm").kinds()
    assert Bench().after("affirm").changing


def test_a_reading_before_the_caution_is_acknowledged_does_not_count(typed: Bench) -> None:
    typed.say(volts("12.6"))
    assert verdicts(typed) == ["not valid"]
    assert typed.state is State.CAUTION
    assert typed.session.ledger == ()


def test_say_again_repeats_the_caution_with_the_step(typed: Bench) -> None:
    typed.to("battery").say("repeat")
    spoken = [output for output in typed.outputs if output.text]
    assert isinstance(spoken[0], CautionSpoken)
    assert isinstance(spoken[-1], Ask)


def test_a_caution_is_spoken_again_at_a_later_step_but_acknowledged_once(typed: Bench) -> None:
    typed.to("command-fast").say(volts("2.5"))
    cautions = [o for o in typed.outputs if isinstance(o, CautionSpoken)]
    assert [c.name for c in cautions] == ["blades"]
    assert not cautions[0].acknowledge
    assert typed.changing


@pytest.mark.parametrize("words", ["negative", "go-ahead", "done"])
def test_no_other_word_acknowledges_a_warning(typed: Bench, words: str) -> None:
    typed.say(words)
    assert typed.state is State.CAUTION
    assert typed.session.acknowledged == frozenset()


# --- conditions ---


def test_only_done_says_that_a_change_is_made(typed: Bench) -> None:
    typed.say("affirm", "affirm")
    assert typed.changing
    assert typed.session.condition("key") == ""


def test_only_the_changes_that_are_needed_are_spoken(typed: Bench) -> None:
    typed.to("command-slow").say(volts("8.4"))
    changes = [o for o in typed.outputs if isinstance(o, ConditionChange)]
    assert [(c.name, c.state) for c in changes] == [("fan control", "highest")]


def test_changes_are_spoken_in_the_order_the_step_gives(typed: Bench) -> None:
    typed.to("motor-slow").say(volts("12.3"))
    changes = [o for o in typed.outputs if isinstance(o, ConditionChange) and not o.met]
    assert [(c.name, c.state) for c in changes] == [("key", "off"), ("module plug", "out")]


def test_a_reading_under_the_wrong_condition_is_refused_with_what_to_change() -> None:
    typed = Bench(detail=Detail.TEACHING)
    typed.to("earth-drop").say(volts("0.05"))
    assert typed.state is State.CONDITION
    typed.say(volts("8.5"))
    assert verdicts(typed) == ["not valid"]
    assert "plug the module in" in typed.texts()
    assert "key to run" in typed.texts()
    assert typed.session.latest("command-slow") is None


def test_a_repair_step_leaves_the_vehicle_as_it_says(typed: Bench) -> None:
    find_module(typed).say("affirm")
    assert typed.step == "take-out"
    typed.say("done")
    assert "done" in typed.kinds()
    typed.say("done")
    assert typed.session.condition("module plug") == "in"


# --- verdicts ---


@pytest.mark.parametrize(
    ("value", "verdict", "next_step"),
    [("12.0", "pass", "feed"), ("11.99", "low", None), ("12.91", "high", None)],
)
def test_a_reading_is_judged_by_the_limit_of_its_step(
    typed: Bench, value: str, verdict: str, next_step: str | None
) -> None:
    typed.to("battery").say(volts(value))
    assert verdicts(typed) == [verdict]
    if next_step:
        assert typed.step == next_step
    else:
        assert typed.state is State.OFFER  # to go on once it is charged, or rested


def test_a_limit_follows_an_earlier_reading(typed: Bench) -> None:
    typed.to("battery").say(volts("12.10"))
    typed.to("feed").say(volts("11.60"))
    assert verdicts(typed) == ["pass"]
    assert typed.outputs[1].to_json()["limit"] == "11.6 V to 12.3 V"


def test_the_value_and_its_unit_are_echoed_before_the_verdict(typed: Bench) -> None:
    typed.to("battery").say(volts("12.60"))
    assert typed.kinds()[:2] == ["reading", "verdict"]
    assert typed.outputs[0].text == "12.60 V."


def test_a_reading_without_a_unit_takes_the_unit_of_the_step(typed: Bench) -> None:
    reading = volts("12.6")
    typed.to("battery").say(type(reading)(Decimal("12.6")))
    assert typed.outputs[0].text == "12.6 V."


def test_a_reading_of_another_kind_does_not_count(typed: Bench) -> None:
    typed.to("battery").say(amps("12.6"))
    assert verdicts(typed) == ["not valid"]
    assert typed.step == "battery"


def test_over_range_does_not_pass_for_a_number(typed: Bench) -> None:
    typed.to("battery").say(OverRange())
    assert verdicts(typed) == ["not valid"]
    assert typed.step == "battery"


def test_a_reading_within_the_doubt_of_the_meter_is_too_close_to_call() -> None:
    bench = Bench(meter=METER).to("battery")
    bench.say(volts("12.05"))
    assert verdicts(bench) == ["too close to call"]
    assert bench.step == "battery"
    bench.say(volts("12.60"))
    assert bench.step == "feed"


def test_a_dim_lamp_fails_where_a_bright_one_is_wanted(typed: Bench) -> None:
    typed.to("feed-lamp").say("dim")
    assert "should be bright" in typed.texts()
    assert any(isinstance(o, FindingReached) and o.name == "feed-side" for o in typed.outputs)


# --- findings, repair and proof ---


def find_module(bench: Bench) -> Bench:
    """Go to the finding of a dead module."""
    bench.to("motor-slow").say(volts("12.3"))
    bench.say("done", "affirm", "affirm", "done", amps("7.2"), volts("12.1"))
    return bench


def test_a_finding_names_its_cause_and_the_readings_that_prove_it(typed: Bench) -> None:
    find_module(typed)
    finding = next(o for o in typed.outputs if isinstance(o, FindingReached))
    assert finding.name == "module"
    assert "command slow: 8.4 V" in finding.because
    assert "motor current: 7.2 A" in finding.because


def test_a_good_module_is_not_condemned_when_the_motor_draws_too_much(typed: Bench) -> None:
    typed.to("motor-slow").say(volts("12.3"), "done", "affirm", "affirm", "done", amps("19"))
    assert any(isinstance(o, FindingReached) and o.name == "motor" for o in typed.outputs)


def test_the_repair_is_guided_and_proved(typed: Bench) -> None:
    find_module(typed).say("affirm", "done", "done", "done", "affirm", "done")
    assert typed.step == "motor-slow"
    typed.say(volts("4.2"), "done", volts("12.1"), "affirm")
    assert "Repair proved." in typed.texts()
    end = typed.closed().outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "repaired"


def test_a_repair_that_does_not_prove_is_closed_as_not_proved(typed: Bench) -> None:
    find_module(typed).say("affirm", "done", "done", "done", "affirm", "done", volts("12.3"))
    assert typed.state is State.RETRY
    typed.say("finish", "affirm")
    end = typed.after("done").outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "not-proved"


def test_cautions_are_acknowledged_anew_for_the_proof(typed: Bench) -> None:
    find_module(typed).say("affirm", "done", "done")
    assert typed.state is State.CAUTION


def test_the_repair_may_be_left_to_another_day(typed: Bench) -> None:
    find_module(typed).say("negative")
    end = typed.closed().outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "found"


# --- detail ---


def test_an_expert_hears_less_and_a_trainee_more() -> None:
    lengths = [
        len(Bench(detail=detail).to("command-slow").texts())
        for detail in (Detail.BRIEF, Detail.NORMAL, Detail.TEACHING)
    ]
    assert lengths[0] < lengths[1] < lengths[2]


def test_brief_keeps_the_question_of_a_lamp_step() -> None:
    assert "Bright, dim or off?" in Bench(detail=Detail.BRIEF).to("feed-lamp").texts()


def test_help_tells_first_what_is_awaited(typed: Bench) -> None:
    typed.say("help")
    assert typed.texts().startswith("Say affirm when understood.")


def test_teaching_says_why() -> None:
    bench = Bench(detail=Detail.TEACHING).to("command-slow")
    assert "read only with the plug in" in bench.texts()


def test_no_reading_is_echoed_that_was_not_taken(typed: Bench) -> None:
    typed.to("battery").say(amps("3"))
    assert not any(isinstance(o, ReadingTaken) for o in typed.outputs)
