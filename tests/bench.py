"""A bench to try the engine on: meanings in, outputs out, the real sentences."""

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from textwrap import dedent

from well_formed import Checked

from voiceassist.language.meanings import Answer, Command, Correction, Lamp, Meaning, Reading
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.meter import Meter, MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import Library, no_library, read_procedure
from voiceassist.session.actions.enter import unmade
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Carried, Event, Heard
from voiceassist.session.outputs import (
    Output,
    ReadingTaken,
    Rejudged,
    StepDone,
    StepSkipped,
    VerdictGiven,
    Withdrawn,
)
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State

HOUSE = Path(__file__).parents[1]
FAN = (HOUSE / "procedures" / "heater-fan-module.yaml").read_text(encoding="utf-8")
SENTENCES = (HOUSE / "grammars" / "en" / "sentences.toml").read_text(encoding="utf-8")


def name_of(meaning: Meaning) -> str:
    """Enough of a language for the engine: every meaning is called by its name."""
    return getattr(meaning, "name", meaning.kind).replace("-", " ")


def spell(meaning: Meaning) -> str:
    """Tells that digits were asked for."""
    return f"[{name_of(meaning)} digit by digit]"


BOOK = Phrasebook.load(SENTENCES, name_of, spell)


def volts(value: str) -> Reading:
    return Reading(Decimal(value), unit("V"))


def amps(value: str) -> Reading:
    return Reading(Decimal(value), unit("A"))


SHORT: dict[str, Meaning] = {
    "affirm": Answer("affirm"),
    "affirm reading": Answer("affirm-reading"),
    "negative": Answer("negative"),
    "done": Answer("done"),
    "bright": Lamp("bright"),
    "dim": Lamp("dim"),
    "off": Lamp("off"),
}


@lru_cache(maxsize=64)
def read(text: str, library: Library) -> Procedure:
    """A procedure, which never changes: drawn examples begin with the same one again and again."""
    return read_procedure(text, "bench.yaml", library)


class Bench:
    """One session of one procedure, driven by meanings."""

    def __init__(
        self,
        text: str = FAN,
        *,
        certain: bool = True,
        facts: tuple[tuple[str, str], ...] = (("repair order", "1042"),),
        library: Library = no_library,
        carried: tuple[Carried, ...] = (),
        **setup: object,
    ) -> None:
        self.engine = Engine(SessionSetup(read(text, library), BOOK, **setup))  # type: ignore[arg-type]
        self.certain = certain
        self.session = Session()
        self._checked = Checked()
        self.outputs: tuple[Output, ...] = ()
        self.all: list[Output] = []
        self._handle(Begin(facts, carried=carried))

    def say(self, *said: Meaning | str) -> tuple[Output, ...]:
        """Say one thing after another; returns what the last one gave."""
        for one in said:
            meaning = (SHORT.get(one) or Command(one)) if isinstance(one, str) else one
            self.hear(meaning)
        return self.outputs

    def after(self, *said: Meaning | str) -> "Bench":
        """The bench after saying these things."""
        self.say(*said)
        return self

    def correct(self, meaning: Reading) -> tuple[Output, ...]:
        """Say a correction."""
        return self.say(Correction(meaning))

    def hear(self, *meanings: Meaning, words: str = "", at_s: float = 0.0) -> tuple[Output, ...]:
        """Hear words with these meanings, which may be none or several."""
        return self._handle(Heard(words, meanings, self.certain, at_s=at_s))

    def give(self, event: Event) -> tuple[Output, ...]:
        """Give the engine an event that nobody spoke."""
        return self._handle(event)

    def to(self, step: str) -> "Bench":
        """Go along the healthy path up to where ``step`` waits for its answer."""
        for _ in range(60):
            waits = self.session.state in _WAITING or self.changing
            if self.session.step == step and not waits:
                return self
            self.say(self.healthy())
        raise AssertionError(f"the healthy path does not come to {step}")

    def closed(self) -> "Bench":
        """The bench after the job was finished by word, with the vehicle put back."""
        if self.session.state is State.AFTER:
            self.say("finish")
        if self.session.state is State.PUT_BACK:
            self.say("done")
        return self

    def healthy(self) -> Meaning | str:
        """What a technician on a healthy vehicle says now."""
        if self.session.state in _WAITING or self.changing:
            return _WAITING.get(self.session.state, "done")
        return HEALTHY[self.session.step]

    @property
    def state(self) -> State:
        return self.session.state

    @property
    def changing(self) -> bool:
        """True while a change to the vehicle is asked for and not told as made."""
        waits = self.session.state is State.CONDITION
        return waits or bool(unmade(self.engine.setup, self.session))

    @property
    def step(self) -> str:
        return self.session.step

    def texts(self) -> str:
        """All that was spoken in answer to the last thing said."""
        return " ".join(output.text for output in self.outputs if output.text)

    def kinds(self) -> list[str]:
        """The kinds of output of the last answer."""
        return [output.event for output in self.outputs]

    def _handle(self, event: Event) -> tuple[Output, ...]:
        turn = self.engine.handle(self.session, event)
        self.session, self.outputs = turn.session, turn.outputs
        self.all += turn.outputs
        self.look_at(turn)
        return turn.outputs

    def look_at(self, turn: Turn) -> None:
        """See that every part of ``turn`` has its type, and that it names nothing unknown."""
        odd = [*self._checked.odd(turn, "turn"), *self._strange(turn)]
        assert not odd, odd

    def _strange(self, turn: Turn) -> Iterator[str]:
        """What the session and its outputs name that the procedure does not have."""
        procedure, session = self.engine.setup.procedure, turn.session
        steps = {"", *procedure.steps, *procedure.repairs}
        named = {"state": {session.step}, "queue": session.queue, "left": session.left}
        named |= {"outputs": {output.step for output in turn.outputs}}
        named |= {"ledger": {result.step for result in session.ledger}}
        for where, names in named.items():
            yield from (f"{where}: no step {name!r}" for name in names if name not in steps)
        for name, state in session.conditions:
            if state and state not in procedure.conditions.get(name, ()):
                yield f"conditions: no {name!r} {state!r}"
        for output in turn.outputs:
            if re.search(r"[{}<>]|\bNone\b", output.text):
                yield f"{output.event}: {output.text!r} is no sentence"
            if isinstance(output, _OF_A_STEP) and not output.step:
                yield f"{output.event} belongs to no step"


