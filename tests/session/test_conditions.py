"""The vehicle's state: which changes are spoken, in which order, and what a wrong one costs."""

from textwrap import indent

import pytest
from bench import FINDINGS, HEAD, METER, Bench, amps, small, volts
from hypothesis import given
from hypothesis import strategies as st
from lines import Lines

from voiceassist.language.meanings import Command, OverRange
from voiceassist.procedure.model import Need
from voiceassist.session.events import Returned
from voiceassist.session.outputs import ConditionChange, VerdictGiven
from voiceassist.session.plan import changes
from voiceassist.session.session import Detail
from voiceassist.session.states import State

PLUG = """
wire:
  needs: {plug: in, key: run}
  measure: voltage on the pin
  accept: 8 V to 9 V
  if-forgotten: {plug: at most 0.5 V}
  fail: bad
  then: good
"""


def asked(bench: Bench) -> list[str]:
    """The changes asked for in the last answer."""
    return [
        f"{o.name} {o.state}"
        for o in bench.outputs
        if isinstance(o, ConditionChange) and not o.met and o.text
    ]


# --- order ---


def test_only_what_the_next_step_needs_is_asked_for() -> None:
    bench = small(
        """
        one: {needs: {key: run, plug: in}, do: look}
        two: {needs: {key: run, plug: out}, do: look again, then: good}
        """
    )
    assert asked(bench) == ["key run", "plug in"]
    bench.say("done")
    assert asked(bench) == ["plug out"]


GUARDED = """
one: {needs: {key: run, plug: in}, do: look}
two: {needs: {key: run, plug: out}, do: look again, then: good}
"""


def test_a_plug_is_moved_only_with_the_key_off() -> None:
    bench = small(GUARDED, more="before-changing: {plug: {key: off}}\n" + FINDINGS)
    assert asked(bench) == ["key off", "plug in", "key run"]
    bench.say("done")
    assert asked(bench) == ["key off", "plug out", "key run"]


names = st.sampled_from(["key", "plug", "fan", "lid"])
states = st.sampled_from(["a", "b"])
needs_of = st.dictionaries(names, states, min_size=1).map(
    lambda d: tuple(Need(name, state, f"{name} {state}") for name, state in d.items())
)


@given(
    needs=needs_of,
    known=st.dictionaries(names, states),
    guard=states,
)
def test_after_the_changes_every_need_holds_and_no_guarded_change_was_made_too_early(
    needs: tuple[Need, ...], known: dict[str, str], guard: str
) -> None:
    before = {"plug": (Need("key", guard, ""),), "lid": (Need("plug", "a", ""),)}
    state = dict(known)
    for change in changes(needs, tuple(known.items()), before, {}):
        for must in before.get(change.condition, ()):
            assert state[must.condition] == must.state
        state[change.condition] = change.state
    wanted = {need.condition: need.state for need in needs}
    assert {name: state[name] for name in wanted} == wanted


def test_nothing_is_asked_for_that_is_known_to_hold() -> None:
    need = Need("key", "run", "")
    assert changes((need,), (("key", "run"),), {}, {}) == ()


# --- readings under a wrong condition ---


def test_changes_and_a_reading_are_asked_for_in_one_breath() -> None:
    bench = small(PLUG)
    assert bench.changing
    assert "Plug it in. Turn the key to run. Measure the" in bench.texts()


def test_a_reading_tells_that_the_changes_asked_for_with_it_were_made() -> None:
    bench = small(PLUG).after(volts("8.4"))
    made = [(o.name, o.state) for o in bench.outputs if isinstance(o, ConditionChange) and o.met]
    assert ("plug", "in") in made
    assert bench.session.ledger[0].conditions == bench.session.conditions


def test_done_before_the_reading_tells_that_the_changes_were_made() -> None:
    bench = small(PLUG).after("done")
    assert not bench.changing
    assert bench.session.condition("plug") == "in"
    assert "Measure" in bench.texts()
    assert bench.after("done").texts().startswith("What does it show?")


def test_a_value_that_is_dropped_tells_nothing_of_the_vehicle() -> None:
    bench = small(PLUG, certain=False).after(volts("2.0"))
    assert bench.state is State.CONFIRM
    assert bench.after("negative").changing


def test_a_trainee_hears_one_thing_after_another() -> None:
    bench = small(PLUG, detail=Detail.TEACHING)
    assert bench.state is State.CONDITION
    assert "Measure" not in bench.texts()


