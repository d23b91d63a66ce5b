"""What becomes of a circuit as a file tells it, and what is said of one that cannot be."""

from typing import Any

import pytest
from circuit.blamed import Blamed, Told, reader

from voiceassist.circuit.model import Circuit, Instruments, Probe, Shows
from voiceassist.circuit.parts import Plug
from voiceassist.circuit.read import Probed, read_circuit
from voiceassist.circuit.shape import CircuitShape, FaultShape

PARTS = {
    "battery": {"battery": "12 V", "inner-resistance": "20 mΩ", "from": "post", "to": "frame"},
    "contact": {"switch": {"key": "run"}, "from": "post", "to": "feed"},
    "lamp": {"lamp": "5 W", "from": "feed", "to": "frame", "behind": "socket"},
}
PLUGS = {"socket": {"pins": ["feed"], "closed-when": {"plug": "in"}}}
WHOLE: dict[str, Any] = {"at-first": {"key": "off", "plug": "in"}, "parts": PARTS, "plugs": PLUGS}
FEED = Probed("measure", "voltage at the feed", Shows.VOLTAGE, ("steps", "measure"))
GLOW = Probed("glow", "from the feed to the frame", Shows.LAMP, ("steps", "glow"))
DROP = Probed("drop", "voltage at the post with the lamp", Shows.VOLTAGE, ("steps", "drop"))


def read(
    more: dict[str, Any], *asked: Probed, faults: dict[str, Any] | None = None
) -> tuple[Circuit | None, Told]:
    blame = Blamed()
    told = {name: FaultShape.model_validate(body) for name, body in (faults or {}).items()}
    shape = CircuitShape.model_validate(WHOLE | more)
    found, _ = read_circuit(shape, told, asked, reader(blame))
    return found, blame.told


def good(more: dict[str, Any], *asked: Probed) -> Circuit:
    found, told = read(more, *asked)
    assert told == []
    assert found is not None
    return found


def test_a_circuit_is_told_from_its_battery_where_nothing_else_is_told() -> None:
    found = good({})
    assert (found.earth, found.supply) == ("frame", "post")
    assert found.at_first == {"key": "off", "plug": "in"}
    assert found.instruments == Instruments()
    assert (found.points, found.probes, found.answers) == ({}, {}, {})
    assert found.plugs == {"socket": Plug("socket", ("feed",), {"plug": frozenset(["in"])}, 0.002)}
    assert [part.tolerance for part in found.parts.values()] == [0.0, 0.0, 0.0]


def test_a_circuit_has_what_is_told_of_it() -> None:
    found = good(
        {
            "earth": "post",
            "tolerance": "5 %",
            "points": {"pin": "feed", "posts": ["post", "frame"]},
            "plugs": {"socket": PLUGS["socket"] | {"resistance": "5 mΩ"}},
            "answers": {"look": "yes", "measure": "12 V"},
            "instruments": {
                "voltmeter": "1 MΩ", "ammeter": "50 mΩ", "lamp": "5 W", "lamp-voltage": "24 V"
            },
        }
    )  # fmt: skip
    assert found.earth == "post"
    assert {part.tolerance for part in found.parts.values()} == {0.05}
    assert found.points == {"pin": ("feed",), "posts": ("post", "frame")}
    assert found.plugs["socket"].ohm == 0.005
    assert found.answers == {"look": "yes", "measure": "12 V"}
    assert found.instruments == Instruments(
        voltmeter_ohm=1e6, ammeter_ohm=0.05, lamp_watt=5.0, lamp_volt=24.0
    )


def test_each_step_holds_its_instrument_where_its_words_or_the_circuit_say() -> None:
    found = good({}, GLOW, DROP, FEED).probes
    assert found == {
        "glow": Probe(Shows.LAMP, "feed", "frame"),
        "drop": Probe(Shows.VOLTAGE, "post", "frame", lamp=("feed", "frame")),
        "measure": Probe(Shows.VOLTAGE, "feed", "frame"),
    }
    told = good({"probes": {"measure": "voltage at the post"}}, FEED).probes
    assert told == {"measure": Probe(Shows.VOLTAGE, "post", "frame")}
    assert good({"answers": {"measure": "12 V"}}, FEED).probes == {}


def test_points_by_their_own_names_and_those_with_a_pair_of_nodes_are_understood() -> None:
    points = {"pin": "feed", "posts": ["post", "frame"]}
    at_pin = Probed("measure", "voltage at the pin", Shows.VOLTAGE, ())
    across = Probed("measure", "voltage across the posts", Shows.VOLTAGE, ())
    assert good({"points": points}, at_pin).probes["measure"].red == "feed"
    found = good({"points": points}, across).probes["measure"]
    assert (found.red, found.black) == ("post", "frame")


def with_lamp(**more: str) -> dict[str, Any]:
    return {"parts": PARTS | {"lamp": {"lamp": "5 W", "from": "feed", "to": "frame"} | more}}