#: What is always given, judged or left out at a step.
_OF_A_STEP = ReadingTaken | VerdictGiven | Rejudged | Withdrawn | StepSkipped | StepDone
_WAITING: dict[State, str] = {State.CAUTION: "affirm", State.CONDITION: "done"}
HEALTHY: dict[str, Meaning | str] = {
    "battery": volts("12.6"),
    "feed": volts("12.5"),
    "feed-lamp": "bright",
    "earth-lamp": "bright",
    "earth-drop": volts("0.05"),
    "command-slow": volts("8.4"),
    "command-fast": volts("2.5"),
    "motor-slow": volts("4.2"),
    "motor-fast": volts("12.1"),
    "motor-draw": amps("7.0"),
    "fan-follows": "affirm",
}


#: An invented hand meter: one range a quantity, ±(0.5 % + 2 counts).
METER = Meter(
    "bench",
    tuple(
        MeterRange(
            unit(symbol).quantity,
            Quantity.parse(f"{top} {symbol}"),
            Quantity.parse(f"{resolution} {symbol}"),
            Accuracy(Decimal("0.5"), 2),
        )
        for symbol, top, resolution in [
            ("V", "60", "0.01"),
            ("V", "6", "0.001"),
            ("mV", "600", "0.1"),
            ("A", "10", "0.001"),
            ("mA", "600", "0.1"),
            ("Ω", "600", "0.1"),
            ("kΩ", "60", "0.01"),
        ]
    ),
    Quantity.parse("10 MΩ"),
)

HEAD = """
procedure: small
title: a small procedure
for: an invented vehicle
points:
  the pin: pin one with the red wire
conditions:
  key: {off: turn the key off, run: turn the key to run}
  plug: {out: unplug it, in: plug it in}
  fan: {low: set the fan low, high: set the fan high}
cautions:
  blades: {signal: WARNING, hazard: the fan may start, avoid: keep clear}
  orange: {signal: DANGER, hazard: high voltage kills, avoid: leave it, only-authorised: true}
  edge: {signal: CAUTION, hazard: the edge is sharp, avoid: wear gloves}
"""
FINDINGS = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


def small(steps: str, *, head: str = HEAD, more: str = FINDINGS, **setup: object) -> Bench:
    """A bench with a small procedure: ``steps`` as YAML under 'steps:', two findings after it."""
    lines = "\n".join(f"  {line}" for line in dedent(steps).strip().splitlines())
    return Bench(f"{head}\nsteps:\n{lines}\n{more}", **setup)  # type: ignore[arg-type]
