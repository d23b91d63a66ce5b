"""Cautions: built in, a file's own, and those that add themselves."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import Signal
from voiceassist.procedure.parts.cautions import built_in

END = "last: {lamp: there, fail: weak, then: fine}\n"


def signals(written: str, head: str = "") -> list[tuple[str, Signal]]:
    step = good(small(f"one: {{{written}}}\n{END}", head=head)).step("one")
    return [(caution.name, caution.signal) for caution in step.cautions]


def test_built_in_cautions_need_no_writing() -> None:
    names = "[hot-parts, restraint-wiring]"
    assert signals(f"do: look, caution: {names}") == [
        ("restraint-wiring", Signal.WARNING),
        ("hot-parts", Signal.CAUTION),
    ]


def test_only_the_trained_and_authorised_go_on_at_high_voltage() -> None:
    step = good(small("one: {do: look, caution: high-voltage}\n" + END)).step("one")
    (caution,) = step.cautions
    assert (caution.signal, caution.only_authorised) == (Signal.DANGER, True)


@pytest.mark.parametrize(
    ("name", "signal"),
    # ANSI Z535.4: DANGER will, WARNING could kill or maim; CAUTION could hurt; NOTICE is damage.
    # Which hazards there are is common practice, no source.
    [
        ("restraint-wiring", Signal.WARNING),
        ("high-voltage", Signal.DANGER),
        ("battery-gas", Signal.WARNING),
        ("battery-short", Signal.WARNING),
        ("hot-parts", Signal.CAUTION),
        ("fan-and-belts", Signal.WARNING),
        ("fuse-like-for-like", Signal.CAUTION),
        ("no-ohmmeter-live", Signal.NOTICE),
        ("raised-vehicle", Signal.WARNING),
        ("fuel-vapour", Signal.WARNING),
        ("moving-window", Signal.WARNING),
    ],
)
def test_each_built_in_caution_has_the_word_for_its_hazard(name: str, signal: Signal) -> None:
    caution = built_in()[name]
    assert caution.signal is signal
    assert len(caution.hazard.split()) >= 4
    assert len(caution.avoid.split()) >= 4


def test_a_caution_of_ones_own_may_stop_all_but_authorised_people() -> None:
    head = "cautions: {mine: {signal: DANGER, hazard: x, avoid: y, only-authorised: true}}"
    step = good(small("one: {do: look, caution: mine}\n" + END, head=head)).step("one")
    assert step.cautions[0].only_authorised


@pytest.mark.parametrize(
    ("signal", "allowed"),
    [("DANGER", True), ("WARNING", True), ("CAUTION", False), ("NOTICE", False)],
)
def test_a_built_in_caution_may_be_made_graver_and_never_lighter(
    signal: str, allowed: bool
) -> None:
    head = f"cautions: {{battery-gas: {{signal: {signal}, hazard: mine, avoid: mine}}}}"
    text = small("one: {do: look, caution: battery-gas}\n" + END, head=head)
    if allowed:
        assert good(text).step("one").cautions[0].hazard == "mine"
    else:
        found = faults_in(text)
        assert has(found, Severity.ERROR, "cautions.battery-gas.signal", "do not make less of it")


def test_an_ohmmeter_and_a_fuse_bring_their_cautions() -> None:
    coil = "measure: resistance of the coil, unit: kΩ"
    assert signals(coil) == [("no-ohmmeter-live", Signal.NOTICE)]
    limited = "measure: resistance of the coil, accept: at most 2 Ω, fail: weak"
    assert [name for name, _ in signals(limited)] == ["no-ohmmeter-live"]
    fuse = "do: change the fuse, fuse: 10 A, caution: restraint-wiring"
    assert [name for name, _ in signals(fuse)] == ["restraint-wiring", "fuse-like-for-like"]
    assert signals("measure: voltage, unit: V") == []


def test_ones_own_caution_of_that_name_is_the_one_that_adds_itself() -> None:
    head = "cautions: {no-ohmmeter-live: {signal: CAUTION, hazard: mine, avoid: mine}}"
    assert signals("measure: resistance, unit: Ω", head) == [("no-ohmmeter-live", Signal.CAUTION)]


@pytest.mark.parametrize(
    "text",
    [
        "unplug the airbag under the seat",
        "measure at the belt tensioner",
        "look at the orange cable",
        "hold the lamp to the battery plus post",
        "look at the radiator fan",
        "look at the drive belt",
    ],
)
def test_words_of_a_hazard_without_a_caution_are_warned_of(text: str) -> None:
    found = faults_in(small(f"one: {{do: {text}}}\n{END}"))
    assert has(found, Severity.WARNING, "steps.one", "calls for a caution, such as"), found
    assert not faults_in(small(f"one: {{do: {text}, caution: hot-parts}}\n{END}"))


def test_a_battery_is_cautioned_of_once_and_an_airbag_every_time() -> None:
    battery = "one: {do: look at the battery posts, caution: battery-gas}\n"
    battery += "two: {do: look at the battery posts again}\n"
    assert not faults_in(small(battery + END))
    airbag = battery.replace("battery posts", "airbag")
    assert has(faults_in(small(airbag + END)), Severity.WARNING, "steps.two", "restraint-wiring")


def test_an_unknown_caution_is_answered_with_a_near_one() -> None:
    found = faults_in(small(f"one: {{do: look, caution: batery-gas}}\n{END}"))
    message = "there is no caution 'batery-gas'; did you mean 'battery-gas'?"
    assert found == [(Severity.ERROR, "steps.one.caution", message)]


@pytest.mark.parametrize("written", ["{a: b}", "{signal: WARNING}"])
def test_a_caution_that_is_no_name_is_told_once(written: str) -> None:
    found = faults_in(small(f"one: {{do: look, caution: {written}}}\n{END}"))
    message = "a name or a list of names is wanted here, found a block of 'key: value' lines"
    assert found == [(Severity.ERROR, "steps.one.caution", message)]


def test_a_state_that_calls_for_a_caution_again_must_be_one_of_the_file() -> None:
    own = "{signal: WARNING, hazard: it moves, avoid: keep clear, again-when: {plug: half}}"
    found = faults_in(small(f"one: {{do: look}}\n{END}", head=f"cautions: {{moving: {own}}}"))
    assert has(found, Severity.ERROR, "cautions.moving.again-when.plug", "state 'half'")
