"""How long the session takes for one answer in a long procedure.

    python tests/benchmarks/session.py

Walks a procedure of 200 steps, each with a need, a caution now and then and a limit that hangs
on the first reading, and prints the time of each kind of event. Goal: under 2 ms a step.
"""

import statistics
import time
from collections import defaultdict
from decimal import Decimal

from voiceassist.app import build
from voiceassist.app.settings.settings import Settings
from voiceassist.language.meanings import Answer, Command, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.procedure.read import read_procedure
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

STEPS = 200
GOAL_MS = 2.0

HEAD = """
procedure: long
title: a long procedure
for: an invented vehicle
conditions:
  key: {off: turn the key off, run: turn the key to run}
  plug: {out: unplug it, in: plug it in}
before-changing: {plug: {key: off}}
cautions:
  edge: {signal: CAUTION, hazard: the edge is sharp, avoid: wear gloves}
points:
  the pin: pin one
steps:
  first:
    measure: voltage across the battery
    caution: battery-gas
    accept: 12.0 V to 13.0 V
    fail: bad
"""
STEP = """
  step-{name}:
    needs: {{key: run, plug: {plug}}}
    caution: edge
    measure: voltage on the pin
    accept: first - 0.5 V to first + 0.2 V
    plausible: 0 V to 30 V
    if-forgotten: {{plug: at most 0.5 V}}
    why: because it has to be
    fail: bad
"""
END = """    then: good
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


def letters(number: int) -> str:
    return "".join(chr(ord("a") + int(digit)) for digit in str(number))


def long_procedure(steps: int = STEPS) -> str:
    """A procedure with as many steps."""
    body = [STEP.format(name=letters(i), plug=("in", "out")[i // 5 % 2]) for i in range(1, steps)]
    return HEAD + "".join(body) + END


def said(session: Session) -> Meaning:
    if session.state is State.CAUTION:
        return Answer("affirm")
    if session.state is State.CONDITION:
        return Answer("done")
    return Reading(Decimal("12.60"), unit("V"))


def main() -> None:
    shop = build.Components(Settings())
    procedure = read_procedure(long_procedure(), "long.yaml")
    engine = Engine(SessionSetup(procedure, shop.book, meter=build.meter("ordinary")[0]))
    took: dict[str, list[float]] = defaultdict(list)

    def give(session: Session, event: Event, kind: str) -> Session:
        began = time.perf_counter()
        after = engine.handle(session, event).session
        took[kind].append((time.perf_counter() - began) * 1000)
        return after

    session = give(Session(), Begin(), "begin")
    while session.state is not State.CLOSED:
        if session.state is State.MEASURE:
            for command in ("limit", "explain", "read-back", "repeat"):
                give(session, Heard("", (Command(command),), certain=True), command)
            give(session, Heard("", (Reading(Decimal("3"), unit("V")),)), "failing reading")
        last = session
        session = give(session, Heard("", (said(session),), certain=True), session.state.value)
    revised = give(last, Heard("", (Command("revise"),), certain=True), "revise")
    revised = give(revised, Heard("", (Answer("first"),), certain=True), "revise")
    corrected = Heard("", (Reading(Decimal("12.55"), unit("V")),), certain=True)
    give(revised, corrected, "correct the first of 200 readings")
    print(f"{'event':36} {'times':>5} {'median ms':>10} {'worst ms':>9}   goal {GOAL_MS} ms")
    for kind, times in took.items():
        print(f"{kind:36} {len(times):5} {statistics.median(times):10.2f} {max(times):9.2f}")


if __name__ == "__main__":
    main()
