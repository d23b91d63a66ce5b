"""Runs ``voiceassist`` as its own process, for tests."""

import json
import os
import subprocess
import sys
from typing import Any

Done = subprocess.CompletedProcess[str]


def call(*arguments: str, typed: str = "", **variables: str) -> Done:
    """What the command does with these arguments, this input and these environment variables."""
    return subprocess.run(
        [sys.executable, "-m", "voiceassist", *arguments],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "100", **variables},
    )


def lines(done: Done) -> list[dict[str, Any]]:
    """The JSON objects on standard output; anything else there is a fault."""
    return [json.loads(line) for line in done.stdout.splitlines()]
