"""What becomes of each fault that a file tells of, and what is said of one that cannot be."""

from typing import Any

import pytest
from circuit.blamed import CONDITIONS, Blamed, Told, reader
from circuit.small_circuits import bat, circuit, motor, relay, res, switch

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.drivers import Module
from voiceassist.circuit.faults import CircuitFault, FaultKind
from voiceassist.circuit.parts import Fuse, Plug
from voiceassist.circuit.read_faults import faults_of
from voiceassist.circuit.shape import FaultShape

PLUG = Plug("socket", ("c", "m"), {})
WHOLE = circuit(
    bat("battery", "a", "0", 12.0, 0.01),
    Fuse(name="fuse", terminals={"from": "a", "to": "f"}, ampere=10.0, ohm=0.01),
    switch("contact", "f", "g", key="run"),
    res("wire", "g", "c", 0.02),
    motor("fan", PLUG.behind("c"), PLUG.behind("m")),
    res("earth joint", "m", "0", 0.002),
    relay("horn relay", ("a", "0"), "a"),
    Module(name="unit", terminals={"feed": "f", "earth": "0", "output": "o"}, curve=((0.0, 1.0),)),
    res("load", "o", "0", 10.0),
    plugs={"socket": PLUG},
)
HERE = ("faults", "it")


def read(given: dict[str, Any], *seen: str) -> tuple[dict[str, CircuitFault], Told]:
    blame = Blamed(*given, *seen)
    shape = FaultShape.model_validate({"found-as": "weak"} | given)
    return faults_of({"it": shape}, WHOLE, reader(blame)), blame.told


def good(given: dict[str, Any]) -> CircuitFault:
    found, told = read(given)
    assert told == []
    return found["it"]


def fault(kind: FaultKind, target: str, **more: object) -> CircuitFault:
    """As common as a fault is of which nothing else is told."""
    usual: dict[str, Any] = {"found_as": ("weak",), "likely": 0.01}
    return CircuitFault(name="it", kind=kind, target=target, **(usual | more))


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"open": "wire"}, fault(FaultKind.OPEN, "wire")),
        ({"open": "fuse", "terminal": "to"}, fault(FaultKind.OPEN, "fuse", terminal="to")),
        ({"high-resistance": "wire", "value": "2 Ω to 50 Ω"},
         fault(FaultKind.HIGH, "wire", size=(2.0, 50.0))),
        ({"high-resistance": "wire", "value": "2 Ω", "terminal": "to"},
         fault(FaultKind.HIGH, "wire", size=(2.0, 2.0), terminal="to")),
        ({"short-to-earth": "c", "value": "1 Ω"}, fault(FaultKind.EARTH, "c", size=(1.0, 1.0))),
        ({"short-to-supply": "wire", "value": "1 Ω"},
         fault(FaultKind.SUPPLY, "wire", size=(1.0, 1.0))),
        ({"shorted": "wire", "value": "1 Ω"}, fault(FaultKind.SHORTED, "wire", size=(1.0, 1.0))),
        ({"wrong": "wire", "value": "4 kΩ"}, fault(FaultKind.WRONG, "wire", size=(4e3, 4e3))),
        ({"wrong": "fan", "value": "3 A"}, fault(FaultKind.WRONG, "fan", size=(3.0, 3.0))),
        ({"wrong": "battery", "value": "9 V"}, fault(FaultKind.WRONG, "battery", size=(9.0, 9.0))),
        ({"wrong": "horn relay", "value": "9 Ω"},
         fault(FaultKind.WRONG, "horn relay", size=(9.0, 9.0))),
        ({"weak": "battery", "value": "9 V to 10 V"},
         fault(FaultKind.WEAK, "battery", size=(9.0, 10.0))),
        ({"stuck": "contact", "state": "open"}, fault(FaultKind.STUCK, "contact")),
        ({"stuck": "horn relay", "state": "closed"},
         fault(FaultKind.STUCK, "horn relay", stuck_closed=True)),
        ({"stuck": "unit", "value": "40 %"}, fault(FaultKind.STUCK, "unit", size=(0.4, 0.4))),
        ({"dead": "unit"}, fault(FaultKind.DEAD, "unit")),
        ({"seized": "fan"}, fault(FaultKind.SEIZED, "fan")),
        ({"blown": "fuse"}, fault(FaultKind.BLOWN, "fuse")),
        ({"mixed": "socket", "pins": ["c", "m"]},
         fault(FaultKind.MIXED, "socket", pins=("c", "m"))),
        ({"open": "wire", "found-as": ["weak", "fine"], "likely": "20 %",
          "answers": {"look": "yes", "measure": "12 V"}},
         fault(FaultKind.OPEN, "wire", found_as=("weak", "fine"), likely=0.2,
               answers={"look": "yes", "measure": "12 V"})),
        ({"open": "wire", "comes": {"when": {"key": "run"}}},
         fault(FaultKind.OPEN, "wire", comes=Comes({"key": frozenset(["run"])}, 1.0))),
        ({"open": "wire", "comes": {"chance": "30 %"}},
         fault(FaultKind.OPEN, "wire", comes=Comes({}, 0.3))),
    ],
)  # fmt: skip
def test_a_fault_is_what_is_told_of_it(given: dict[str, Any], expected: CircuitFault) -> None:
    assert good(given) == expected


KINDS = ", ".join(kind.value for kind in FaultKind)
PARTS = "battery fuse contact wire fan earth joint horn relay unit load"
NODES = "a 0 f g c c behind socket m behind socket m o"


