"""A bench to try the engine on: meanings in, outputs out, the real sentences."""

from decimal import Decimal
from pathlib import Path

from voiceassist.language.meanings import Answer, Command, Correction, Lamp, Meaning, Reading
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.units import unit
from voiceassist.procedure.read import read_procedure
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Heard
from voiceassist.session.outputs import Output
from voiceassist.session.session import Desk, Session
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


class Bench:
    """One session of one procedure, driven by meanings."""

    def __init__(self, text: str = FAN, *, certain: bool = True, **desk: object) -> None:
        procedure = read_procedure(text, "bench.yaml")
        self.engine = Engine(Desk(procedure, BOOK, **desk))  # type: ignore[arg-type]
        self.certain = certain
        self.session = Session()
        self.outputs: tuple[Output, ...] = ()
        self.all: list[Output] = []
        self._handle(Begin((("repair order", "1042"),)))

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

    def hear(self, *meanings: Meaning, words: str = "") -> tuple[Output, ...]:
        """Hear words with these meanings, which may be none or several."""
        return self._handle(Heard(words, meanings, self.certain))

    def to(self, step: str) -> "Bench":
        """Go along the healthy path up to where ``step`` waits for its answer."""
        for _ in range(60):
            if self.session.step == step and self.session.state not in _WAITING:
                return self
            self.say(self.healthy())
        raise AssertionError(f"the healthy path does not come to {step}")

    def healthy(self) -> Meaning | str:
        """What a technician on a healthy vehicle says now."""
        if self.session.state in _WAITING:
            return _WAITING[self.session.state]
        return HEALTHY[self.session.step]

    @property
    def state(self) -> State:
        return self.session.state

    @property
    def step(self) -> str:
        return self.session.step

    def texts(self) -> str:
        """All that was spoken in answer to the last thing said."""
        return " ".join(output.text for output in self.outputs if output.text)

    def kinds(self) -> list[str]:
        """The kinds of output of the last answer."""
        return [output.event for output in self.outputs]

    def _handle(self, event: Begin | Heard) -> tuple[Output, ...]:
        turn = self.engine.handle(self.session, event)
        self.session, self.outputs = turn.session, turn.outputs
        self.all += turn.outputs
        return turn.outputs


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
}
