"""Corrections, going back, skipping, notes and pauses. Nothing is forgotten."""

import pytest
from bench import BOOK, FAN, METER, Bench, amps, small, volts

from voiceassist.language.meanings import Answer, Correction, Note
from voiceassist.session.events import NoReply
from voiceassist.session.outputs import (
    Ended,
    NoteTaken,
    StepSkipped,
    VoiceAdjusted,
    Withdrawn,
)
from voiceassist.session.session import Session
from voiceassist.session.states import State


def counting(bench: Bench) -> dict[str, str]:
    return {r.step: r.shown for r in bench.session.ledger if not r.superseded}


def all_shown(bench: Bench) -> list[str]:
    return [r.shown for r in bench.session.ledger]


def test_a_correction_replaces_the_last_reading_and_keeps_both(typed: Bench) -> None:
    typed.to("battery").say(volts("12.8"))
    typed.correct(volts("12.6"))
    assert counting(typed)["battery"] == "12.6 V"
    assert all_shown(typed) == ["12.8 V", "12.6 V"]
    assert typed.step == "feed"


def test_a_correction_that_changes_the_path_says_so(typed: Bench) -> None:
    typed.to("motor-slow").say(volts("4.2"))
    assert typed.step == "motor-fast"
    typed.correct(volts("12.3"))
    assert "for this one, or for the last one?" in typed.texts()
    typed.say(Answer("motor-slow"))
    assert typed.step == "turns-freely"
    assert "That changes the path" in typed.texts()


def test_limits_follow_a_corrected_reading(typed: Bench) -> None:
    typed.to("battery").say(volts("12.8"))
    typed.correct(volts("12.1"))
    typed.to("feed").say("limit")
    assert "11.6 V to 12.3 V" in typed.texts()


def test_a_correction_by_voice_that_fails_is_confirmed_first(spoken: Bench) -> None:
    spoken.to("battery").say(volts("12.8"))
    spoken.correct(volts("8.6"))
    assert spoken.state is State.CONFIRM
    spoken.say("affirm reading")
    assert counting(spoken) == {"battery": "8.6 V"}
    assert any(getattr(o, "corrects", False) for o in spoken.outputs)


def test_a_correction_that_is_dropped_leaves_everything_as_it_was(spoken: Bench) -> None:
    before = spoken.to("battery").after(volts("12.8")).session
    spoken.correct(volts("8.6"))
    spoken.say("negative")
    assert spoken.session == before
    assert counting(spoken) == {"battery": "12.8 V"}


def test_a_correction_that_does_not_fit_its_step_leaves_everything_as_it_was(
    typed: Bench,
) -> None:
    before = typed.to("battery").after(volts("12.8")).session
    typed.correct(amps("8.6"))
    assert typed.session == before


def test_what_was_skipped_before_its_condition_cannot_be_corrected_into_a_reading() -> None:
    what = "measure: voltage across the battery posts\n    unit: V"
    extra = f"  extra:\n    needs: {{key: off}}\n    {what}\n  turns-freely:\n"
    text = FAN.replace("  turns-freely:\n", extra).replace("low: turns-freely", "low: extra")
    bench = Bench(text).to("motor-slow").after(volts("2.0"))
    assert (bench.step, bench.changing) == ("extra", True)
    before = bench.after("skip", Answer("no-tool")).session
    bench.correct(volts("12.6"))
    assert bench.session == before


def test_a_heard_correction_that_would_turn_the_path_is_confirmed_even_if_it_passes(
    spoken: Bench,
) -> None:
    spoken.to("motor-slow").say(volts("12.3"), "affirm reading")
    spoken.correct(volts("4.2"))
    assert spoken.state is State.CONFIRM
    assert spoken.after("affirm reading").step == "motor-fast"


def test_an_unclear_correction_is_asked_about_and_can_be_dropped(typed: Bench) -> None:
    before = typed.to("battery").after(volts("12.8")).session
    typed.hear(Correction(volts("12.6")), Correction(volts("126")))
    assert "12.6 V, or 126 V" in typed.texts()
    assert typed.after("negative").session == before
    typed.hear(Correction(volts("12.6")), Correction(volts("126")))
    typed.say(volts("12.6"))
    assert counting(typed)["battery"] == "12.6 V"
    assert any(getattr(o, "corrects", False) for o in typed.outputs)


def test_finishing_while_a_correction_waits_closes_the_job_as_it_stood(spoken: Bench) -> None:
    spoken.to("motor-slow").say(volts("12.3"), "affirm reading")
    spoken.correct(volts("4.2"))
    spoken.say("finish", "affirm")
    assert counting(spoken)["motor-slow"] == "12.3 V"