@pytest.mark.parametrize(
    ("given", "path", "message"),
    [
        ({}, "", f"a fault has one of {KINDS}; found none of them"),
        ({"open": "wire", "dead": "unit"}, "", f"a fault has one of {KINDS}; found open and dead"),
        ({"open": "wyre"}, "open", f"there is no part 'wyre'; not wyre, known: {PARTS}"),
        ({"mixed": "sokket", "pins": ["c", "m"]}, "mixed",
         "there is no plug 'sokket'; not sokket, known: socket"),
        ({"short-to-earth": "x"}, "short-to-earth",
         f"there is no node or part 'x'; not x, known: {NODES} {PARTS}"),
        ({"short-to-supply": "x"}, "short-to-supply",
         f"there is no node or part 'x'; not x, known: {NODES} {PARTS}"),
        ({"open": "wire", "value": "2 Ω"}, "value", "'value' has no effect here; take it out"),
        ({"open": "wire", "state": "open"}, "state", "'state' has no effect here; take it out"),
        ({"dead": "unit", "terminal": "feed"}, "terminal",
         "'terminal' has no effect here; take it out"),
        ({"dead": "unit", "pins": ["c", "m"]}, "pins", "'pins' has no effect here; take it out"),
        ({"stuck": "contact"}, "", "this fault needs 'state'; add it"),
        ({"stuck": "horn relay"}, "", "this fault needs 'state'; add it"),
        ({"stuck": "unit"}, "", "this fault needs 'value'; add it"),
        ({"mixed": "socket", "pins": ["c"]}, "pins", "two pins change places; name two"),
        ({"open": "wire", "found-as": "week"}, "found-as",
         "there is no finding 'week'; not week, known: weak fine"),
        ({"open": "wire", "answers": {"lock": "yes"}}, "answers/lock",
         "there is no step 'lock'; not lock, known: look measure"),
        ({"open": "wire", "answers": {"look": "maybe"}}, "answers/look",
         "there is no answer to 'look' 'maybe'; not maybe, known: yes no"),
        ({"open": "wire", "likely": "0 %"}, "",
         "'it' never occurs; give it some likelihood"),
        ({"open": "wire", "likely": "2 V"}, "likely", "2 V is a voltage; give a ratio"),
        ({"open": "wire", "comes": {}}, "comes",
         "tell 'when:' it is there, or its 'chance:' a second"),
        ({"open": "wire", "comes": {"chance": "0 %"}}, "comes",
         "a chance of 0 % in a second cannot be; give more than 0 %, and at most 100 %"),
        ({"open": "wire", "comes": {"chance": "2 V"}}, "comes/chance",
         "2 V is a voltage; give a ratio"),
        ({"open": "wire", "comes": {"when": {"kay": "run"}}}, "comes/when/kay",
         f"there is no condition 'kay'; not kay, known: {' '.join(CONDITIONS)}"),
        ({"blown": "fuse", "comes": {"chance": "30 %"}}, "",
         "'it' cannot come and go: a blown fuse stays blown; "
         "take 'comes:' out, or name what blows it"),
        ({"high-resistance": "wire", "value": "50 Ω to 2 Ω"}, "",
         "'it' cannot be from 50 to 2; give zero or more, the smaller value first"),
        ({"wrong": "fan", "value": "3 Ω"}, "value", "3 Ω is a resistance; give a current"),
        ({"weak": "battery", "value": "3 Ω"}, "value", "3 Ω is a resistance; give a voltage"),
        ({"stuck": "unit", "value": "3 Ω"}, "value", "3 Ω is a resistance; give a ratio"),
        ({"open": "wire", "terminal": "wiper"}, "open",
         "'wire' has no terminal 'wiper'; use one of from, to"),
        ({"seized": "fuse"}, "seized",
         "a fuse cannot be seized; name another part or another kind of fault"),
        ({"short-to-earth": "0"}, "short-to-earth",
         "'0' is joined to '0' anyway; name another node"),
        ({"wrong": "contact", "value": "3 Ω"}, "wrong",
         "a switch has no value that can be wrong; name another part or another kind of fault"),
        ({"stuck": "wire"}, "stuck",
         "a resistor cannot be stuck; name another part or another kind of fault"),
        ({"weak": "wire"}, "weak",
         "a resistor cannot be weak; name another part or another kind of fault"),
        ({"mixed": "socket", "pins": ["c", "x"]}, "mixed", "'socket' has no pin 'x'; use c, m"),
        ({"mixed": "socket", "pins": ["c", "c"]}, "mixed",
         "'c' cannot change places with itself; name two pins"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_fault_is_told_in_full_with_its_place(
    given: dict[str, Any], path: str, message: str
) -> None:
    _, told = read(given)
    assert told[0] == ((*HERE, *path.split("/")) if path else HERE, message)


@pytest.mark.parametrize("given", [{}, {"open": "wyre"}, {"seized": "fuse"}])
def test_a_fault_that_cannot_be_is_none(given: dict[str, Any]) -> None:
    found, told = read(given)
    assert (found, len(told)) == ({}, 1)


def test_what_was_blamed_where_it_stands_is_not_blamed_again() -> None:
    assert read({"open": "wyre"}, "wyre") == ({}, [])  # a part that could not be read
    assert read({}, "open") == ({}, [])
    assert read({"stuck": "contact"}, "state")[1] == []
