"""Networks with answers found elsewhere: by hand, and by a general circuit simulator.

All values were worked out by hand or by ngspice 39 (``.op``), to the digits shown.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from circuit.small_circuits import at_rest, bat, circuit, diode, lamp, module, pulses, relay, res

from voiceassist.circuit import newton
from voiceassist.circuit.driven import driven
from voiceassist.circuit.laws import THERMAL_VOLT, Target
from voiceassist.circuit.model import Probe, Shows
from voiceassist.circuit.network import Floats, Network
from voiceassist.circuit.parts import Diode
from voiceassist.circuit.probe import shown
from voiceassist.circuit.pulses import beat_of
from voiceassist.circuit.solve import solved


def near(value: float, digits: int = 6) -> object:
    """Equal to the printed digits."""
    return pytest.approx(value, rel=0.6 * 10.0**-digits, abs=1e-12)


def test_a_loaded_divider() -> None:
    found = at_rest(
        bat("V1", "a", "0", 12), res("R1", "a", "b", 10e3), res("R2", "b", "0", 10e3),
        res("R3", "b", "0", 10e3),
    )  # fmt: skip
    assert found.voltage("b") == near(4.0, 12)


@pytest.mark.parametrize(
    ("third", "fourth", "b", "c", "bridge"),
    [(1e3, 2.2e3, 600 / 89, 605 / 89, -10e-3 / 89), (1.5e3, 3e3, 20 / 3, 20 / 3, 0.0)],
)
def test_a_bridge(third: float, fourth: float, b: float, c: float, bridge: float) -> None:
    found = at_rest(
        bat("V1", "a", "0", 10), res("R1", "a", "b", 1e3), res("R2", "b", "0", 2e3),
        res("R3", "a", "c", third), res("R4", "c", "0", fourth), res("RG", "b", "c", 500.0),
    )  # fmt: skip
    assert found.voltage("b") == near(b, 12)
    assert found.voltage("c") == near(c, 12)
    assert found.current("RG") == near(bridge, 9)


@pytest.mark.parametrize(
    ("volt", "last", "nodes", "source"),
    [
        (12.0, 2e3, (264 / 43, 3.348837, 2.232558), 5.860465e-3),
        (8.0, 1e3, (4.0, 2.0, 1.0), 4e-3),  # R-2R
    ],
)
def test_a_ladder(volt: float, last: float, nodes: tuple[float, ...], source: float) -> None:
    found = at_rest(
        bat("V1", "a", "0", volt),
        res("R1", "a", "n1", 1e3), res("S1", "n1", "0", 2e3),
        res("R2", "n1", "n2", 1e3), res("S2", "n2", "0", 2e3),
        res("R3", "n2", "n3", 1e3), res("S3", "n3", "0", last),
    )  # fmt: skip
    for name, value in zip(("n1", "n2", "n3"), nodes, strict=True):
        assert found.voltage(name) == near(value)
    assert found.current("V1") == near(-source)


def test_a_source_gives_most_power_to_its_own_resistance() -> None:
    def power(ohm: float) -> float:
        return at_rest(
            bat("V1", "a", "0", 12), res("R1", "a", "b", 4.0), res("R2", "b", "0", 6.0),
            res("RL", "b", "0", ohm),
        ).power("RL")  # fmt: skip

    assert power(2.4) == near(5.4, 12)
    assert power(2.3) < power(2.4) > power(2.5)
    open_end = at_rest(bat("V1", "a", "0", 12), res("R1", "a", "b", 4.0), res("R2", "b", "0", 6.0))
    assert open_end.voltage("b") == near(7.2, 12)


@pytest.mark.parametrize(
    ("source", "load", "reading"),
    [(1e6, 10e6, 11.45455), (100e3, 10e6, 12.47525), (100e3, 10e6 * 48 / (10e6 + 48), 6.045e-3)],
)
def test_a_meter_or_lamp_loads_what_it_reads(source: float, load: float, reading: float) -> None:
    found = at_rest(
        bat("V1", "a", "0", 12.6), res("Rs", "a", "b", source), res("Rm", "b", "0", load)
    )
    assert found.voltage("b") == near(reading, 3)


@pytest.mark.parametrize(
    ("feed", "earth", "p", "m", "g", "amperes"),
    [
        (0.04, 0.02, 12.55097, 12.35486, 0.09805, 4.90272),
        (0.04, 0.5, None, None, 2.06557, 4.13115),
        (20.0, 0.02, None, 1.40932, 0.01119, 0.559254),
    ],
)
def test_a_fan_with_good_and_bad_joints(
    feed: float, earth: float, p: float | None, m: float | None, g: float, amperes: float
) -> None:
    found = at_rest(
        bat("V1", "bat", "0", 12.6), res("Ri", "bat", "p", 0.01), res("Rf", "p", "m", feed),
        res("Rm", "m", "g", 2.5), res("Rg", "g", "0", earth),
    )  # fmt: skip
    for node, value in (("p", p), ("m", m), ("g", g)):
        if value is not None:
            assert found.voltage(node) == pytest.approx(value, abs=0.6e-5)
    assert found.current("Rm") == near(amperes, 5)


def test_a_bad_joint_without_a_load_hides_from_the_meter() -> None:
    parts = bat("V1", "bat", "0", 12.6, 0.01), res("Rf", "bat", "m", 20.0)
    reading = shown(circuit(*parts), {}, Probe(Shows.VOLTAGE, "m", "0"))
    assert reading.value is not None
    assert float(reading.value.value) == pytest.approx(12.59997, abs=0.6e-5)


def test_a_diode_follows_shockley() -> None:
    at_one_ampere = THERMAL_VOLT * math.log1p(1 / 1e-14)
    found = at_rest(bat("V1", "a", "0", 5), res("R1", "a", "b", 1e3), diode("D1", "b", "0"))
    assert found.voltage("b") < 0.7
    d1 = Diode(name="D1", terminals={"from": "b", "to": "0"}, volt=at_one_ampere)
    found = at_rest(bat("V1", "a", "0", 5), res("R1", "a", "b", 1e3), d1)
    assert found.voltage("b") == near(0.692888, 6)
    assert found.current("R1") == near(4.30711e-3, 6)


@pytest.mark.parametrize(
    ("pull_up", "sink", "reading"),
    [(4.7e3, 9.4e3, 8.39737), (None, 9.4e3, 0.0), (4.7e3, None, 12.59408)],
)
def test_a_control_wire_plugged_and_on_either_side_of_the_open_plug(
    pull_up: float | None, sink: float | None, reading: float
) -> None:
    parts = [bat("V1", "b12", "0", 12.6), res("other load", "b12", "0", 1e3)]
    parts += [res("Rpu", "b12", "ctl", pull_up)] if pull_up else []
    parts += [res("Rsink", "ctl", "0", sink)] if sink else []
    found = shown(circuit(*parts), {}, Probe(Shows.VOLTAGE, "ctl", "0"))
    assert found.value is not None
    assert float(found.value.value) == near(reading)


def test_a_control_module_passes_the_share_its_command_asks_for() -> None:
    found = at_rest(
        bat("V1", "bat", "0", 12.6), bat("Vc", "ctl", "0", 8.4),
        module("M", "bat", "0", "ctl", "m"), res("Rmot", "m", "0", 2.5),
    )  # fmt: skip
    assert found.voltage("m") == near(9.88235)
    assert found.current("Rmot") == near(3.95294)


def test_a_module_on_the_low_side_earths_its_load_and_feeds_none() -> None:
    """The load gets 80 % of 12.6 V through 2.5 Ω and the output's 0.05 Ω; worked by Ohm's law."""
    low = replace(module("M", "bat", "0", "ctl", "m"), side="low")
    sources = bat("V1", "bat", "0", 12.6), bat("Vc", "ctl", "0", 8.4)
    found = at_rest(*sources, low, res("load", "bat", "m", 2.5))
    assert found.current("load") == near(10.08 / 2.55)
    assert found.voltage("m") == near(2.52 + 0.05 * 10.08 / 2.55)
    own = 12.6 / low.own_ohm
    assert found.current("M", "earth") == near(-10.08 / 2.55 - own)
    assert found.current("M", "feed") == near(own)
    assert at_rest(*sources, low, res("load", "m", "0", 2.5)).voltage("m") < 1e-6
    earthed = Target(((0.0, 0.2),), None, 0.05, sink=True)
    assert driven(earthed, (12.6, 0.0, 0.0, 2.5)).current == pytest.approx(0, abs=1e-9)


def test_the_ends_of_a_data_line_read_sixty_ohms() -> None:
    two = circuit(res("one end", "high", "0", 120.0), res("other end", "high", "0", 120.0))
    for parts, ohms in ((two, 60.0), (circuit(two.parts["one end"]), 120.0)):
        found = shown(parts, {}, Probe(Shows.RESISTANCE, "high", "0")).value
        assert found is not None
        assert float(found.value) == near(ohms)


def test_a_third_end_reads_forty_and_a_short_next_to_nothing() -> None:
    ends = [res(f"end {n}", "high", "0", 120.0) for n in range(3)]
    short = res("short", "high", "0", 0.1)
    for parts, ohms in ((ends, 40.0), ([*ends, short], 0.0997506)):
        found = shown(circuit(*parts), {}, Probe(Shows.RESISTANCE, "high", "0")).value
        assert found is not None
        assert float(found.value) == near(ohms)


def test_a_relay_coil_behind_a_wire_and_a_driver() -> None:
    found = at_rest(
        bat("V1", "a", "0", 12.6), res("Rw", "a", "c", 0.5), relay("K", ("c", "d"), "a", "out"),
        res("Rd", "d", "0", 1.0), res("load", "out", "0", 1e6),
    )  # fmt: skip
    assert found.between("c", "d") == near(12.3815, 5)
    assert found.current("K", "pin-86") == near(0.145665, 5)
    assert found.pulled == {"K"}


def test_a_sensor_on_a_five_volt_reference() -> None:
    found = at_rest(bat("V1", "r", "0", 5), res("Rp", "r", "s", 2.2e3), res("Rs", "s", "0", 2.5e3))
    assert found.voltage("s") == near(2.659574)


def test_pulses_show_their_mean() -> None:
    parts = circuit(pulses("P", "a", "0", 0.25), res("R1", "a", "0", 1e3))
    beat = beat_of(solved(parts, {}), "a", "0")
    assert (beat.hertz, beat.high_share) == (1000.0, 0.25)
    assert beat.mean == near(3.0, 12)
    assert solved(parts, {}).voltage("a") == near(3.0, 12)


def test_what_helps_the_search_changes_nothing_in_what_is_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plain = newton._newton
    asked: list[float] = []

    def lost_at_first(network: Network, start: Floats, siemens: float) -> Floats | None:
        asked.append(siemens)
        return plain(network, start, siemens) if asked[1:] else None

    parts = bat("V1", "a", "0", 12), res("R1", "a", "b", 0.5), lamp("L", "b", "0")
    straight = at_rest(*parts).rows
    monkeypatch.setattr(newton, "_newton", lost_at_first)
    assert np.allclose(at_rest(*parts).rows, straight, rtol=1e-9, atol=1e-9)
    assert len(asked) > 2