def test_a_finding_that_stands_on_skipped_steps_is_not_proved(typed: Bench) -> None:
    typed.to("feed-lamp").say("skip", Answer("no-tool"))
    typed.say("dim", "negative")
    assert "this finding is not proved" in typed.texts()
    end = typed.closed().outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "unproved"


def test_with_nothing_to_correct_the_words_are_a_reading(typed: Bench) -> None:
    typed.to("battery").correct(volts("12.6"))
    assert counting(typed) == {"battery": "12.6 V"}


def test_a_correction_of_another_kind_changes_nothing(typed: Bench) -> None:
    before = typed.to("earth-lamp").session
    typed.correct(volts("12.6"))
    assert typed.session == before


def test_going_back_asks_the_step_before_again(typed: Bench) -> None:
    typed.to("command-fast").say("go-back")
    assert typed.step == "command-slow"
    assert "command-slow" not in counting(typed)
    assert "8.4 V" in all_shown(typed)


def test_going_back_brings_the_vehicle_back_into_condition(typed: Bench) -> None:
    typed.to("command-fast").say("go-back")
    assert typed.changing
    assert "Fan control lowest." in typed.texts()


def test_going_back_and_forth_leads_to_the_same_place(typed: Bench) -> None:
    typed.to("command-fast").say("go-back")
    typed.to("command-fast")
    assert counting(typed)["command-slow"] == "8.4 V"


def test_the_record_is_told_which_reading_is_withdrawn(typed: Bench) -> None:
    typed.to("command-fast").say("go-back")
    assert [o.step for o in typed.outputs if isinstance(o, Withdrawn)] == ["command-slow"]
    typed.say("go-back")
    assert [o.step for o in typed.outputs if isinstance(o, Withdrawn)] == ["earth-drop"]


def test_at_the_first_step_there_is_no_going_back(typed: Bench) -> None:
    before = typed.session
    typed.say("go-back")
    assert typed.session == before


def test_disregard_after_a_reading_too_close_to_tell_forgets_that_and_no_other() -> None:
    bench = Bench(meter=METER).to("battery")
    asked = bench.session.prompt
    bench.say(volts("12.05"), "disregard")
    assert "Forgotten" in bench.texts()
    assert "no earlier step" not in bench.texts()
    assert bench.outputs[-2].text == asked[-1].text  # the last is the sign to listen
    bench.say(volts("12.60"))
    bench.to("feed").say(volts("12.10"))
    assert bench.session.tries == 1
    bench.say("disregard")
    assert counting(bench) == {"battery": "12.60 V"}
    assert (bench.step, bench.session.tries) == ("feed", 0)


def test_disregard_drops_the_last_reading(typed: Bench) -> None:
    typed.to("battery").say(volts("12.6"), "disregard")
    assert typed.step == "battery"
    assert counting(typed) == {}


def test_a_step_is_skipped_only_with_a_reason(typed: Bench) -> None:
    typed.to("earth-lamp").say("skip")
    assert typed.state is State.SKIP
    assert "no access" in typed.texts()
    typed.say(Answer("no-access"))
    skipped = [o for o in typed.outputs if isinstance(o, StepSkipped)]
    assert [s.reason for s in skipped] == ["no-access"]
    assert typed.step == "earth-drop"


def test_what_later_limits_are_taken_from_cannot_be_skipped(typed: Bench) -> None:
    typed.to("battery").say("skip")
    assert (typed.step, typed.state) == ("battery", State.MEASURE)


def test_a_question_whose_other_answer_leads_on_can_be_skipped(typed: Bench) -> None:
    typed.to("motor-slow").say(volts("12.3"), "done")
    assert typed.step == "turns-freely"
    typed.say("skip", Answer("no-access"))
    assert typed.step == "plug-pins"


def test_a_question_that_alone_decides_cannot_be_skipped() -> None:
    bench = small("one: {ask: does it turn, answers: {yes: good, no: bad}}").after("skip")
    assert bench.state is State.ASK
    assert "cannot be skipped" in bench.texts()


def test_a_step_that_is_too_close_to_tell_is_skipped_without_asking_why() -> None:
    bench = Bench(meter=METER).to("feed-lamp").to("earth-drop")
    bench.say(volts("0.1000"), volts("0.1000"), "skip")
    skipped = [o for o in bench.outputs if isinstance(o, StepSkipped)]
    assert [o.reason for o in skipped] == ["too-close"]
    assert "Skipped, too close to tell." in bench.texts()


def test_a_wait_is_skipped_without_asking_why() -> None:
    bench = small("one: {wait: it to cool, for: 5 min, then: good}").after("skip")
    assert [o.reason for o in bench.outputs if isinstance(o, StepSkipped)] == ["no-wait"]
    assert bench.session.finding == "good"


