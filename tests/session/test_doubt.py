"""A misheard word never decides silently."""

from dataclasses import replace
from decimal import Decimal

import pytest
from bench import FAN, Bench, amps, volts

from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Meaning,
    Reading,
    Series,
)
from voiceassist.measure.units import unit
from voiceassist.session.events import Heard
from voiceassist.session.next_action import is_only_read_back, next_action
from voiceassist.session.outputs import Ended, VerdictGiven
from voiceassist.session.shown import sounds_like_another
from voiceassist.session.states import State


def taken(bench: Bench) -> list[str]:
    return [result.shown for result in bench.session.ledger if not result.superseded]


def test_a_passing_reading_goes_on_without_a_question(spoken: Bench) -> None:
    spoken.to("battery").say(volts("12.6"))
    assert spoken.step == "feed"


def test_a_reading_out_of_its_limit_is_asked_about_first(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"))
    assert spoken.state is State.CONFIRM
    assert "8.4 V?" in spoken.texts()
    assert taken(spoken) == []


def heard_sure(bench: Bench, *meanings: Meaning) -> None:
    """Hear these, beyond doubt."""
    for meaning in meanings:
        bench.give(Heard("", (meaning,), sure=True, vetted=True))


def test_heard_beyond_doubt_a_failing_reading_stands_with_its_verdict(spoken: Bench) -> None:
    heard_sure(spoken.to("motor-slow"), volts("12.3"))
    assert taken(spoken)[-1] == "12.3 V"
    assert spoken.step == "turns-freely"
    (verdict,) = (o for o in spoken.outputs if isinstance(o, VerdictGiven))
    assert (verdict.reading, verdict.verdict) == ("12.3 V", "high")
    assert "12.3 V" in spoken.texts()


def test_and_can_be_corrected_at_once(spoken: Bench) -> None:
    heard_sure(spoken.to("motor-slow"), volts("12.3"))
    spoken.say(Correction(volts("4.2")), "affirm reading")
    assert taken(spoken)[-1] == "4.2 V"


def on_to_the_finding(bench: Bench) -> None:
    """From a motor that runs fast at the lowest speed: all else is as it should be."""
    bench.say(*["affirm"] * 4, amps("7.2"), volts("12.1"))


def test_the_finding_names_what_it_rests_on_and_was_not_asked_about(spoken: Bench) -> None:
    heard_sure(spoken.to("motor-slow"), volts("12.3"))
    on_to_the_finding(spoken)
    assert spoken.session.finding == "module"
    assert "It rests on motor slow, 12.3 V." in spoken.texts()


def test_a_finding_names_nothing_of_what_was_confirmed(spoken: Bench) -> None:
    spoken.to("motor-slow").say(volts("12.3"), "affirm reading")
    on_to_the_finding(spoken)
    assert spoken.session.finding == "module"
    assert "rests on" not in spoken.texts()


def test_what_would_end_in_a_finding_is_confirmed_all_the_same(spoken: Bench) -> None:
    heard_sure(spoken.to("battery"), volts("8.4"))
    assert spoken.state is State.CONFIRM
    heard_sure(spoken, volts("8.4"))
    assert taken(spoken) == ["8.4 V"]


def test_one_short_word_does_not_confirm_it(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), "affirm")
    assert spoken.state is State.CONFIRM
    spoken.say("affirm reading")
    assert taken(spoken) == ["8.4 V"]


def test_the_same_value_said_again_confirms_it(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), volts("8.40"))
    assert taken(spoken) == ["8.4 V"]


def test_another_value_said_again_is_asked_about_too(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), volts("12.6"))
    assert spoken.state is State.CONFIRM
    assert "Now I hear 12.6 V" in spoken.texts()
    spoken.say(volts("12.6"))
    assert taken(spoken) == ["12.6 V"]


def test_but_not_where_both_come_to_the_same_verdict(spoken: Bench) -> None:
    """It is read back then, and stands unless it is contradicted."""
    doubtful(spoken.to("battery"), volts("12.6"), volts("12.8"))
    assert spoken.state is State.WHICH
    spoken.say(volts("12.5"))
    assert spoken.step == "feed"
    assert taken(spoken) == ["12.5 V"]
    assert "12.5 V" in spoken.texts()
    spoken.say(Correction(volts("12.7")))
    assert "12.7 V" in taken(spoken)


def test_a_failing_one_in_place_of_another_still_wants_its_confirmation(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), volts("8.9"))
    assert spoken.state is State.CONFIRM
    assert taken(spoken) == []
    assert spoken.after("affirm reading").session.ledger[-1].shown == "8.9 V"


