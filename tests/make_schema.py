"""Writes the JSON Schemas of procedure and meter files: ``python tests/make_schema.py``."""

import json
from pathlib import Path
from typing import Any

from voiceassist.procedure import meter_file
from voiceassist.procedure.shape import procedure as shape

HOME = Path(__file__).parents[1] / "procedures"


def made() -> dict[str, dict[str, Any]]:
    """File name to the schema that it should hold."""
    return {
        "procedure.schema.json": shape.json_schema(),
        "meter.schema.json": meter_file.json_schema(),
    }


if __name__ == "__main__":
    for name, schema in made().items():
        text = json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        (HOME / name).write_text(text, encoding="utf-8")