def test_disregard_says_what_it_forgets(typed: Bench) -> None:
    typed.to("battery").say(volts("12.6"), "disregard")
    assert "Forgotten: battery, 12.6 V." in typed.texts()


@pytest.mark.parametrize("since", ["read-back", "done", "why"])
def test_disregard_forgets_nothing_that_was_said_before_the_last_thing(
    typed: Bench, since: str
) -> None:
    typed.to("battery").say(volts("12.6"), "affirm")
    before = typed.after(since).session
    typed.say("disregard")
    assert typed.session == before
    assert "nothing to forget" in typed.texts()


def test_disregard_in_the_repair_leads_back_no_further_than_to_its_last_step(typed: Bench) -> None:
    typed.to("motor-slow").say(
        volts("12.3"), "done", "affirm", "affirm", "done", amps("7.2"), volts("12.1")
    )
    typed.say("affirm")
    repair = typed.step
    assert repair == "take-out"
    assert typed.after("disregard").step == repair
    typed.say("done", "disregard")
    assert typed.step == repair


def test_a_skipped_proof_does_not_prove(typed: Bench) -> None:
    typed.to("motor-slow").say(
        volts("12.3"), "done", "affirm", "affirm", "done", amps("7.2"), volts("12.1")
    )
    typed.say("affirm", "done", "done", "done", "affirm", "done")
    typed.say("skip", Answer("no-tool"), "done", volts("12.1"), "affirm")
    end = typed.closed().outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "not-proved"


def test_standing_by_ignores_everything_until_go_ahead(typed: Bench) -> None:
    typed.to("battery").say("stand-by")
    asleep = typed.session
    for certain in (True, False):  # typed, which cannot be meant for others, and spoken
        typed.certain = certain
        for words in (volts("8.4"), "affirm", "finish"):
            told = typed.say(words)[:-1]
            by = BOOK("inform.value_by", shown="8.4 V")
            text = BOOK("inform.stand_by") if isinstance(words, str) else by
            assert [o.text for o in told] == [text] * certain
            assert typed.state is State.STAND_BY
            assert typed.session.at_step == asleep.at_step


def test_go_ahead_tells_again_what_was_asked_for(typed: Bench) -> None:
    typed.to("battery").after("stand-by", "go-ahead")
    assert typed.state is State.MEASURE
    assert "Measure the voltage" in typed.texts()


def test_a_note_may_hold_any_words_and_moves_nothing(typed: Bench) -> None:
    before = typed.to("battery").session
    typed.say("note")
    typed.hear(volts("12.6"), words="twelve point six volts yesterday")
    note = next(o for o in typed.outputs if isinstance(o, NoteTaken))
    assert note.words == "twelve point six volts yesterday"
    assert typed.session == before
    typed.say(Note("loose bracket"))
    assert typed.session == before


def test_a_note_that_nobody_speaks_is_asked_for_again(typed: Bench) -> None:
    typed.to("battery").say("note")
    assert BOOK("note.ask") in typed.texts()
    typed.give(NoReply())
    assert BOOK("note.ask") in typed.texts()


def test_finish_asks_before_it_closes(typed: Bench) -> None:
    typed.to("feed").say("finish")
    assert typed.state is State.FINISH
    assert typed.after("negative").state is State.MEASURE
    typed.say("finish", "affirm")
    assert "Before you go: Key off. Plug the module in." in typed.texts()
    end = typed.after("done").outputs[-1]
    assert isinstance(end, Ended)
    assert end.outcome == "stopped"


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("why", "can switch only what arrives"),
        ("how", "pin one, thick brown wire"),
        ("limit", "12.1 V to 12.8 V"),
        ("where", "This step is called feed"),
        ("how-far", "At most 16 more steps"),
        ("read-back", "battery, 12.6 V"),
        ("help", "repeat"),
    ],
)
def test_a_question_is_answered_and_moves_nothing(typed: Bench, question: str, answer: str) -> None:
    before = typed.to("feed").session
    typed.say(question)
    assert answer in typed.texts()
    assert typed.session == before


def test_the_source_of_a_limit_is_told_with_it(typed: Bench) -> None:
    typed.to("feed").say("limit")
    assert "general rule of thumb" in typed.texts()


def test_the_voice_is_adjusted_when_asked(typed: Bench) -> None:
    typed.say("slower")
    changed = [o.change for o in typed.outputs if isinstance(o, VoiceAdjusted)]
    assert changed == ["slower"]


def test_an_interruption_of_an_interruption_comes_back_to_the_step(spoken: Bench) -> None:
    at_step: Session = spoken.to("battery").session
    spoken.say(volts("8.4"), "finish", "negative")
    assert spoken.session == at_step