def test_so_it_does_where_it_was_heard_beyond_doubt(spoken: Bench) -> None:
    """Asked about one failing value he told another: one of both was misheard."""
    doubtful(spoken.to("motor-slow"), volts("12.3"))
    heard_sure(spoken, volts("12.4"))
    assert spoken.state is State.CONFIRM
    assert "Now I hear 12.4 V" in spoken.texts()


def test_a_correction_that_turns_the_verdict_is_confirmed_however_clear(spoken: Bench) -> None:
    """What puts right a misheard value may be misheard as that was."""
    spoken.to("motor-slow").say(volts("4.2"), "revise", Answer("motor-slow"))
    heard_sure(spoken, volts("12.3"))
    assert spoken.state is State.CONFIRM
    assert "12.3 V" not in taken(spoken)
    assert spoken.after("affirm reading").session.ledger[-1].shown == "12.3 V"


def test_negative_forgets_it_and_asks_again(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), "negative")
    assert spoken.state is State.MEASURE
    assert "Measure the voltage" in spoken.texts()
    assert taken(spoken) == []


def test_a_number_that_sounds_like_another_is_asked_about_digit_by_digit() -> None:
    spoken = Bench(certain=False).to("battery").after(volts("15"))
    assert "15 V, [reading digit by digit]?" in spoken.texts()
    assert "digit by digit]" not in spoken.after(volts("8.4")).texts()


@pytest.mark.parametrize(
    ("value", "sounds"),
    [
        *((value, True) for value in ("13", "19.5", "30", "90", "115", "-50")),
        *((value, False) for value in ("12", "20", "31", "8.4", "0.15")),
    ],
)
def test_teens_and_tens_sound_like_each_other(value: str, sounds: bool) -> None:
    assert sounds_like_another(Decimal(value)) is sounds


def test_typed_words_are_not_asked_about(typed: Bench) -> None:
    typed.to("battery").say(volts("8.4"))
    assert typed.state is State.OFFER


def test_a_dim_lamp_is_asked_about_before_it_condemns(spoken: Bench) -> None:
    spoken.to("feed-lamp").say("dim")
    assert spoken.state is State.CONFIRM
    assert spoken.after("dim").state is State.OFFER


def test_of_two_meanings_the_session_asks_which(typed: Bench) -> None:
    typed.to("battery")
    typed.hear(volts("12.6"), volts("16.2"))
    assert typed.state is State.WHICH
    assert "12.6 V, or 16.2 V" in typed.texts()
    typed.say(volts("12.6"))
    assert taken(typed) == ["12.6 V"]


def test_of_two_meanings_the_only_one_that_is_possible_is_taken(typed: Bench) -> None:
    typed.to("battery")
    typed.hear(volts("12.6"), volts("126"))
    assert taken(typed) == ["12.6 V"]


def test_of_two_meanings_the_only_one_that_fits_the_step_is_taken(typed: Bench) -> None:
    typed.to("battery")
    typed.hear(volts("12.6"), Answer("negative"))
    assert taken(typed) == ["12.6 V"]


def test_a_number_whose_missing_prefix_would_turn_the_verdict_is_asked_about() -> None:
    bench = Bench().to("earth-drop")
    bench.say(Reading(Decimal(50)))
    assert bench.state is State.WHICH
    assert "50 mV" in bench.texts()
    bench.say(Reading(Decimal(50), unit("mV")))
    assert taken(bench)[-1] == "50 mV"


def test_a_unit_in_doubt_is_not_settled_by_the_number_alone() -> None:
    bench = Bench().to("earth-drop").after(Reading(Decimal(50)), Reading(Decimal(50)))
    assert bench.state is State.WHICH
    assert taken(bench)[-1] != "50 V"


def test_a_number_that_fails_in_any_unit_is_not_asked_about_its_unit(typed: Bench) -> None:
    typed.to("earth-drop").say(Reading(Decimal("0.4")))
    assert typed.state is State.OFFER


def test_several_readings_at_once_are_not_taken_for_one(typed: Bench) -> None:
    before = typed.to("battery").session
    typed.say(Series((volts("12.6"), volts("12.5"))))
    assert typed.session == before


def test_words_that_mean_nothing_change_nothing(spoken: Bench) -> None:
    before = spoken.to("battery").session
    spoken.hear(words="the radio")
    assert replace(spoken.session, misses=0) == before
    assert "did not understand" in spoken.texts()


def test_after_three_misses_it_says_what_may_help(spoken: Bench) -> None:
    spoken.to("battery").hear()
    spoken.hear()
    assert "Move closer" not in spoken.texts()
    spoken.hear()
    assert "Move closer" in spoken.texts()