def test_work_and_its_changes_are_one_turn() -> None:
    bench = small("one: {needs: {key: run}, do: look at it, then: good}")
    assert bench.texts().endswith("Turn the key to run. Look at it. Then say done.")
    bench.say("done")
    assert bench.session.condition("key") == "run"
    assert bench.state is State.AFTER


def test_work_asks_for_done_until_it_was_said() -> None:
    steps = "".join(f"s{n}: {{do: look at it {n}}}\n" for n in range(5))
    bench = small(steps + "end: {do: look once more, then: good}")
    told = ["say done" in bench.texts()]
    told += ["say done" in bench.after("done").texts() for _ in range(4)]
    assert told == [True, False, False, False, False]
    assert "say done" not in bench.after("repeat").texts()


def test_a_reading_before_the_changes_are_made_is_refused_with_what_to_change() -> None:
    bench = small(PLUG, detail=Detail.TEACHING)
    bench.say(volts("8.4"))
    assert [o.verdict for o in bench.outputs if isinstance(o, VerdictGiven)] == ["not valid"]
    assert "plug it in" in bench.texts()
    assert bench.session.ledger == ()


def test_zero_on_a_wire_whose_plug_is_out_is_not_believed_before_the_plug_is_asked_about() -> None:
    bench = small(PLUG)
    bench.say("done", volts("0.02"))
    assert bench.state is State.FORGOTTEN
    assert "Is the plug in?" in bench.texts()
    assert bench.session.ledger == ()


def test_a_forgotten_plug_is_asked_for_again_and_the_reading_does_not_count() -> None:
    bench = small(PLUG)
    bench.say("done", volts("0.02"), "negative")
    assert asked(bench) == ["plug in"]
    assert bench.changing
    bench.say("done", volts("8.4"))
    assert [r.shown for r in bench.session.ledger] == ["8.4 V"]


def test_with_the_plug_in_the_value_is_believed() -> None:
    bench = small(PLUG)
    bench.say("done", volts("0.02"), "affirm")
    assert [r.outcome for r in bench.session.ledger] == ["low"]
    assert bench.session.finding == "bad"


LED_ASTRAY = """
one: {needs: {key: run}, lamp: on the pin, then: good, fail: two}
two: {needs: {key: run}, measure: voltage behind it, accept: 8 V to 9 V, fail: bad, then: bad,
  if-forgotten: {key: at most 0.5 V}}
"""


def test_the_result_that_led_here_without_the_key_does_not_count_either() -> None:
    bench = small(LED_ASTRAY).after("off", volts("0.02"), "negative")
    assert "that reading does not count: you did not turn the key to run. Nor does one." in (
        bench.texts()
    )
    assert (bench.step, bench.session.condition("key")) == ("one", "")
    assert asked(bench) == ["key run"]
    assert bench.after("bright").session.finding == "good"


def test_who_turns_the_key_when_he_is_asked_takes_that_result_again_too() -> None:
    bench = small(LED_ASTRAY).after("off", volts("0.02"), "done")
    assert (bench.step, bench.session.condition("key")) == ("one", "run")
    assert bench.after("bright").session.finding == "good"


def test_a_result_that_the_key_was_told_or_shown_for_still_counts() -> None:
    known = LED_ASTRAY.replace("lamp: on the pin, then: good, fail: two",
        "measure: voltage on it, accept: 8 V to 9 V, fail: bad, then: two,"
        " if-forgotten: {key: at most 0.5 V}")  # fmt: skip
    bench = small(known).after(volts("8.4"), volts("0.02"), "negative")
    assert bench.step == "two"
    assert [r.superseded for r in bench.session.ledger] == [False]


def test_each_condition_that_the_reading_looks_like_is_asked_about() -> None:
    forgetful = PLUG.replace("{plug: at most", "{key: at most 0.5 V, plug: at most")
    bench = small(forgetful)
    bench.say("done", volts("0.02"))
    assert "0.02 V reads as if you did not turn the key to run. Did you turn" in bench.texts()
    assert bench.say("affirm")
    assert "Is the plug in?" in bench.texts()
    assert bench.state is State.FORGOTTEN
    bench.say("negative")
    assert asked(bench) == ["plug in"]
    assert dict(bench.session.conditions)["key"] == "run"
    bench.say("done", volts("0.02"), "affirm", "affirm")
    assert bench.session.finding == "bad"


