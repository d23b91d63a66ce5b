"""The two free baselines: how often a recogniser without the step's grammar is right first.

    python tests/benchmarks/hearing/collect.py --listeners free-sphinx,free-whisper --parts kept \\
        --levels quiet,20,10,5 --limit 50 --out FILE
    python tests/benchmarks/hearing/free.py --heard FILE

free-sphinx is pocketsphinx with its own language model and our parser; free-whisper the tiny
English network with no limits, then text2num and a list of units.
"""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from benchmarks.hearing.phrases import LEVELS
from benchmarks.hearing.records import Record, read_records
from benchmarks.hearing.steps import STEPS

from voiceassist.doubt.same import settled
from voiceassist.language.codec import from_json

BASELINES = ("free-sphinx", "free-whisper")


def right(record: Record, name: str) -> bool:
    """Whether its one candidate means what was said."""
    expectation = STEPS[record["step"]]
    said = settled((from_json(record["meaning"]),), expectation)
    candidates = record["listeners"][name]["candidates"]
    heard = [from_json(each) for each in candidates[0]["meanings"]] if candidates else []
    return settled(tuple(heard), expectation) == said


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--heard", type=Path, required=True)
    found = read_records(options.parse_args().heard).values()
    print("| baseline | level | phrases | right first |\n| --- | --- | --- | --- |")
    for name in BASELINES:
        for level in LEVELS:
            of = [r for r in found if r["level"] == level and name in r["listeners"]]
            share = 100 * sum(right(record, name) for record in of) / max(len(of), 1)
            print(f"| {name} | {level} | {len(of)} | {share:.0f} % |")


if __name__ == "__main__":
    main()