def test_a_doubtful_reading_is_confirmed_even_where_it_passes(spoken: Bench) -> None:
    spoken.to("battery")
    spoken.give(Heard("twelve point six volts", (volts("12.6"),), doubtful=True))
    assert spoken.state is State.CONFIRM
    assert spoken.after("affirm reading").step == "feed"


def test_a_doubtful_command_does_nothing_but_ask_for_it_again(spoken: Bench) -> None:
    before = spoken.to("battery").session
    spoken.give(Heard("finish", (Command("finish"),), doubtful=True))
    assert spoken.state is before.state
    assert "Say it again" in spoken.texts()


def test_noise_is_told_once(spoken: Bench) -> None:
    spoken.to("battery")
    told = []
    for _ in range(2):
        spoken.give(Heard("why", (Command("why"),), noisy=True))
        told.append("noisy" in spoken.texts())
    assert told == [True, False]


def test_two_passing_readings_lead_to_the_same_place_and_a_failing_one_elsewhere(
    spoken: Bench,
) -> None:
    bench = spoken.to("battery")
    setup, session = bench.engine.setup, bench.session
    places = [next_action(setup, session, (volts(v),)) for v in ("12.5", "12.6", "11.0")]
    assert places[0] == places[1] != places[2]
    assert next_action(setup, session, (Command("skip"),)) != next_action(
        setup, session, (Command("why"),)
    )


def test_so_they_do_where_a_value_is_asked_about(spoken: Bench) -> None:
    bench = doubtful(spoken.to("battery"), volts("12.6"), volts("11.0"))
    setup, session = bench.engine.setup, bench.session
    places = [next_action(setup, session, (volts(v),)) for v in ("12.5", "12.6", "11.0", "8400")]
    assert places[0] == places[1]
    assert len(set(places)) == 3
    assert places[3] == "not here"


def test_and_corrections_of_the_last_value_do(spoken: Bench) -> None:
    bench = spoken.to("battery").after(volts("12.6"))
    setup, session = bench.engine.setup, bench.session
    told = [Correction(volts(v)) for v in ("12.5", "12.7", "11.0")]
    places = [next_action(setup, session, (each,)) for each in told]
    assert places[0] == places[1] != places[2]
    assert next_action(setup, session, (Correction(volts("12.5"), "battery"),)) not in places


def test_a_value_that_no_limit_uses_is_only_read_back(spoken: Bench) -> None:
    """The battery's voltage is in the limits of other steps; that at the command wire is not."""
    battery = spoken.to("battery")
    setup = battery.engine.setup
    assert not is_only_read_back(setup, battery.session, (volts("12.6"),))
    slow = spoken.to("command-slow").session
    assert is_only_read_back(setup, slow, (volts("8.4"),))
    assert not is_only_read_back(setup, slow, (volts("8.4"), volts("8.5")))
    assert not is_only_read_back(setup, slow, (Command("skip"),))


def test_an_answer_that_does_not_fit_the_step_changes_nothing(spoken: Bench) -> None:
    before = spoken.to("battery").session
    spoken.say("bright")
    assert spoken.session == before


