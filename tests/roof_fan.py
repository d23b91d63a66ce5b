"""The procedure that uses every feature, and what a technician says on a healthy vehicle."""

from decimal import Decimal

from bench import HOUSE, Bench, amps, volts

from voiceassist.language.meanings import (
    Answer,
    Command,
    Identifier,
    Lamp,
    Meaning,
    Reading,
    Series,
)
from voiceassist.measure.units import unit
from voiceassist.session.events import TimeUp
from voiceassist.session.states import State

DATA = HOUSE / "tests" / "data"
TEXT = (DATA / "roof-fan.yaml").read_text(encoding="utf-8")


def library(name: str) -> str | None:
    """The procedures that it puts in."""
    path = DATA / f"{name}.yaml"
    return path.read_text(encoding="utf-8") if path.exists() else None


_AT_STEP: dict[str, Meaning] = {
    "rated-current": amps("10"),
    "order": Identifier("repair-order", "1042"),
    "complaint-kind": Answer("dead"),
    "power-battery": volts("12.60"),
    "power-load": volts("12.40"),
    "temperature": Reading(Decimal("20"), unit("°C")),
    "feed": volts("12.50"),
    "feed-lamp": Lamp("bright"),
    "earth-lamp": Lamp("bright"),
    "earth-drop": volts("0.05"),
    "reference": volts("5.00"),
    "command": volts("8.40"),
    "command-sweep": Series(tuple(volts(v) for v in ("8.40", "6.10", "4.20", "2.50"))),
    "hum": volts("12.20"),
    "blinks": Reading(Decimal("1"), unit("times")),
    "choose-control": Answer("wheel"),
    "wheel-travel": Reading(Decimal("10.0"), unit("kΩ")),
    "cab-lamp": Lamp("dim"),
    "key-off-draw": Reading(Decimal("20"), unit("mA")),
    "turns-freely": Answer("affirm"),
    "motor-current": amps("6.0"),
    "motor-volts": volts("12.1"),
    "wire-check": volts("0.20"),
}
_IN_STATE: dict[State, Meaning] = {
    State.CAUTION: Answer("affirm"),
    State.CONDITION: Answer("done"),
    State.DO: Answer("done"),
    State.CONFIRM: Answer("affirm-reading"),
    State.FORGOTTEN: Answer("affirm"),
    State.STILL: Answer("affirm"),
    State.OFFER: Answer("affirm"),
    State.RETRY: Answer("negative"),
    State.FINISH: Answer("negative"),
    State.PUT_BACK: Answer("negative"),
    State.TO_PARK: Answer("negative"),
    State.PARKED: Answer("negative"),
    State.PICK: Answer("negative"),
    State.SKIP: Answer("negative"),
    State.NOTE: Answer("done"),
}


def healthy(bench: Bench) -> Meaning | TimeUp:
    """What is said now, or what happens, when nothing is wrong."""
    state = bench.state
    if state is State.WAIT:
        return TimeUp()
    if state is State.STAND_BY:
        return Command("go-ahead")
    if state is State.COMPUTE:
        return Command("go-back")
    if state is State.SWEEP and len(bench.session.points) >= 4:
        return Answer("done")
    return _IN_STATE.get(state) or _AT_STEP[bench.step]
