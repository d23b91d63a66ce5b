"""Runs ``voiceassist`` as its own process, for tests."""

import json
import os
import subprocess
import sys
from typing import Any

import forked

Done = subprocess.CompletedProcess[str]


def call(*arguments: str, typed: str = "", **variables: str) -> Done:
    """What the command does with these arguments, this input and these environment variables."""
    own = {**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "100", **variables}
    if not any(name.startswith("PYTHON") for name in variables):
        return forked.run(arguments, typed, own, timeout_s=120)
    return subprocess.run(  # the interpreter looks at such variables when it starts
        [sys.executable, "-m", "voiceassist", *arguments],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env=own,
    )


def call_at_a_terminal(*arguments: str, typed: str) -> Done:
    """What the command does where lines come from a terminal, and there are no sound devices."""
    program = "import sys; sys.modules['sounddevice'] = None; from voiceassist.cli.main import main"
    leader, follower = os.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", f"{program}; main()", *arguments],
        stdin=follower, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    os.close(follower)
    try:
        os.write(leader, typed.encode())
        said, told = process.communicate(timeout=60)
    finally:
        os.close(leader)
    return Done(process.args, process.returncode, said, told)


def seen_at_a_terminal(*arguments: str, all_of_it: bool = False) -> Done:
    """What the command does where errors and progress go to a terminal, or all that it writes."""
    leader, follower = os.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "voiceassist", *arguments],
        stdin=subprocess.DEVNULL, stdout=follower if all_of_it else subprocess.PIPE,
        stderr=follower, text=True,
    )  # fmt: skip
    os.close(follower)
    seen = b""
    try:
        while part := os.read(leader, 4096):
            seen += part
    except OSError:  # so a terminal tells its end
        pass
    finally:
        os.close(leader)
    said, _ = process.communicate(timeout=60)
    return Done(process.args, process.returncode, said, seen.decode())


def lines(done: Done) -> list[dict[str, Any]]:
    """The JSON objects on standard output; anything else there is a fault."""
    return [json.loads(line) for line in done.stdout.splitlines()]