IN_RUN = "{do: turn the key to run, ask: is the key in run, not: the key was not in run}"


def test_a_state_is_asked_about_in_its_own_words_and_told_in_them() -> None:
    own = HEAD.replace("run: turn the key to run", f"run: {IN_RUN}")
    step = PLUG.replace("{plug: at most", "{key: at most")
    bench = Bench(f"{own}\nsteps:\n{indent(step, '  ')}\n{FINDINGS}")
    bench.say("done", volts("0.02"))
    assert "0.02 V reads as if the key was not in run. Is the key in run?" in bench.texts()
    bench.say("negative")
    assert "that reading does not count: the key was not in run." in bench.texts()
    bench.say("done")
    bench.give(Returned(3600.0))
    assert "the plug is in, and the key is in run?" in bench.texts()


def test_a_question_about_the_vehicle_is_answered_by_a_new_value_or_by_done() -> None:
    bench = small(PLUG)
    bench.say("done", volts("0.02"), volts("8.4"))
    assert bench.session.finding == "good"
    bench = small(PLUG)
    bench.say("done", volts("0.02"), "done")
    assert bench.state is State.MEASURE
    assert bench.session.ledger == ()
    assert bench.session.condition("plug") == "in"


# --- what holds only for a moment ---

CRANKING = """
conditions:
  key:
    off: turn the key off
    start:
      do: have the helper crank, at most five seconds
      ask: was it cranking
      not: it was not cranking
      momentary: true
steps:
  one:
    needs: {key: off}
    do: look
  two:
    needs: {key: start}
    measure: voltage at the stud
    accept: {by: key, table: {off: at most 1 V, start: at least 9.6 V}}
    fail: bad
    if-forgotten: {key: at most 1 V}
  three: {needs: {key: off}, do: look again, then: good}
"""


HELD = "Probes on first; then have the helper crank, at most five seconds."


def test_the_probes_come_first_and_what_is_held_for_a_moment_after_them() -> None:
    bench = Bench(f"procedure: small\ntitle: small\nfor: a van\n{CRANKING}{FINDINGS}")
    bench.say("done", "done")
    assert bench.state is State.MEASURE
    assert bench.texts().endswith(HELD)
    bench.say(volts("10.2"))
    assert bench.session.ledger[-1].passed
    assert dict(bench.session.ledger[-1].conditions) == {"key": "start"}
    assert bench.session.condition("key") == "off"
    assert asked(bench) == []


def test_one_who_did_not_crank_is_asked_and_told_again_what_to_do() -> None:
    bench = Bench(f"procedure: small\ntitle: small\nfor: a van\n{CRANKING}{FINDINGS}")
    bench.say("done", "done", volts("0.5"))
    assert "0.5 V reads as if it was not cranking. Was it cranking?" in bench.texts()
    bench.say("done")
    assert "then have the helper crank" in bench.texts()
    assert bench.session.condition("key") == "off"


# --- the leads of the meter ---

IN_LINE = """
first: {measure: voltage of the battery, unit: V}
draw: {measure: current in the cable, unit: A, meter: 10 A}
after: {measure: voltage of the battery, unit: V, then: good}
"""


def test_the_red_lead_is_moved_back_before_a_voltage_is_read_after_a_current() -> None:
    bench = small(IN_LINE)
    assert asked(bench) == []
    bench.say(volts("12.5"))
    assert asked(bench) == ["meter leads 10 A"]
    assert "Red lead and meter to 10 A." in bench.texts()
    bench.say("done", amps("0.4"))
    assert asked(bench) == ["meter leads volts"]
    assert "Red lead back to the volts socket" in bench.texts()


@pytest.mark.parametrize(
    "step",
    [
        "ask: does it hum, answers: {yes: good, no: bad}",
        "lamp: between the plug and the body, fail: bad, then: good",
        "do: pull the fuse, then: good",
        "measure: current in the cable by clamp, unit: A, then: good",
        "measure: resistance of the coil, unit: Ω, then: good",
        "wait: the engine to cool, for: 5 min, then: good",
        "count: flashes of the lamp, accept: at most 3 times, fail: bad, then: good",
    ],
)
def test_the_red_lead_is_asked_back_before_whatever_is_not_read_with_it(step: str) -> None:
    *before, _ = IN_LINE.splitlines()
    bench = small("\n".join((*before, f"after: {{{step}}}", "")))
    bench.say(volts("12.5"), "done", amps("0.4"))
    assert bench.step == "after"
    assert asked(bench) == ["meter leads volts"]


