"""Procedures to prove, with the real sentences and an invented meter."""

from functools import cache

from bench import BOOK, FAN, METER

from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.proof import Proof
from voiceassist.prove.prove import prove
from voiceassist.session.session import SessionSetup

#: A lamp behind a plug, with a switch and a fuse; small enough to prove in no time.
LAMP = """
procedure: side-lamp
title: Side lamp does not light
for: an invented trailer
conditions:
  lights: {on: switch the side lights on, off: switch the side lights off}
  lamp plug: {out: unplug the lamp, in: plug the lamp in}
steps:
  battery:
    caution: battery-gas
    measure: voltage across the battery posts
    accept: 12.0 V to 13.0 V
    fail: weak-battery
  feed:
    needs: {lamp plug: in, lights: on}
    measure: voltage from the lamp feed to the frame
    accept: battery - 0.5 V to battery + 0.1 V
    fail: feed-side
  earth:
    needs: {lamp plug: in, lights: on}
    measure: voltage from the lamp earth to the frame
    accept: at most 0.1 V
    high: earth-side
  whole:
    needs: {lights: off, lamp plug: out}
    measure: resistance across the side lamp
    accept: at most 12 Ω
    fail: lamp
    then: good
findings:
  weak-battery: {cause: the battery is low, correction: charge it}
  feed-side: {cause: the feed is weak, correction: follow the brown wire}
  earth-side: {cause: the earth is weak, correction: follow the white wire}
  lamp: {cause: the lamp has failed, correction: change it}
  good: {cause: all is well, correction: look for a fault that comes and goes}
circuit:
  at-first: {lights: off, lamp plug: in}
  tolerance: 5 %
  parts:
    battery: {battery: 12.6 V, inner-resistance: 20 mΩ, from: battery plus post, to: frame, tolerance: 1 %}
    fuse: {fuse: 10 A, from: battery plus post, to: fuse out}
    light switch: {switch: {lights: on}, from: fuse out, to: switched}
    brown wire: {wire: 6 m, size: 1.5 mm², from: switched, to: lamp feed}
    side lamp: {lamp: 5 W, voltage: 12 V, from: lamp feed, to: lamp earth, behind: lamp plug}
    white wire: {wire: 2 m, size: 1.5 mm², from: lamp earth, to: frame}
  plugs:
    lamp plug: {pins: [lamp feed, lamp earth], closed-when: {lamp plug: in}}
  points:
    battery posts: [battery plus post, frame]
faults:
  broken-wire: {open: brown wire, found-as: feed-side}
  burnt-holder: {high-resistance: fuse, value: 10 Ω to 100 Ω, found-as: feed-side}
  broken-earth: {open: white wire, found-as: earth-side}
  lamp-gone: {open: side lamp, found-as: lamp}
  fed-short: {short-to-earth: lamp feed, found-as: feed-side}
"""  # noqa: E501


def setup(text: str = LAMP, **more: object) -> SessionSetup:
    procedure = read_procedure(text, "small.yaml")
    return SessionSetup(procedure, BOOK, **{"meter": METER, **more})  # type: ignore[arg-type]


def changed(text: str, *changes: tuple[str, str]) -> str:
    """``text`` with each change made; one that is not there is a mistake of the test."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


@cache
def proved(text: str, draws: int = 4) -> tuple[Procedure, Proof]:
    made = setup(text)
    return made.procedure, prove(made, draws)


FAN_TEXT = FAN
