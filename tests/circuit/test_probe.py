"""What instruments show, and where the words of a step put them."""

from dataclasses import replace
from math import inf

import pytest
from circuit.small_circuits import bat, circuit, lamp, module, motor, pulses, res, switch

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Fuse, Plug, Potentiometer
from voiceassist.circuit.probe import Shown, shown
from voiceassist.circuit.wording import places_in, probe_of
from voiceassist.errors import CircuitError
from voiceassist.measure.quantity import Quantity

PLUG = Plug("module plug", ("motor wire",), {})
WIRED = Circuit(
    parts={
        part.name: part
        for part in (
            bat("battery", "battery plus post", "battery minus post", 12.0),
            switch("key switch", "battery plus post", "feed", key="run"),
            res("feed wire", "feed", "feed pin", 0.5),
            res("load", "feed pin", "motor wire behind module plug", 5.0),
            motor("motor", "motor wire", "battery minus post", seized=True),
        )
    },
    earth="battery minus post",
    plugs={"module plug": PLUG},
    points={
        "battery posts": ("battery plus post", "battery minus post"),
        "body earth": ("battery minus post",),
    },
)
PLACES = places_in(WIRED)


def value(found: Shown, unit: str) -> float:
    assert found.value is not None
    return float(found.value.to(Quantity.parse(f"1 {unit}").unit).value)


def parsed(text: str, shows: Shows = Shows.VOLTAGE) -> Probe:
    return probe_of("it", text, shows, PLACES, WIRED.earth, ("feed", "feed pin"))


@pytest.mark.parametrize(
    ("text", "red", "black"),
    [
        ("voltage from the feed pin to body earth", "feed pin", "battery minus post"),
        ("voltage between feed and the motor wire", "feed", "motor wire"),
        ("voltage across the battery posts", "battery plus post", "battery minus post"),
        ("voltage across the motor", "motor wire", "battery minus post"),
        ("voltage along the feed wire from the fuse to the pin", "feed", "feed pin"),
        ("voltage at the feed pin", "feed pin", "battery minus post"),
        ("voltage on the motor wire while it is turned up", "motor wire", "battery minus post"),
        (
            "voltage from motor wire behind module plug to feed",
            "motor wire behind module plug",
            "feed",
        ),
    ],
)
def test_words_name_the_points(text: str, red: str, black: str) -> None:
    assert parsed(text) == Probe(Shows.VOLTAGE, red, black)


def test_words_name_the_carrier_of_a_current() -> None:
    clamped = parsed("current in the motor wire, with the clamp around it", Shows.CURRENT)
    assert clamped == Probe(Shows.CURRENT, through="motor wire", clamp=True)
    assert parsed("current through the motor", Shows.CURRENT).through == "motor"
    across = parsed("current from feed to the feed pin", Shows.CURRENT)
    assert (across.red, across.black, across.clamp) == ("feed", "feed pin", False)


def test_a_lamp_can_stay_beside_a_meter() -> None:
    kept = parsed("voltage from the feed pin to body earth, with the lamp still lit")
    assert kept.lamp == ("feed", "feed pin")
    told = parsed("voltage at the feed pin with a lamp from feed to body earth")
    assert (told.red, told.lamp) == ("feed pin", ("feed", "battery minus post"))


@pytest.mark.parametrize(
    "text", ["voltage of the alternator", "voltage from the feed pin to the roof", "voltage"]
)
def test_words_that_name_no_points_are_told_with_their_step(text: str) -> None:
    with pytest.raises(CircuitError, match="the step 'it' does not say where in the circuit"):
        parsed(text)


def test_a_lamp_that_nobody_held_cannot_stay() -> None:
    with pytest.raises(CircuitError, match="no lamp is held before the step 'drop'"):
        probe_of("drop", "voltage at feed with the lamp lit", Shows.VOLTAGE, PLACES, WIRED.earth)


def test_a_current_is_read_by_clamp_by_meter_and_in_a_pin() -> None:
    ohm = 0.001 + 0.5 + 5.0 + 0.002 + 0.4
    for text, expected in (
        ("current in the motor wire, with the clamp", 12 / ohm),
        ("current in the feed wire, with the clamp", 12 / ohm),
        ("current in the feed wire", 12 / (ohm + 0.02)),
        ("current of the battery, with the clamp", 12 / ohm),
    ):
        found = shown(WIRED, {"key": "run"}, parsed(text, Shows.CURRENT))
        assert value(found, "A") == pytest.approx(expected, rel=1e-6), text


def test_a_meter_bridges_an_open_switch() -> None:
    bridge = parsed("current from the battery plus post to feed", Shows.CURRENT)
    found = shown(WIRED, {"key": "off"}, bridge)
    assert value(found, "A") == pytest.approx(12 / (0.5 + 5.0 + 0.002 + 0.4 + 0.02))


def test_more_than_a_meter_stands_is_over_range() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), res("wire", "a", "b", 0.5), res("l", "b", "0", 0.1)
    )
    assert shown(parts, {}, Probe(Shows.CURRENT, through="wire")).over
    assert value(shown(parts, {}, Probe(Shows.CURRENT, through="wire", clamp=True)), "A") == 20