def test_what_holds_while_the_lead_is_moved_back_is_not_asked_for_at_a_later_reading() -> None:
    head = """procedure: small
title: small
for: a van
conditions:
  lights: {on: switch the lights on, off: switch the lights off}
before-changing:
  meter leads: {lights: off}
"""
    steps = """
    draw: {needs: {lights: on}, measure: current in the cable, unit: A, meter: 10 A}
    feed: {needs: {lights: on}, measure: voltage of the feed, unit: V}
    earth: {measure: voltage of the earth, unit: V, then: good}
    """
    bench = small(steps, head=head).after("done", amps("4.6"))
    assert asked(bench) == ["lights off", "meter leads volts", "lights on"]
    bench.say("done", volts("12.5"))
    assert bench.step == "earth"
    assert asked(bench) == []


def test_the_red_lead_is_asked_back_before_the_first_step_of_a_repair_and_only_once() -> None:
    repaired = """
    draw: {measure: current in the cable, accept: at most 0.1 A, meter: 10 A, high: bad, then: good}
    """
    more = FINDINGS.replace("mend it}", "mend it, repair: [change, inspect]}")
    more += "repairs:\n  change: {do: change the relay}\n  inspect: {do: look at the relay}\n"
    bench = small(repaired, more=more).after("done", amps("0.4"), "affirm")
    assert bench.step == "change"
    assert asked(bench) == ["meter leads volts"]
    bench.say("done")
    assert bench.step == "inspect"
    assert asked(bench) == []


def test_a_sum_and_a_step_that_names_the_leads_have_the_lead_stay_where_it_is() -> None:
    kept = """
    draw: {measure: current in the cable, unit: A, meter: 10 A}
    twice: {compute: draw * 2, accept: at most 1 A, fail: good}
    still: {needs: {meter leads: 10 A}, do: wait for the click}
    again: {measure: current in the wire, unit: A, meter: 10 A, then: good}
    """
    bench = small(kept).after("done", amps("0.4"))
    assert bench.step == "still"
    assert asked(bench) == []
    bench.say("done")
    assert bench.step == "again"
    assert asked(bench) == []


def test_what_the_lead_must_wait_for_comes_first_and_is_not_undone() -> None:
    guarded = """
    before: {needs: {plug: in}, do: look}
    draw: {needs: {plug: in}, measure: current in the cable, unit: A, meter: 10 A}
    after: {measure: voltage of the battery, unit: V, then: good}
    """
    bench = small(guarded, more="before-changing: {meter leads: {plug: out}}\n" + FINDINGS)
    bench.say("done")
    assert asked(bench) == ["plug out", "meter leads 10 A", "plug in"]
    bench.say("done", amps("0.4"))
    assert asked(bench) == ["plug out", "meter leads volts"]


OHMS = """
wire:
  needs: {plug: in}
  measure: resistance of the wire
  accept: at most 5 Ω
  if-forgotten: {plug: LOOKS}
  fail: bad
  then: good
"""


def test_over_range_is_asked_about_where_a_forgotten_plug_reads_no_less_than_a_value() -> None:
    bench = small(OHMS.replace("LOOKS", "at least 1 MΩ")).after("done", OverRange())
    assert bench.state is State.FORGOTTEN
    assert "Is the plug in?" in bench.texts()
    bench.say("negative")
    assert asked(bench) == ["plug in"]
    bench.say("done", OverRange(), "affirm")
    assert bench.state is not State.FORGOTTEN


def test_over_range_is_none_that_a_limit_with_an_upper_end_looks_like() -> None:
    bench = small(OHMS.replace("LOOKS", "1 kΩ to 2 kΩ")).after("done", OverRange())
    assert bench.state is not State.FORGOTTEN


def test_a_reading_that_fails_otherwise_is_not_questioned() -> None:
    bench = small(PLUG)
    bench.say("done", volts("3.0"))
    assert bench.session.finding == "bad"


# --- pauses ---


def test_after_lunch_the_vehicle_is_asked_about_before_the_job_goes_on() -> None:
    bench = small(PLUG)
    bench.say("done")
    bench.give(Returned(3600.0))
    assert bench.state is State.STILL
    assert "the plug is in, and the key is at run? Say" in bench.texts()
    assert bench.after("affirm").state is State.MEASURE


