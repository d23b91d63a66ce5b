"""The shipped procedures, read once for all tests of drawings."""

from pathlib import Path

from bench import FAN

from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect, read_procedure

FOLDER = Path(__file__).parents[2] / "procedures"
SVG = "{http://www.w3.org/2000/svg}"
HEATER = read_procedure(FAN, "fan.yaml")


def shipped() -> list[Procedure]:
    def library(name: str) -> str | None:
        file = FOLDER / f"{name}.yaml"
        return file.read_text(encoding="utf-8") if file.is_file() else None

    texts = (file.read_text(encoding="utf-8") for file in sorted(FOLDER.glob("*.yaml")))
    return [found for text in texts if (found := inspect(text, library)[0]) is not None]


ALL = shipped()
