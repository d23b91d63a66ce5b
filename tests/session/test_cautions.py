"""Safety is spoken first, acknowledged, repeated, and never skipped."""

import pytest
from bench import HEAD, Bench, small, volts

from voiceassist.session.outputs import CautionAcknowledged, CautionSpoken
from voiceassist.session.session import Detail, Stage
from voiceassist.session.states import State

STEP = """
one:
  caution: {caution}
  needs: {{key: run}}
  measure: voltage on the pin
  unit: V
  then: good
"""


@pytest.mark.parametrize("detail", Detail)
def test_a_caution_comes_before_everything_else_at_every_level_of_detail(detail: Detail) -> None:
    bench = small(STEP.format(caution="blades"), detail=detail)
    spoken = [o for o in bench.outputs if o.step == "one" and o.text]
    assert isinstance(spoken[0], CautionSpoken)
    assert spoken[0].text == "WARNING: the fan may start. Keep clear."


def test_a_warning_waits_to_be_acknowledged_and_a_light_caution_does_not() -> None:
    assert small(STEP.format(caution="blades")).state is State.CAUTION
    assert small(STEP.format(caution="edge")).changing


def test_no_does_not_acknowledge() -> None:
    bench = small(STEP.format(caution="blades")).after("negative")
    assert bench.state is State.CAUTION
    assert "finish" in bench.texts()


def test_high_voltage_is_for_trained_and_authorised_people_only() -> None:
    bench = small(STEP.format(caution="orange"))
    assert "trained and authorised people only" in bench.texts()
    bench.say("negative")
    assert bench.state is State.CAUTION
    bench.say("finish", "affirm")
    assert bench.outputs[-1].to_json()["outcome"] == "stopped"


def test_the_word_for_a_change_acknowledges_no_warning_and_it_is_said_what_does() -> None:
    bench = small(STEP.format(caution="blades")).after("done")
    assert bench.state is State.CAUTION
    assert "affirm" in bench.texts()


def test_a_caution_is_repeated_with_its_step() -> None:
    bench = small(STEP.format(caution="blades")).after("affirm", "done", "repeat")
    assert "the fan may start" in bench.texts()


def test_a_reading_before_the_caution_is_acknowledged_does_not_count() -> None:
    bench = small(STEP.format(caution="blades")).after(volts("5"))
    assert bench.session.ledger == ()
    assert "affirm" in bench.texts()


@pytest.mark.parametrize(
    ("name", "signal"),
    [
        # Signal words by the definitions of ANSI Z535.4 (from memory): DANGER will, WARNING
        # could cause death or serious injury; the choice for each hazard is common practice.
        ("high-voltage", "DANGER"),
        ("restraint-wiring", "WARNING"),
        ("battery-gas", "WARNING"),
        ("fan-and-belts", "WARNING"),
    ],
)
def test_the_built_in_cautions_need_no_writing(name: str, signal: str) -> None:
    bench = small(STEP.format(caution=name))
    spoken = [o for o in bench.outputs if isinstance(o, CautionSpoken)]
    assert [o.signal for o in spoken] == [signal]


def test_an_ohmmeter_is_kept_off_live_circuits_without_being_told() -> None:
    bench = small("one: {measure: resistance of the coil, unit: Ω, then: good}")
    assert "no-ohmmeter-live" in [o.name for o in bench.outputs if isinstance(o, CautionSpoken)]


# --- in full, and in short ---

MOVES = "blades: {signal: WARNING, hazard: the fan may start, avoid: keep clear}"
KNOWN = HEAD.replace(MOVES, MOVES[:-1] + ", short: 'fan, keep clear', again-when: {plug: in}}")
RUNS = """
one: {needs: {plug: in}, caution: blades, measure: voltage on the pin, unit: V}
two: {caution: blades, measure: voltage on the pin, unit: V}
three: {needs: {plug: out}, caution: blades, measure: voltage on the pin, unit: V}
four: {needs: {plug: in}, caution: [blades, edge], measure: voltage on the pin, unit: V, then: good}
"""


def told(bench: Bench) -> list[str]:
    return [o.text for o in bench.outputs if isinstance(o, CautionSpoken)]


def test_a_caution_that_was_told_is_told_in_short_until_what_it_guards_comes_about_anew() -> None:
    in_full, short = "WARNING: the fan may start. Keep clear.", "WARNING: fan, keep clear."
    bench = small(RUNS, head=KNOWN)
    assert told(bench) == [in_full]
    bench.say("affirm")
    assert [told(bench.after(volts("1"))) for _ in range(3)] == [
        [short],
        [short],
        [in_full, "CAUTION: the edge is sharp. Wear gloves."],
    ]


def test_a_caution_is_told_in_full_where_an_earlier_step_made_what_it_guards_anew() -> None:
    bench = small(
        """
        one: {needs: {plug: out}, caution: blades, measure: voltage on the pin, unit: V}
        two: {needs: {plug: in}, measure: voltage on the pin, unit: V}
        three: {caution: blades, measure: voltage on the pin, unit: V, then: good}
        """,
        head=KNOWN,
    ).after("done", "affirm", volts("1"), "done", volts("1"))
    assert bench.step == "three"
    assert told(bench) == ["WARNING: the fan may start. Keep clear."]


def test_the_record_tells_at_which_step_a_caution_was_acknowledged() -> None:
    (given,) = [
        o for o in small(RUNS, head=KNOWN).after("affirm").all if isinstance(o, CautionAcknowledged)
    ]
    assert (given.step, given.names) == ("one", ("blades",))


def test_say_again_tells_a_caution_in_full() -> None:
    bench = small(RUNS, head=KNOWN).after("affirm", volts("1"), "repeat")
    assert told(bench) == ["WARNING: the fan may start. Keep clear."]


def test_a_danger_is_never_shortened() -> None:
    step = "{caution: orange, measure: voltage on the pin, unit: V}"
    bench = small(f"one: {step}\ntwo: {step[:-1]}, then: good}}").after("affirm", volts("1"))
    assert "high voltage kills" in bench.texts()


def test_a_caution_without_short_words_keeps_its_hazard() -> None:
    step = "{caution: blades, measure: voltage on the pin, unit: V}"
    bench = small(f"one: {step}\ntwo: {step[:-1]}, then: good}}").after("affirm", volts("1"))
    assert told(bench) == ["WARNING: the fan may start."]


MANY = """
one: {caution: blades, measure: first, accept: at most 13 V, fail: bad}
two: {caution: battery-gas, measure: second, accept: at most 13 V, fail: bad}
three: {caution: fan-and-belts, measure: third, accept: at most 13 V, fail: bad}
four: {caution: raised-vehicle, measure: fourth, accept: at most 13 V, fail: bad, then: good}
"""


def test_whatever_waits_to_be_acknowledged_tells_the_word_for_it_however_often_it_was_said() -> (
    None
):
    bench, waits = small(MANY), 0
    for _ in range(9):
        if bench.state is State.CAUTION:
            waits += 1
            assert bench.texts().endswith(("Say affirm.", "Say affirm when understood."))
        bench.say("affirm" if bench.state is State.CAUTION else volts("12"))
        if bench.session.finding:
            break
    assert waits >= 3


def test_a_warning_in_the_proof_tells_its_word_too(typed: Bench) -> None:
    typed.to("command-fast").say(volts("12.0"))
    while typed.session.stage is not Stage.PROVE:
        typed.say("affirm" if typed.state in {State.OFFER, State.CAUTION} else "done")
    assert typed.state is State.CAUTION
    assert "WARNING" in typed.texts()
    assert typed.texts().endswith("Say affirm.")