def test_what_was_touched_meanwhile_is_brought_about_anew() -> None:
    bench = small(PLUG)
    bench.say("done")
    bench.give(Returned(3600.0))
    bench.say("negative")
    assert asked(bench) == ["plug in", "key run"]


def test_a_short_break_asks_nothing() -> None:
    bench = small(PLUG)
    bench.say("done")
    bench.give(Returned(20.0))
    assert bench.state is State.MEASURE


@pytest.mark.parametrize(("seconds", "asks"), [(599.0, False), (600.0, True)])
def test_a_long_stand_by_asks_whether_the_vehicle_is_as_it_was(seconds: float, asks: bool) -> None:
    bench = small(PLUG)
    bench.say("done")
    bench.hear(Command("stand-by"), at_s=100.0)
    bench.hear(Command("go-ahead"), at_s=100.0 + seconds)
    assert (bench.state is State.STILL) is asks


def test_a_job_stopped_with_the_lead_in_the_current_socket_has_it_moved_back() -> None:
    bench = small(IN_LINE)
    bench.say(volts("12.5"), "done", amps("0.4"), "finish", "affirm")
    assert bench.state is State.PUT_BACK
    assert asked(bench) == ["meter leads volts"]


def test_what_the_lead_must_wait_for_is_put_back_before_it_when_a_job_is_stopped() -> None:
    guarded = """
    draw: {needs: {plug: in}, measure: current in the cable, unit: A, meter: 10 A}
    after: {measure: current in the wire, unit: A, meter: 10 A, then: good}
    """
    more = "before-changing: {meter leads: {plug: out}}\nat-rest: {plug: out}\n" + FINDINGS
    bench = small(guarded, more=more).after("done", amps("0.4"), "finish", "affirm")
    assert asked(bench) == ["plug out", "meter leads volts"]


# --- the clamp ---

CLAMPED = """
fan: {measure: 'current in the fan wire, by clamp', unit: A}
drop: {measure: voltage along the earth, unit: V}
again: {measure: 'current in fan wire, by clamp, fast', unit: A}
lamp: {measure: 'current in the lamp wire, by clamp', unit: A, then: good}
"""


def at_the_lamp() -> Bench:
    return small(CLAMPED).after(amps("5"), volts("0.1"), amps("7"))


def test_the_clamp_stays_for_a_drop_and_for_another_reading_around_the_same_wire() -> None:
    bench = small(CLAMPED)
    bench.say(amps("5"))
    assert bench.session.condition("current clamp") == "around the fan wire"
    assert asked(bench) == []
    bench.say(volts("0.1"))
    assert asked(bench) == []


def test_the_clamp_comes_off_before_a_current_is_read_around_another_wire() -> None:
    bench = at_the_lamp()
    assert bench.step == "lamp"
    assert asked(bench) == ["current clamp off"]
    assert "Current clamp off the wire." in bench.texts()
    bench.say(amps("4"))
    assert bench.session.condition("current clamp") == "around the lamp wire"


def test_the_clamp_comes_off_before_the_job_is_closed() -> None:
    bench = at_the_lamp().after(amps("4"))
    assert asked(bench) == ["current clamp off"]
    assert bench.after("done").state is State.CLOSED


def test_a_job_that_is_left_with_the_clamp_on_tells_so() -> None:
    bench = at_the_lamp().after("finish", "affirm", "finish")
    assert bench.state is State.CLOSED
    assert "Left so: the current clamp is around the fan wire." in bench.texts()


def test_the_clamp_comes_off_before_the_meter_is_put_in_line() -> None:
    in_line = """
    fan: {measure: 'current in the fan wire, by clamp', unit: A}
    draw: {measure: current in the cable, unit: A, meter: 10 A, then: good}
    """
    assert asked(small(in_line).after(amps("5"))) == ["current clamp off", "meter leads 10 A"]


def test_the_clamp_comes_off_before_a_piece_of_a_repair() -> None:
    steps = """
    fan: {measure: 'current in the fan wire, by clamp', accept: at most 4 A, high: bad, then: good}
    """
    more = FINDINGS.replace("mend it}", "mend it, repair: [change]}")
    more += "repairs:\n  change: {do: change the fan}\n"
    bench = small(steps, more=more).after(amps("5"))
    assert "Change the fan." in bench.texts()
    assert asked(bench) == ["current clamp off"]