@pytest.mark.parametrize(
    ("more", "path", "message"),
    [
        ({"parts": {"wire": {"joint": "1 Ω", "from": "a", "to": "b"}}}, "parts",
         "nothing gives a voltage; add a battery"),
        ({"earth": "fame"}, "earth",
         "nothing is joined to the earth node 'fame'; join a part to it"),
        ({"tolerance": "5 V"}, "tolerance", "5 V is a voltage; give a ratio"),
        ({"parts": PARTS | {"lamp 2": {"lamp": "5 W", "from": "feed", "to": "fame"}}},
         "parts/lamp 2/to",
         "the node 'fame' leads nowhere, only 'lamp 2' is joined to it; "
         "not fame, known: post frame feed"),
        ({"plugs": {"socket": PLUGS["socket"] | {"pins": ["feed", "spare"]}}}, "plugs/socket/pins",
         "the node 'spare' leads nowhere, only 'socket' is joined to it; "
         "not spare, known: post frame feed"),
        ({"plugs": {"socket": PLUGS["socket"] | {"pins": ["feed", "feed"]}}}, "plugs/socket/pins",
         "a pin stands here twice; keep one of them"),
        ({"plugs": {"socket": PLUGS["socket"] | {"closed-when": {"plug": "on"}}}},
         "plugs/socket/closed-when/plug",
         "there is no state of 'plug' 'on'; not on, known: in out"),
        ({"plugs": {"socket": PLUGS["socket"] | {"resistance": "1 V"}}}, "plugs/socket/resistance",
         "1 V is a voltage; give a resistance"),
        ({"points": {"pin": ["feed", "post", "frame"]}}, "points/pin",
         "a point is one node, or a plus and a minus node"),
        ({"points": {"pin": "fead"}}, "points/pin",
         "there is no node 'fead'; not fead, known: post frame feed feed behind socket"),
        ({"at-first": {"key": "off"}}, "at-first",
         "the circuit follows 'plug'; tell its state as the vehicle is met"),
        ({"at-first": WHOLE["at-first"] | {"kay": "off"}}, "at-first/kay",
         "there is no condition 'kay'; not kay, known: key plug"),
        ({"at-first": WHOLE["at-first"] | {"key": "on"}}, "at-first/key",
         "there is no state of 'key' 'on'; not on, known: off run"),
        ({"answers": {"lock": "yes"}}, "answers/lock",
         "there is no step 'lock'; not lock, known: look measure"),
        ({"probes": {"weigh": "voltage at the feed"}}, "probes/weigh",
         "there is no measuring step 'weigh'; not weigh, known: measure"),
        ({"probes": {"measure": "at the tail"}}, "probes/measure",
         "the step 'measure' does not say where in the circuit it measures ('at the tail'); write "
         "'from A to B' with test points of the circuit, put it so under 'probes:' in the circuit, "
         "or give its reading under 'answers:' there"),
        *(({"instruments": {key: f"0 {unit}"}}, f"instruments/{key}",
           "zero cannot be; give a value above it")
          for key, unit in (("voltmeter", "Ω"), ("ammeter", "Ω"), ("lamp", "W"),
                            ("lamp-voltage", "V"))),
        *(({"instruments": {key: "1 Hz"}}, f"instruments/{key}",
           f"1 Hz is a frequency; give a {kind}")
          for key, kind in (("voltmeter", "resistance"), ("ammeter", "resistance"),
                            ("lamp", "power"), ("lamp-voltage", "voltage"))),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_circuit_is_told_in_full_with_its_place(
    more: dict[str, Any], path: str, message: str
) -> None:
    _, told = read(more, FEED)
    assert told[0] == (("circuit", *path.split("/")), message)


def test_what_the_words_of_a_step_do_not_tell_is_blamed_where_they_stand() -> None:
    _, told = read({}, Probed("measure", "voltage at the tail", Shows.VOLTAGE, ("steps", "it")))
    ((path, _),) = told
    assert path == ("steps", "it")
    _, told = read({}, DROP)
    message = "no lamp is held before the step 'drop' ('voltage at the post with the lamp'); "
    assert told == [(("steps", "drop"), message + "write 'with a lamp from A to B'")]


@pytest.mark.parametrize(
    ("said", "where", "message"),
    [
        ("voltage at the feed", "voltage at the feed with a lamp from feed to frame",
         "a lamp is held here, of which the words tell nothing; say 'lamp across them'"),
        ("voltage at the feed, lamp across them", "voltage at the feed",
         "the words tell of a lamp, and none is held in the circuit; write 'with a lamp from A to "
         "B' with test points of the circuit, here or under 'probes:'"),
        ("voltage from the post to the frame", "voltage at the feed",
         "the words say 'from the post to the frame', and 'probes:' feed and frame; write both "
         "alike"),
    ],
)  # fmt: skip
def test_words_that_say_otherwise_than_the_circuit_are_told_in_full(
    said: str, where: str, message: str
) -> None:
    step = Probed("measure", said, Shows.VOLTAGE, ("steps", "measure"))
    _, told = read({"probes": {"measure": where}}, step)
    assert told == [(("circuit", "probes", "measure"), message)]


def test_a_circuit_with_a_part_or_a_state_that_cannot_be_is_none_and_nothing_else_is_said() -> None:
    for more in (with_lamp(lamp="0 W"), {"at-first": {"key": "off"}}, {"earth": "fame"}):
        found, told = read(more, faults={"it": {"open": "nothing", "found-as": "week"}})
        assert found is None
        assert len(told) == 1


def test_a_node_that_a_point_names_need_lead_nowhere_else() -> None:
    spare = {"joint": "1 Ω", "from": "feed", "to": "spare"}
    parts = {"parts": PARTS | {"stub": spare}}
    assert len(read(parts)[1]) == 1
    good(parts | {"points": {"stub": "spare"}})
