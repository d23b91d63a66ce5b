"""Prints the JSON Schema of procedure files: ``python tests/make_schema.py``."""

import json

from voiceassist.procedure.shape import json_schema

if __name__ == "__main__":
    print(json.dumps(json_schema(), indent=2, ensure_ascii=False))
