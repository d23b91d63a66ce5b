"""The shipped procedures, each read once for all tests of drawings."""

from functools import cache
from pathlib import Path

from bench import FAN

from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure

FOLDER = Path(__file__).parents[2] / "procedures"
SVG = "{http://www.w3.org/2000/svg}"
HEATER = read_procedure(FAN, "fan.yaml")
#: They are read when a test draws them: whoever only collects the tests need not read them all.
NAMES = sorted(file.stem for file in FOLDER.glob("*.yaml"))


def _library(name: str) -> str | None:
    file = FOLDER / f"{name}.yaml"
    return file.read_text(encoding="utf-8") if file.is_file() else None


@cache
def shipped(name: str) -> Procedure:
    return read_procedure(_library(name) or "", name, _library)


def every() -> list[Procedure]:
    return [shipped(name) for name in NAMES]