def test_a_corrected_value_waiting_to_be_confirmed_replaces_it(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"), Correction(volts("8.9")), "affirm reading")
    assert taken(spoken) == ["8.9 V"]


def test_a_reading_outside_what_can_occur_is_asked_about_even_if_it_passes(
    spoken: Bench,
) -> None:
    text = FAN.replace(
        "accept: 12.0 V to 12.9 V", "accept: at least 12.0 V\n    plausible: 0 V to 30 V"
    )
    bench = Bench(text, certain=False).to("battery")
    bench.say(volts("126"))
    assert bench.state is State.CONFIRM


def test_no_hearing_ever_gives_a_verdict_while_it_waits(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"))
    assert not any(isinstance(o, VerdictGiven | Ended) for o in spoken.outputs)


def test_a_value_without_unit_confirms_the_same_value_with_it(spoken: Bench) -> None:
    spoken.to("battery").say(volts("8.4"))
    spoken.say(Reading(volts("8.4").value))
    assert taken(spoken) == ["8.4 V"]


# --- doubtful words ---


def doubtful(bench: Bench, *meanings: Meaning) -> Bench:
    bench.give(Heard("mumbled", meanings, doubtful=True))
    return bench


def test_a_doubtful_word_said_twice_alike_is_taken(spoken: Bench) -> None:
    assert spoken.state is State.CAUTION
    assert doubtful(spoken, Answer("affirm")).state is State.CAUTION
    assert doubtful(spoken, Answer("affirm")).changing


def test_a_doubtful_word_is_not_taken_when_another_came_between(spoken: Bench) -> None:
    doubtful(spoken, Answer("affirm"))
    spoken.hear(Command("why"))
    doubtful(spoken, Answer("affirm"))
    assert spoken.state is State.CAUTION


def test_of_two_doubtful_words_that_the_state_cannot_take_the_likelier_is_asked_for(
    spoken: Bench,
) -> None:
    spoken.say("affirm")
    doubtful(spoken, Answer("done"), volts("18"))
    assert "Say it again" in spoken.texts()
    doubtful(spoken, Answer("done"), volts("18"))
    assert spoken.state is State.MEASURE


def test_a_doubtful_number_does_not_confirm_another(spoken: Bench) -> None:
    spoken.to("battery").say(volts("11.0"))
    assert spoken.state is State.CONFIRM
    for _ in range(3):
        doubtful(spoken, volts("11.0"))
        assert spoken.state is State.CONFIRM
    assert taken(spoken) == []
    assert "digit by digit" in " ".join(o.text for o in spoken.all)


@pytest.mark.parametrize("again", ["8.4", "8.9"])
def test_of_two_doubtful_numbers_the_one_heard_again_is_asked_about_by_itself(
    spoken: Bench, again: str
) -> None:
    """An accent that is doubted once is doubted again: "affirm reading" is heard better."""
    both = (volts("12.6"), volts("8.4"))
    assert doubtful(spoken.to("battery"), *both).state is State.WHICH
    assert doubtful(spoken, volts(again), volts("12.6")).state is State.CONFIRM
    assert f"{again} V" in spoken.texts()
    assert taken(spoken) == []
    spoken.say("affirm reading")
    assert taken(spoken) == [f"{again} V"]


def test_a_passing_number_doubted_twice_is_not_taken_without_a_word(spoken: Bench) -> None:
    doubtful(spoken.to("battery"), volts("12.6"), volts("8.4"))
    doubtful(spoken, volts("12.6"))
    assert spoken.state is State.CONFIRM
    assert taken(spoken) == []


def test_another_number_heard_doubtfully_is_asked_about_in_the_place_of_the_first(
    spoken: Bench,
) -> None:
    assert doubtful(spoken.to("battery"), volts("2.6")).state is State.CONFIRM
    doubtful(spoken, volts("12.6"), volts("11.6"))
    assert "Now I hear 12.6 V." in spoken.texts()
    spoken.say("affirm reading")
    assert taken(spoken) == ["12.6 V"]


def test_a_number_that_can_hardly_be_takes_no_place_while_one_is_asked_about(
    spoken: Bench,
) -> None:
    doubtful(spoken.to("battery"), volts("12.6"), volts("11.6"))
    doubtful(spoken, volts("92.4"))
    assert spoken.state is State.WHICH
    assert "92" not in spoken.texts()
    assert "digit by digit" in spoken.texts()


def test_a_doubtful_reason_skips_nothing(spoken: Bench) -> None:
    spoken.to("feed-lamp").say("skip")
    doubtful(spoken, Answer("no-access"))
    assert spoken.state is State.SKIP


def test_a_doubtful_number_of_the_job_changes_nothing(spoken: Bench) -> None:
    doubtful(spoken.to("feed-lamp"), Identifier("repair-order", "9999"))
    assert ("repair order", "9999") not in spoken.session.facts


def test_go_ahead_wakes_even_when_it_is_doubtful_twice(spoken: Bench) -> None:
    spoken.to("battery").say("stand-by")
    doubtful(spoken, Command("go-ahead"))
    assert spoken.texts() == ""
    assert doubtful(spoken, Command("go-ahead")).state is State.MEASURE


def test_a_listener_that_fails_ends_no_note(spoken: Bench) -> None:
    spoken.to("battery").say("note")
    spoken.give(Heard("", reason="the listener failed"))
    assert "could not listen" in spoken.texts()
    spoken.give(Heard("left bolt is loose", reason="outside the grammar"))
    assert spoken.state is State.MEASURE


def test_noise_told_of_in_a_question_is_not_told_of_again_after_it(spoken: Bench) -> None:
    spoken.to("battery").say(volts("11.0"))
    spoken.give(Heard("why", (Command("why"),), noisy=True))
    asked = spoken.session
    for back in (volts("11.2"), "negative"):
        spoken.session = asked
        spoken.say(back)
        if back == "negative":
            assert (spoken.step, spoken.state) == ("battery", State.MEASURE)
        spoken.give(Heard("why", (Command("why"),), noisy=True))
        assert "noisy" not in spoken.texts()