def test_a_current_in_no_part_and_no_pin_is_told() -> None:
    with pytest.raises(CircuitError, match="the current at 'feed' cannot be found"):
        shown(WIRED, {"key": "run"}, parsed("current in the feed", Shows.CURRENT))


def test_an_ohmmeter_reads_parts_and_not_what_is_live() -> None:
    across = parsed("resistance of the motor", Shows.RESISTANCE)
    assert value(shown(WIRED, {"key": "off"}, across), "Ω") == pytest.approx(0.4)
    live = shown(WIRED, {"key": "run"}, across)
    assert live.value is None
    assert "switch the power off" in live.invalid


def test_an_ohmmeter_turns_no_motor_and_shows_an_open_circuit_as_over_range() -> None:
    parts = circuit(bat("battery", "a", "0", 12.0), motor("fan", "m", "n"), lamp("L", "n", "o"))
    assert value(shown(parts, {}, Probe(Shows.RESISTANCE, "m", "n")), "Ω") == pytest.approx(0.4)
    assert shown(parts, {}, Probe(Shows.RESISTANCE, "m", "a")).over
    cold = shown(parts, {}, Probe(Shows.RESISTANCE, "n", "o"))
    assert value(cold, "Ω") == pytest.approx(0.1 * 144 / 21, rel=0.1)


@pytest.mark.parametrize(
    ("ohm", "shines"), [(0.05, "bright"), (5.0, "dim"), (100.0, "off"), (float("inf"), "off")]
)
def test_a_lamp_shines_by_what_is_before_it(ohm: float, shines: str) -> None:
    parts = circuit(bat("battery", "a", "0", 12.6), res("joint", "a", "b", ohm))
    assert shown(parts, {}, Probe(Shows.LAMP, "b", "0")).lamp == shines


def test_a_joint_that_hides_from_the_meter_shows_under_the_lamp() -> None:
    parts = circuit(bat("battery", "a", "0", 12.6), res("leak", "a", "b", 100e3))
    ghost = Probe(Shows.VOLTAGE, "b", "0")
    assert value(shown(parts, {}, ghost), "V") == pytest.approx(12.47525, abs=1e-5)
    loaded = shown(parts, {}, replace(ghost, lamp=("b", "0")))
    assert value(loaded, "mV") < 6.1


@pytest.mark.parametrize(("side", "reading"), [("high", 3.0), ("low", 9.0)])
def test_a_pulsed_output_reads_its_mean(side: str, reading: float) -> None:
    """A low side that is on a quarter of the time leaves three quarters of the supply."""
    driver = Module(
        name="M", terminals={"feed": "a", "earth": "0", "command": "c", "output": "m"},
        curve=((2.0, 0.0), (10.0, 1.0)), side=side, hertz=400.0, ohm=1e-3, own_ohm=1e3,
    )  # fmt: skip
    load = res("load", "m", "0" if side == "high" else "a", 10.0)
    parts = circuit(bat("battery", "a", "0", 12.0), bat("control", "c", "0", 4.0), driver, load)
    at = Probe(Shows.VOLTAGE, "m", "0")
    assert value(shown(parts, {}, at), "V") == pytest.approx(reading, rel=1e-3)
    assert value(shown(parts, {}, replace(at, shows=Shows.FREQUENCY)), "Hz") == 400
    duty = value(shown(parts, {}, replace(at, shows=Shows.DUTY)), "%")
    assert duty == pytest.approx(25 if side == "high" else 75)
    supply = Probe(Shows.FREQUENCY, "a", "0")
    assert value(shown(parts, {}, supply), "Hz") == 0


def test_a_pulsed_output_draws_its_share_of_current() -> None:
    driver = Module(
        name="M", terminals={"feed": "a", "earth": "0", "command": "c", "output": "m"},
        curve=((2.0, 0.0), (10.0, 1.0)), hertz=400.0, ohm=1e-3, own_ohm=1e6,
    )  # fmt: skip
    parts = circuit(
        bat("battery", "a", "0", 12.0), bat("control", "c", "0", 4.0), driver,
        res("load", "m", "0", 10.0),
    )  # fmt: skip
    clamp = Probe(Shows.CURRENT, through="battery", clamp=True)
    assert value(shown(parts, {}, clamp), "A") == pytest.approx(0.25 * 0.3, rel=1e-3)


def test_the_pulses_that_swing_most_at_a_point_are_counted() -> None:
    quick = replace(pulses("quick", "q", "0", 0.5), hertz=2000.0)
    parts = circuit(
        bat("battery", "a", "0", 12.0), pulses("slow", "s", "0", 0.25), quick,
        res("r1", "s", "mix", 100.0), res("r2", "q", "mix", 1000.0), res("r3", "mix", "0", 1e4),
        res("r4", "a", "0", 1e3),
    )  # fmt: skip
    assert value(shown(parts, {}, Probe(Shows.FREQUENCY, "mix", "0")), "Hz") == 1000
    assert value(shown(parts, {}, Probe(Shows.DUTY, "q", "0")), "%") == 50


