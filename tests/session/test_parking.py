"""A job can be parked until its fault shows: left safe, readings kept, the vehicle asked anew."""

import pytest
from bench import HEAD, Bench, small, volts

from voiceassist.language.meanings import Command
from voiceassist.session.events import Heard, Returned
from voiceassist.session.outputs import ConditionChange, Listen, Parked
from voiceassist.session.states import State

_STEPS = """
  battery: {measure: voltage of the battery, accept: 11 V to 13 V, fail: bad}
  feed: {caution: blades, needs: {plug: out, key: run}, measure: voltage of the feed,
    accept: battery - 1 V to 13 V, fail: bad}
  turns: {ask: does it turn, answers: {yes: good, no: bad}}
"""
_AT_REST = f"{HEAD}at-rest: {{plug: in, key: off}}\n"
_DAY_S = 86400.0
PARK = Command("park", "shows")


@pytest.fixture
def bench() -> Bench:
    job = small(_STEPS, head=_AT_REST)
    job.say(volts("12.6"), "affirm", "done")
    return job


def said(bench: Bench) -> str:
    return " ".join(output.text for output in bench.outputs)


def returned(bench: Bench, away_s: float = 3 * _DAY_S) -> None:
    turn = bench.engine.handle(bench.session, Returned(away_s, 100.0))
    bench.session, bench.outputs = turn.session, turn.outputs


def test_what_is_not_at_rest_is_put_back_before_it_is_parked(bench: Bench) -> None:
    bench.say(PARK)
    asked = [output.name for output in bench.outputs if isinstance(output, ConditionChange)]
    assert set(asked) == {"plug", "key"}
    assert bench.session.state is State.TO_PARK
    outputs = bench.say("done")
    assert "Parked, until the fault shows." in said(bench)
    made = {o.name: o.state for o in bench.outputs if isinstance(o, ConditionChange) and o.met}
    assert made == {"plug": "in", "key": "off"}
    assert any(isinstance(output, Parked) for output in outputs)


def test_with_nothing_to_put_back_it_is_parked_at_once() -> None:
    job = small(_STEPS, head=_AT_REST)
    job.say(Command("park"))
    (parked,) = [output for output in job.outputs if isinstance(output, Parked)]
    assert (parked.reason, parked.why) == ("other", "for later")


def test_parked_it_hears_nothing_but_that_it_goes_on(bench: Bench) -> None:
    bench.say(PARK, "done")
    for word in (volts("12.6"), "affirm", Command("finish"), Command("repeat")):
        outputs = bench.say(word)
        assert [type(output) for output in outputs] == [Listen]
    assert bench.session.state is State.PARKED


def test_taken_up_again_the_readings_count_and_the_vehicle_is_asked_anew(bench: Bench) -> None:
    bench.say(PARK, "done")
    returned(bench)
    assert "parked 3 days ago, until the fault shows" in said(bench)
    assert "battery: 12.6 V" in said(bench)
    assert "WARNING" in said(bench)  # the caution of its step, from the beginning
    assert not dict(bench.session.conditions)
    bench.say("affirm", "done", volts("12.5"))
    assert bench.session.step == "turns"
    assert bench.session.latest("battery") is not None


def test_left_as_it_is_the_record_tells_what_was_left(bench: Bench) -> None:
    bench.say(PARK, Command("finish"))
    assert "Left so: " in said(bench)
    assert bench.session.state is State.PARKED


def test_the_wish_to_park_can_be_dropped(bench: Bench) -> None:
    bench.say(PARK, "negative")
    assert (bench.session.state, bench.session.step) == (State.MEASURE, "feed")
    assert not bench.session.parked


def test_a_doubtful_wish_to_park_is_not_followed(bench: Bench) -> None:
    turn = bench.engine.handle(bench.session, Heard("park it", (PARK,), doubtful=True))
    assert turn.session.state is State.MEASURE


def test_a_finding_can_be_parked_for_its_parts_and_is_offered_again() -> None:
    job = small(_STEPS, head=_AT_REST)
    job.say(volts("5.0"))
    state = job.session.state
    assert state in {State.OFFER, State.AFTER}
    job.say(Command("park", "parts"))
    assert "until the parts are here" in said(job)
    returned(job)
    assert job.session.state is state


def test_not_sure_and_it_works_now_move_nothing_and_lose_nothing(bench: Bench) -> None:
    bench.say(volts("12.5"))
    before = bench.session.ledger
    bench.say(Command("comes-and-goes"))
    assert "say skip, note or park" in said(bench)
    bench.say(Command("not-sure"))
    assert (bench.session.ledger, bench.session.step) == (before, "turns")
