"""What is said of a value that was read, word for word, and how long something takes."""

from decimal import Decimal

import pytest
from bench import METER, Bench, amps, small, volts

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Answer, Command, Meaning, OverRange, Reading, Spread
from voiceassist.measure.units import unit
from voiceassist.session.guessing import likely, where
from voiceassist.session.next_action import next_action
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.spans import show_about, show_age, show_time
from voiceassist.session.states import State
from voiceassist.session.values import check_facts

VOLTS = "one: {measure: voltage of the end, accept: 4 V to 6 V, fail: bad, then: good}"
OHMS = "one: {measure: resistance of it, accept: 1 Ω to 9 Ω, fail: bad, then: good}"
AMPS = "one: {measure: current of the fan, accept: 4 A to 6 A, fail: bad, then: good}"


def ohms(value: str) -> Reading:
    return Reading(Decimal(value), unit("Ω"))


def verdict(bench: Bench) -> VerdictGiven:
    return [o for o in bench.outputs if isinstance(o, VerdictGiven)][-1]


@pytest.mark.parametrize(
    ("steps", "said", "told", "how"),
    [
        (VOLTS, volts("5"), "Good.", "pass"),
        (VOLTS, volts("3"), "Too low: it should be 4 V to 6 V.", "low"),
        (VOLTS, volts("7"), "Too high: it should be 4 V to 6 V.", "high"),
        (VOLTS, amps("5"), "5 A does not fit: this step needs a reading in V.", "not valid"),
        (VOLTS, Spread(amps("5"), amps("6")),
         "5 A to 6 A does not fit: this step needs a reading in V.", "not valid"),
        (VOLTS, Spread(volts("4.5"), volts("5.5")), "Good.", "pass"),
        (VOLTS, Spread(volts("5.5"), volts("4.5")), "Good.", "pass"),
        (VOLTS, Spread(volts("1"), volts("2")), "Too low: it should be 4 V to 6 V.", "low"),
        (VOLTS, Spread(volts("5"), volts("7")),
         "It wanders, 5 V to 7 V: that is a loose joint, not the meter. Hold plug and wires still, "
         "and read again.", "too close to call"),
        (AMPS, Spread(amps("5"), amps("7")),
         "It wanders, 5 A to 7 A: something still switches. Wait until it holds, and read again.",
         "too close to call"),
        (VOLTS, OverRange(),
         "Choose a higher range and read again.", "not valid"),
        ("one: {count: flashes, accept: at most 3 times, fail: bad, then: good}",
         Reading(Decimal("2.5"), None), "2.5 times does not fit: a count is a whole number.",
         "not valid"),
    ],
)  # fmt: skip
def test_what_a_value_comes_to_is_told_in_full(
    steps: str, said: Meaning, told: str, how: str
) -> None:
    found = verdict(small(steps).after(said))
    assert (found.step, found.text, found.verdict) == ("one", told, how)


def test_a_verdict_carries_the_ends_of_its_limit_and_a_refusal_none() -> None:
    found = verdict(small(VOLTS).after(volts("5")))
    assert (found.reading, found.limit, found.low, found.high) == (
        "5 V", "4 V to 6 V", "4 V", "6 V"
    )  # fmt: skip
    refused = verdict(small(VOLTS).after(amps("5")))
    assert (refused.reading, refused.limit, refused.low, refused.high) == ("5 A", "", "", "")


@pytest.mark.parametrize(
    ("limit", "high", "told", "how"),
    [
        ("1 Ω to 9 Ω", "9 Ω", "It should be 1 Ω to 9 Ω.",
         "high"),
        ("at least 1 Ω", "", "Good.", "pass"),
    ],
)  # fmt: skip
def test_over_range_is_confirmed_and_passes_where_a_limit_has_no_upper_end(
    limit: str, high: str, told: str, how: str
) -> None:
    bench = small(OHMS.replace("1 Ω to 9 Ω", limit)).after(OverRange())
    assert bench.texts() == (
        "Over range on the highest range of the meter? Say affirm reading if so; "
        "else choose a higher range and read again."
    )
    found = verdict(bench.after("affirm reading"))
    assert (found.step, found.text, found.verdict) == ("one", told, how)
    called = bench.engine.setup.book.say(OverRange())
    assert (found.reading, found.limit) == (called, limit)
    assert (found.low, found.high) == ("1 Ω", high)
    assert [r.shown for r in bench.session.ledger] == [called]


@pytest.mark.parametrize(
    ("more", "first", "second"),
    [
        ("", "Measure once more, and say all the digits the meter shows.",
         "Say skip if it stays so."),
        ("if-close: warm it up, ", "Warm it up.", "Say skip if it stays so."),
        ("skip: never, ", "Measure once more, and say all the digits the meter shows.",
         "If it stays so, this meter cannot tell: use a better one, or say finish."),
    ],
)  # fmt: skip
def test_a_value_too_close_to_tell_is_told_with_what_to_do_about_it(
    more: str, first: str, second: str
) -> None:
    """At 4.01 V the 6 V range is off by 0.5 % and two counts: 22 mV."""
    close = "That is too close to 4 V to tell with this meter."
    bench = small(VOLTS.replace("fail:", f"{more}fail:"), meter=METER).after(volts("4.010"))
    assert verdict(bench).text == f"{close} {first}"
    assert bench.session.tries == 1
    assert verdict(bench.after(volts("4.010"))).text == f"{close} {second}"
    assert bench.session.ledger == ()