def test_the_height_of_a_pulse_blows_no_fuse_that_stands_its_mean() -> None:
    """A quarter of 24 A is far below a 10 A fuse, which needs minutes, not a pulse, to blow."""
    driver = Module(
        name="M", terminals={"feed": "f", "earth": "0", "command": "c", "output": "m"},
        curve=((2.0, 0.0), (10.0, 1.0)), hertz=400.0, ohm=1e-3, own_ohm=1e3,
    )  # fmt: skip
    fuse = Fuse(name="F", terminals={"from": "a", "to": "f"}, ampere=10.0, ohm=1e-3)
    parts = circuit(
        bat("battery", "a", "0", 12.0), bat("control", "c", "0", 4.0), fuse, driver,
        res("load", "m", "0", 0.5),
    )  # fmt: skip
    at = Probe(Shows.FREQUENCY, "m", "0")
    assert value(shown(parts, {}, at), "Hz") == 400
    assert value(shown(parts, {}, replace(at, shows=Shows.DUTY)), "%") == pytest.approx(25)


def test_a_module_that_is_dead_has_no_pulses() -> None:
    driver = replace(module("M", "a", "0", "c", "m"), hertz=400.0, dead=True)
    parts = circuit(
        bat("battery", "a", "0", 12.0), bat("control", "c", "0", 4.0), driver,
        res("load", "m", "0", 10.0),
    )  # fmt: skip
    assert value(shown(parts, {}, Probe(Shows.FREQUENCY, "m", "0")), "Hz") == 0


def test_a_probe_on_no_node_is_told() -> None:
    with pytest.raises(CircuitError, match="there is no node 'x' in this circuit"):
        shown(WIRED, {}, Probe(Shows.VOLTAGE, "x", "feed"))


@pytest.mark.parametrize(
    ("stuck", "share"), [(None, 0.0), (0.4, 40.0)], ids=["command in the air", "stuck"]
)
def test_a_pulsed_output_without_a_command_or_stuck_has_the_share_it_has_then(
    stuck: float | None, share: float
) -> None:
    """At 0 V its command asks for nothing; an output that is stuck asks for no command."""
    loose = replace(module("M", "a", "0", "c", "m"), hertz=400.0, stuck=stuck, pull_up=inf)
    parts = circuit(bat("battery", "a", "0", 12.0), loose, res("load", "m", "0", 10.0))
    assert value(shown(parts, {}, Probe(Shows.DUTY, "m", "0")), "%") == pytest.approx(share)


def test_a_dead_regulator_gives_and_draws_nothing() -> None:
    ends = {"feed": "a", "earth": "0", "output": "five"}
    alive = Regulator(name="R", terminals=ends, volt=5.0)
    for part, volt, ampere in ((alive, 5.0, 0.012), (replace(alive, dead=True), 0.0, 0.0)):
        parts = circuit(bat("battery", "a", "0", 12.0), part, res("load", "five", "0", 1e6))
        at_five = value(shown(parts, {}, Probe(Shows.VOLTAGE, "five", "0")), "V")
        assert at_five == pytest.approx(volt, abs=1e-3)
        clamp = Probe(Shows.CURRENT, through="battery", clamp=True)
        assert value(shown(parts, {}, clamp), "A") == pytest.approx(ampere, abs=1e-5)


def test_words_that_name_no_point_are_told_in_full() -> None:
    with pytest.raises(CircuitError) as refused:
        parsed("voltage from the feed pin to the roof")
    assert str(refused.value) == (
        "the step 'it' does not say where in the circuit it measures ('voltage from the feed pin "
        "to the roof'): there is no point 'roof'; write 'from A to B' with test points of the "
        "circuit, put it so under 'probes:' in the circuit, or give its reading under 'answers:' "
        "there"
    )


def test_a_part_with_three_ends_is_measured_between_its_outer_ones() -> None:
    """Nobody who measures along a potentiometer holds a lead to its wiper."""
    ends = {"from": "a", "wiper": "w", "to": "0"}
    track = Potentiometer(name="dial", terminals=ends, ohm=1000.0, turned=0.3)
    places = places_in(circuit(track, res("load", "w", "0", 1e6)))
    found = probe_of("it", "resistance of the dial", Shows.RESISTANCE, places, "0")
    assert (found.red, found.black) == ("a", "0")


@pytest.mark.parametrize(("ohm", "ampere"), [(5.0, 2.0), (inf, 0.0)])
def test_with_a_drop_goes_the_current_that_makes_it(ohm: float, ampere: float) -> None:
    """By Ohm's law."""
    load = [] if ohm == inf else [res("load", "p", "0", ohm)]
    made = circuit(bat("b", "a", "0", 12.0), res("wire", "a", "p", 1.0), *load)
    found = shown(made, {}, Probe(Shows.VOLTAGE, "a", "p"))
    assert found.flow == pytest.approx(ampere, abs=1e-5)
