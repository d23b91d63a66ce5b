"""The words by which the watcher knows what can hurt somebody: each rule, and what it lets pass.

What goes by a fact of the trade is common practice, no source: fuel lines stand under pressure,
airbags sit in seats, trims and the steering wheel, a running engine turns belt and fan.
"""

import pytest
from prove.shop import changed, proved

from voiceassist.prove.hazard import Danger, Hazard

VAN = """
procedure: van-load
title: A load does not work
for: an invented van
CAUTION
conditions:
  key: {off: turn the key off, run: turn the key to run}
  matter: {open: INSTRUCTION, shut: put it back}
before-changing: {matter: {key: off}}
at-rest: {key: off, matter: shut}
steps:
  command:
    needs: {matter: open, key: run}
    measure: voltage from the feed to the frame
    accept: 11 V to 13 V
    fail: bad
    then: good
repairs:
  work: {needs: {key: KEY}, do: mend the wire}
findings:
  bad: {cause: the feed is weak, correction: follow the wire, repair: [work], prove-with: [command]}
  good: {cause: all is well, correction: no part changed}
circuit:
  at-first: {key: off, matter: shut}
  parts:
    battery: {battery: 12.6 V, inner-resistance: 20 mΩ, from: plus, to: frame}
    key: {switch: {key: run}, from: plus, to: fed}
    wire: {wire: 1 m, size: 1.5 mm², from: fed, to: feed}
    load: {resistor: 100 Ω, from: feed, to: frame}
faults:
  broken: {open: wire, found-as: bad}
"""
#: Cautions that tell of one thing each, and of nothing that the others tell of.
TOLD = {
    "moving": "cautions: {here: {signal: WARNING, hazard: the fan can turn, avoid: keep away}}",
    "fuel": "cautions: {here: {signal: WARNING, hazard: petrol can spray, avoid: let it drain}}",
    "airbag": "cautions: {here: {signal: WARNING, hazard: the airbag can fire, avoid: wait}}",
    "cold": "cautions: {here: {signal: WARNING, hazard: water can spill, avoid: wipe it up}}",
}


def van(*changes: tuple[str, str], do: str = "shut the flap", told: str = "") -> str:
    """The van with ``changes``; ``do`` is what the step has done, ``told`` what it cautions of."""
    text = changed(VAN, *changes).replace("INSTRUCTION", do).replace("KEY", "off")
    step = ("  command:\n", "  command:\n    caution: here\n")
    text = changed(text, step) if told else text
    return text.replace("CAUTION", TOLD.get(told, ""))


def hazards(text: str) -> tuple[Hazard, ...]:
    _, proof = proved(text, 1)
    assert proof.examined is not None
    return proof.examined.hazards


def dangers(text: str) -> set[Danger]:
    return {hazard.danger for hazard in hazards(text)}


@pytest.mark.parametrize(
    ("do", "topic"),
    [
        ("take the airbag out", "airbag"),
        ("take off the door trim", "airbag"),
        ("lift the seat out", "airbag"),
        ("turn the steering wheel to the left", "airbag"),
        ("let go of the belt tensioner", "airbag"),
        ("unplug the fuel sender", "fuel"),
        ("unplug the rail sensor", "fuel"),
        ("unplug the injector", "fuel"),
        ("unplug the pump", "fuel"),
    ],
)
def test_a_place_that_can_hurt_wants_a_caution_of_just_that(do: str, topic: str) -> None:
    (hazard,) = hazards(van(do=do))
    assert hazard.danger is Danger.CAUTION
    assert hazard.step == "command"
    assert do in hazard.message
    assert dangers(van(do=do, told="cold")) == {Danger.CAUTION}
    assert dangers(van(do=do, told=topic)) == set()


@pytest.mark.parametrize(
    "do",
    [
        "switch the fuel pump on",  # nothing is opened
        "unplug the trailer",  # a rail is a word of its own
        "unplug the pumpkin lamp",
        "unplug the wash pump",  # and what flows through it burns nobody
        "unplug the coolant pump",
        "take off the roof trim",
    ],
)
def test_a_place_that_cannot_hurt_wants_no_caution(do: str) -> None:
    assert dangers(van(do=do)) == set()


