"""Parts that drive others: control modules and steady supplies. All numbers are in SI units."""

from dataclasses import dataclass
from typing import ClassVar

from voiceassist.circuit.parts import Part
from voiceassist.circuit.values import Value, check_share, number
from voiceassist.errors import CircuitError


@dataclass(frozen=True, slots=True, kw_only=True)
class Module(Part):
    """A control module: a command voltage in, a share of the supply out.

    Parts:
        curve: command in V over "earth" and the share of the supply that the load gets then,
            by rising command; straight between, level outside.
        side: "high" for an output that feeds a load to earth, "low" for one that earths a
            load at the supply.
        hertz: frequency of an output in pulses; 0 for a steady one.
        ohm: of the output.
        own_ohm: what the module itself draws, between "feed" and "earth".
        pull_up: from "feed" to "command" inside the module; infinite for none.
        pull_down: from "command" to "earth" inside the module; infinite for none.
        stuck: share that the output is stuck at; None for a module that follows.
        dead: it draws nothing and its output is open.
    """

    KIND: ClassVar[str] = "module"
    TERMINALS: ClassVar[tuple[str, ...]] = ("feed", "earth", "command", "output")
    OPTIONAL: ClassVar[tuple[str, ...]] = ("command",)
    MAIN: ClassVar[str] = "ohm"
    OUTPUT_OHM: ClassVar[float] = 0.05
    OWN_OHM: ClassVar[float] = 1000.0
    curve: tuple[tuple[float, float], ...]
    side: str = "high"
    hertz: float = number("a frequency", "Hz", 0.0)
    ohm: Value = number("an output resistance", "Ω", OUTPUT_OHM, above_zero=True)
    own_ohm: float = number("a draw", "Ω", OWN_OHM, above_zero=True)
    pull_up: float = number("a pull-up", "Ω", float("inf"), above_zero=True)
    pull_down: float = number("a pull-down", "Ω", float("inf"), above_zero=True)
    stuck: float | None = None
    dead: bool = False

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        for _, share in self.curve:
            check_share(self.name, "an output", share)
        commands = [command for command, _ in self.curve]
        if not commands or commands != sorted(set(commands)):
            raise CircuitError(
                f"{self.name!r} needs commands that rise, each with its output",
                remedy="write it like {2 V: 100 %, 10 V: 0 %}",
            )
        if self.side not in {"high", "low"}:
            raise CircuitError(
                f"{self.name!r} cannot switch the {self.side!r} side", remedy="use high or low"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator(Part):
    """A steady ``volt`` made of a higher supply, behind ``ohm``, up to ``limit`` amperes."""

    KIND: ClassVar[str] = "regulator"
    TERMINALS: ClassVar[tuple[str, ...]] = ("feed", "earth", "output")
    MAIN: ClassVar[str] = "volt"
    OUTPUT_OHM: ClassVar[float] = 1.0
    OWN_OHM: ClassVar[float] = 1000.0
    LIMIT: ClassVar[float] = 0.1
    volt: Value = number("a voltage", "V", above_zero=True)
    ohm: float = number("an output resistance", "Ω", OUTPUT_OHM, above_zero=True)
    limit: float = number("a current limit", "A", LIMIT, above_zero=True)
    own_ohm: float = number("a draw", "Ω", OWN_OHM, above_zero=True)
    dead: bool = False
