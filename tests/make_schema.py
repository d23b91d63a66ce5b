"""Writes the JSON Schemas of procedure and meter files: ``python tests/make_schema.py``."""

import json
from pathlib import Path
from typing import Any

from voiceassist.procedure.meter_file import MeterShape
from voiceassist.procedure.shape.procedure import ProcedureShape, schema_of

HOME = Path(__file__).parents[1] / "procedures"


def made() -> dict[str, dict[str, Any]]:
    """File name to the schema that it should hold."""
    return {
        "procedure.schema.json": schema_of(ProcedureShape),
        "meter.schema.json": schema_of(MeterShape),
    }


if __name__ == "__main__":
    for name, schema in made().items():
        text = json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        (HOME / name).write_text(text, encoding="utf-8")
