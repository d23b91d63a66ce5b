"""What is said on whole jobs with shipped procedures, where a word too few or too many misleads."""

from functools import cache

import pytest
from benchmarks.technicians import setup_named
from lines import Lines
from whole_jobs import Job, whole_job

from voiceassist.procedure.model import Kind
from voiceassist.session.events import Returned
from voiceassist.session.outputs import Ask, CautionSpoken, ConditionChange
from voiceassist.session.states import State


@cache
def job(name: str, fault: str) -> Job:
    return whole_job(setup_named(name), fault)


def said(done: Job) -> str:
    return " ".join(done.texts)


# --- a blown fuse at the trailer ---


def test_the_fuse_is_named_by_its_number_and_its_own_colour() -> None:
    """5 A is tan: ISO 8820-3 blade fuses, as widely printed."""
    told = said(job("trailer-socket", "left-tail-fuse-blown"))
    assert "Is fuse one under the dash whole?" in told
    assert "A 5 A fuse is tan" in told


def test_a_lamp_in_the_place_of_the_fuse_has_what_would_light_it() -> None:
    """With the switch off it would stay dark, and the short would not be found."""
    done = job("trailer-socket", "left-tail-fuse-blown")
    turn = next(t for t in done.turns if any("place of the fuse, and" in o.text for o in t.outputs
                                             if isinstance(o, Ask)))  # fmt: skip
    changed = {(o.name, o.state) for o in turn.outputs if isinstance(o, ConditionChange)}
    assert ("tail lamps", "on") in changed


# --- a data line ---


def test_the_vehicle_sleeps_before_the_clamp_comes_off() -> None:
    told = said(job("can-termination", "front-end-open"))
    assert "Wait until the vehicle sleeps, then minus clamp off." in told


def test_a_resistance_is_asked_for_between_two_points_and_nowhere_else() -> None:
    told = said(job("can-termination", "front-end-open"))
    assert "from high wire to low wire, front module out." in told
    assert "Front module:" not in told


# --- charging ---


def test_a_low_voltage_with_the_engine_running_is_the_complaint_and_no_slip() -> None:
    assert "Is the engine running?" not in said(job("no-charging", "diodes-burnt"))


def test_who_started_anew_after_a_pause_is_warned_of_the_running_engine() -> None:
    bench = Lines("no-charging").walk(
        "load-volts",
        hybrid="no",
        belt="yes",
        battery="twelve point five volts",
        idle_volts="fourteen point two volts",
    )
    bench.give(Returned(away_s=3600.0))
    assert bench.state is State.STILL
    bench.type("no")
    assert "running" in {o.name for o in bench.outputs if isinstance(o, CautionSpoken)}


# --- a draw ---


def test_the_minus_clamp_is_on_again_before_it_is_lifted_for_the_meter() -> None:
    """A clamp that was taken off for the repair cannot be lifted off once more."""
    done = job("key-off-draw", "diode-leaks")
    told = said(done)
    fitted = told[told.index("fit the new alternator") : told.index("Now prove it.")]
    in_order = ("minus clamp back on", "join the ammeter", "lift the clamp off")
    assert sorted(in_order, key=fitted.index) == list(in_order)


def test_the_minus_clamp_is_cleaned_with_nothing_switched_on() -> None:
    needs = setup_named("key-off-draw").procedure.repairs["clean-minus"].needs
    assert {("headlamps", "off"), ("key", "off")} <= {(n.condition, n.state) for n in needs}


@pytest.mark.parametrize("fault", ["lid-switch-stuck", "diode-leaks"])
def test_changes_are_asked_for_in_one_breath_of_few_words(fault: str) -> None:
    for turn in job("key-off-draw", fault).turns:
        changes = [o.text for o in turn.outputs if isinstance(o, ConditionChange)]
        assert len(" ".join(changes).split()) <= 45, changes


def test_no_trainee_is_told_the_name_of_a_step_he_might_come_to() -> None:
    """What a result means is a cause; a name that only the writer knows says nothing."""
    procedure = setup_named("heater-fan-module").procedure
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six volts")
    told = bench.type("explain").lower()
    names = [n.replace("-", " ") for n, s in procedure.steps.items() if s.kind is Kind.MEASURE]
    assert [name for name in names if f"next step is {name}" in told] == []
    assert "next step" not in told