def test_on_a_range_that_is_too_wide_the_finer_one_is_asked_for() -> None:
    step = "one: {measure: voltage, accept: 0.5 V to 1 V, fail: bad, then: good}"
    bench = small(step, meter=METER).after(volts("0.50"))
    told = verdict(bench).text
    assert told == (
        "That is too close to 0.5 V to tell with this meter. "
        "Turn the meter to its 600 mV range and read again, with all its digits."
    )


def test_who_was_told_the_range_is_asked_for_its_digits_and_not_sent_to_it_again() -> None:
    step = "one: {measure: voltage, accept: 0.1 V to 0.5 V, fail: bad, then: good}"
    bench = small(step, meter=METER)
    bench.say(Command("range"))
    assert "600 mV range" in bench.texts()
    told = verdict(bench.after(volts("0.50"))).text
    assert told.endswith("Measure once more, and say all the digits the meter shows.")


# --- times ---


@pytest.mark.parametrize(
    ("seconds", "exact", "about", "age"),
    [
        (1, "1 second", "a minute", "a minute"),
        (60, "60 seconds", "a minute", "a minute"),
        (61, "61 seconds", "2 minutes", "2 minutes"),
        (119, "119 seconds", "2 minutes", "2 minutes"),
        (120, "2 minutes", "2 minutes", "2 minutes"),
        (121, "3 minutes", "3 minutes", "3 minutes"),
        (3599, "60 minutes", "60 minutes", "60 minutes"),
        (3600, "60 minutes", "60 minutes", "1 hour"),
        (7200, "120 minutes", "120 minutes", "2 hours"),
        (86399, "1440 minutes", "1440 minutes", "23 hours"),
        (86400, "1440 minutes", "1440 minutes", "1 day"),
        (172800, "2880 minutes", "2880 minutes", "2 days"),
    ],
)
def test_a_length_of_time_is_told_exactly_about_or_as_an_age(
    seconds: int, exact: str, about: str, age: str
) -> None:
    setup = small(VOLTS).engine.setup
    assert show_time(setup, seconds) == exact
    assert show_about(setup, seconds) == about
    assert show_age(setup, seconds) == age


# --- facts that are given ---

FACTS = """
facts:
  supply: {say: the supply, unit: V}
  air: {say: how warm the air is, unit: °C}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""
BY_FACT = "one: {measure: voltage, accept: at most 2 % of supply, fail: bad, then: good}"


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("supply", "much",
         "'much' is not a value for 'supply', the supply; write it like --set supply='12 V'"),
        ("supply", "12 A",
         "'12 A' is not a value for 'supply', the supply; write it like --set supply='12 V'"),
        ("supply", "0",
         "'0' is not a value for 'supply', the supply; write it like --set supply='12 V'"),
        ("supply", "-12 V",
         "'-12 V' is not a value for 'supply', the supply; write it like --set supply='12 V'"),
        ("suply", "12 V", "the procedure has no fact 'suply'; did you mean 'supply'?"),
    ],
)  # fmt: skip
def test_a_fact_that_cannot_be_is_refused_with_what_would_do(
    name: str, text: str, told: str
) -> None:
    procedure = small(BY_FACT, more=FACTS).engine.setup.procedure
    with pytest.raises(MeasureError) as refused:
        check_facts(procedure, {name: text})
    assert str(refused.value) == told


@pytest.mark.parametrize(
    ("name", "text"),
    [("supply", "12"), ("supply", "12 V"), ("supply", "12000 mV"), ("air", "-5"), ("colour", "x")],
)
def test_a_fact_in_its_own_or_another_unit_is_taken_and_one_like_none_left_alone(
    name: str, text: str
) -> None:
    check_facts(small(BY_FACT, more=FACTS).engine.setup.procedure, {name: text})


# --- what would come next ---


def test_what_comes_next_is_named_by_where_it_leads() -> None:
    bench = small(f"{VOLTS.replace('then: good', 'then: two')}\ntwo{OHMS.removeprefix('one')}")
    setup, session = bench.engine.setup, bench.session

    def follows(*meanings: Meaning) -> str:
        return next_action(setup, session, meanings)

    assert follows() == follows(volts("5"), volts("3")) == "question"
    assert follows(volts("5")) == follows(volts("5.5")) == "step two pass"
    assert follows(volts("3")) == "step bad low"
    assert follows(Command("why")) == follows(Command("unstable")) == "aside"
    assert follows(Command("skip")) == repr(Command("skip"))
    assert follows(amps("5")) != "question"


def test_what_is_guessed_at_an_offer_is_what_was_guessed_before_it() -> None:
    bench = small(VOLTS)
    before = dict(likely(bench.engine.setup, bench.session, "mumble"))
    assert where(bench.engine.setup, bench.session) == "live"
    bench.hear(Command("help"))
    offered = bench.session
    assert dict(likely(bench.engine.setup, offered, "mumble")) == before
    assert where(small(OHMS).engine.setup, small(OHMS).session) == "ohms"
    asked = small("so: {ask: is it so, answers: {yes: good, no: bad}}")
    assert where(asked.engine.setup, asked.session) == State.ASK.value
    assert Answer("affirm") in likely(asked.engine.setup, asked.session, "mumble").values()
