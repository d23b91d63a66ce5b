"""The whole hearing benchmark: collect with every listener and baseline, then print the tables.

    python tests/benchmarks/hearing --folder FOLDER [--limit 20]

Takes about two hours on two cores; a run that was ended goes on where it stopped.
"""

import argparse
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
LISTENERS = "sphinx,moonshine,whisper"
BASELINES = "free-sphinx,free-whisper"


def run(program: str, *arguments: str) -> None:
    """Run one part of the benchmark with this Python."""
    subprocess.run([sys.executable, str(HERE / program), *arguments], check=True)


def main() -> None:
    """Collect, judge, print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--folder", type=Path, required=True, help="for what was heard")
    options.add_argument("--limit", default="400", help="sounds a part and level, at most")
    options.add_argument("--baselines", default="50", help="the same for the two baselines")
    given = options.parse_args()
    heard, free = str(given.folder / "heard.jsonl"), str(given.folder / "free.jsonl")
    run("collect.py", "--listeners", LISTENERS, "--limit", given.limit, "--out", heard)
    run(
        *("collect.py", "--listeners", BASELINES, "--parts", "kept"),
        *("--levels", "quiet,20,10,5", "--limit", given.baselines, "--out", free),
    )
    run("table.py", "--heard", heard)
    run("free.py", "--heard", free)


if __name__ == "__main__":
    main()