@pytest.mark.parametrize("do", ["start the engine", "let the engine run at idle", "crank"])
def test_an_engine_that_turns_wants_a_caution_of_what_moves(do: str) -> None:
    (hazard,) = (each for each in hazards(van(do=do)) if each.danger is Danger.CAUTION)
    assert "belt and fan" in hazard.message
    assert Danger.CAUTION not in dangers(van(do=do, told="moving"))


@pytest.mark.parametrize("do", ["unplug the crank sensor", "stop the engine", "cover the engine"])
def test_an_engine_that_stands_wants_none(do: str) -> None:
    assert dangers(van(do=do)) == set()


LAMP = ("load: {resistor: 100 Ω,", "load: {lamp: 21 W, voltage: 12 V,")
LIT = ("work: {needs: {key: KEY}", "work: {needs: {key: run}")


@pytest.mark.parametrize("verb", ["fit", "unscrew", "change", "bolt", "brush", "clean"])
def test_work_on_parts_while_a_lamp_burns_is_a_danger(verb: str) -> None:
    work = ("do: mend the wire", f"do: {verb} the holder")
    assert Danger.LIVE_WORK in dangers(van(LAMP, LIT, work))
    assert Danger.LIVE_WORK not in dangers(van(LAMP, work))
    small = (LAMP[0], "load: {lamp: 2 W, voltage: 12 V,")  # half an ampere is at work, not less
    assert Danger.LIVE_WORK not in dangers(van(small, LIT, work))


@pytest.mark.parametrize("work", ["look at the lamp and change", "fitting of the lamp is checked"])
def test_a_look_at_a_burning_lamp_is_none(work: str) -> None:
    assert Danger.LIVE_WORK not in dangers(van(LAMP, LIT, ("do: mend the wire", f"do: {work}")))


def motor(name: str) -> tuple[tuple[str, str], ...]:
    """The van with a motor of that name in the place of its load."""
    return (("load: {resistor: 100 Ω,", f"{name}: {{motor: 5 A, voltage: 12 V, resistance: 1 Ω,"),)


@pytest.mark.parametrize("name", ["fuel pump", "tank motor", "injector"])
def test_a_motor_in_the_fuel_wants_a_caution_of_fuel_and_none_of_what_moves(name: str) -> None:
    (hazard,) = hazards(van(*motor(name)))
    assert (hazard.danger, hazard.step) == (Danger.CAUTION, "command")
    assert f"'{name}' is touched" in hazard.message
    assert dangers(van(*motor(name), told="fuel")) == set()


@pytest.mark.parametrize("name", ["water pump", "washer-pump", "vacuum pump"])
def test_a_pump_that_says_what_it_pumps_wants_no_caution_of_fuel_nor_of_what_moves(
    name: str,
) -> None:
    assert dangers(van(*motor(name))) == set()


def test_who_calls_a_pump_just_so_is_told_what_else_would_do() -> None:
    (hazard,) = hazards(van(*motor("pump")))
    assert "or say what it pumps, such as 'water pump'" in hazard.message
    (hazard,) = hazards(van(do="unplug the pump"))
    assert "or say what it pumps, such as 'water pump'" in hazard.message


def test_a_motor_in_the_open_wants_a_caution_of_what_moves_and_none_of_fuel() -> None:
    (hazard,) = hazards(van(*motor("blower")))
    assert "'blower' begins to turn" in hazard.message
    assert dangers(van(*motor("blower"), told="moving")) == set()


@pytest.mark.parametrize(
    ("node", "is_post"), [("plus post", True), ("battery plus", True), ("postal box", False)]
)
def test_a_post_of_the_battery_is_known_by_its_name(node: str, is_post: bool) -> None:
    posts = (
        ("from: plus, to: frame}", f"from: {node}, to: frame}}"),
        ("key: {switch: {key: run}, from: plus", f"key: {{switch: {{key: run}}, from: {node}"),
        ("voltage from the feed", f"voltage from the {node}"),
    )
    found = hazards(van(*posts))
    assert ["battery post" in hazard.message for hazard in found] == [True] * is_post