# --- how long it may be held, what ends it, and its rest ---

TIMED = CRANKING.replace("have the helper crank, at most five seconds", "have the helper crank")
TIMED = TIMED.replace(
    "      momentary: true\n",
    "      hold: 5 s\n      let-go: have the helper let go\n      rest: 1 min\n",
).replace(
    "  three: {",
    "  again:\n    needs: {key: start}\n    measure: voltage at the strap\n"
    "    accept: at most 0.3 V\n    fail: bad\n  three: {",
)
TIMED_TEXT = f"procedure: small\ntitle: small\nfor: a van\n{TIMED}{FINDINGS}"


def cranking(said_at_s: float = 20.0) -> Bench:
    """A bench at which the first reading was said while the helper cranks."""
    bench = Bench(TIMED_TEXT)
    bench.say("done", "done")
    bench.hear(volts("10.2"), at_s=said_at_s)
    return bench


def test_it_is_told_how_long_the_state_may_be_held_at_most() -> None:
    bench = Bench(TIMED_TEXT)
    bench.say("done", "done")
    held = "Probes on first; then have the helper crank, for at most 5 seconds."
    assert bench.texts().endswith(held)


def test_letting_go_is_told_before_anything_else_is_said_to_the_reading() -> None:
    bench = cranking()
    spoken = [output.text for output in bench.outputs if getattr(output, "text", "")]
    assert spoken[:2] == ["Have the helper let go.", "10.2 V."]
    assert bench.session.ledger[-1].passed


@pytest.mark.parametrize("word", ["danger", "finish", "stand-by"])
def test_one_who_stops_while_it_is_held_is_told_to_let_go_first(word: str) -> None:
    bench = Bench(TIMED_TEXT)
    bench.say("done", "done", word)
    spoken = [output.text for output in bench.outputs if getattr(output, "text", "")]
    assert spoken[0] == "Have the helper let go."


def test_it_rests_before_it_is_held_again_and_only_for_what_is_left() -> None:
    bench = cranking()
    assert "Let it rest for 60 seconds first." in bench.texts()
    bench.hear(Command("disregard"), at_s=65.0)
    assert "Let it rest for 15 seconds first." in bench.texts()
    bench.hear(Command("disregard"), at_s=200.0)
    assert "rest" not in bench.texts()


def test_a_reading_too_close_to_tell_is_taken_again_after_a_rest() -> None:
    bench = Bench(TIMED_TEXT, meter=METER)
    bench.say("done", "done")
    bench.hear(volts("9.62"), at_s=10.0)
    assert bench.session.tries == 1
    rest_and_hold = f"Let it rest for 60 seconds first. {HELD.replace(', at', ', for at')}"
    assert bench.texts().endswith(rest_and_hold.replace("five", "5"))


def test_what_is_done_ahead_of_a_change_is_spoken_before_it_and_not_without_one() -> None:
    steps = """
    one: {needs: {plug: in}, do: look}
    two: {needs: {plug: out}, before: 'wait until the vehicle sleeps', do: look, how: gently}
    three: {needs: {plug: out}, before: wait again, do: look, then: good}
    """
    bench = small(steps)
    bench.say("done")
    assert bench.texts().startswith("First wait until the vehicle sleeps. Unplug")
    bench.say("done")
    assert bench.step == "three"
    assert "wait again" not in bench.texts()


def test_a_reading_that_is_asked_about_first_is_not_held_for_again_yet() -> None:
    bench = Bench(TIMED_TEXT, certain=False)
    bench.say("done", "done")
    bench.hear(volts("5.0"), at_s=10.0)
    assert bench.state is State.CONFIRM
    assert bench.texts().startswith("Have the helper let go.")
    assert "Let it rest" not in bench.texts()


def test_a_lamp_that_was_rightly_dark_is_doubted_too_where_a_change_before_it_was_not_made() -> (
    None
):
    job = Lines("fuse-blows-again")
    for line in ("yes", "affirm", "done", "12.4 volts", "bright", "off"):
        job.type(line)
    assert job.type("off").endswith(
        "Test lamp between live slot and load slot."
    )  # still in neutral
    asked = job.type("off")
    assert "Is the left plug in" in asked
    assert "is the gearbox in reverse" in asked
    told = job.type("negative")
    assert "Nor does behind switch." in told
    assert "Select reverse." in told
    assert "Finding" not in job.type("bright")
