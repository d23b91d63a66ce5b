"""How well a listener hears: ``python tests/benchmarks/hearing PART --folder FOLDER``.

    kept    judges: says every phrase of the part "kept" and prints tables with intervals of 95 %.
            Nothing is ever fitted or chosen by this part.
    fit     fits: the same with the part "fit", and prints the numbers for doubt/odds.toml
    hour    other talk and noise, through the live path: what is taken of it in an hour

A run that was ended goes on where it stopped; what was spoken stays in the folder. Beside the
packages of the tests, "kept" needs the Debian packages festival and festvox-kdlpc16k and the
extra "hearing" of this project.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from benchmarks.hearing import collect, hour, odds, tables
from benchmarks.hearing.people import PACKAGES
from benchmarks.hearing.voices import missing_programs, missing_voices

from voiceassist.app.loaded import shipped_odds
from voiceassist.recognise.ear.listener import NONE_A_LETTER
from voiceassist.recognise.ear.weights import FILE


def main(arguments: Sequence[str] | None = None) -> None:
    """Do what the command line asks for."""
    options = argparse.ArgumentParser(
        prog="hearing", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("part", choices=("kept", "fit", "hour"))
    options.add_argument("--folder", type=Path, default=collect.TEMPORARY, help="keeps all of it")
    options.add_argument("--per-level", type=int, default=1500, help="phrases a level")
    options.add_argument("--minutes", type=float, default=60.0, help="of other talk")
    options.add_argument("--of", choices=("kept", "fit"), default="kept", help="whose hour")
    options.add_argument("--listener", choices=collect.HEARERS, default="ear")
    options.add_argument("--weights", type=Path, default=FILE, help="of the ear")
    options.add_argument("--misses", action="store_true", help="show each phrase taken wrongly")
    given = options.parse_args(arguments)
    if lacking := _lacking(given.part):
        options.error(f"install {', '.join(lacking)}")
    {"kept": judge, "fit": fit, "hour": hour.tell}[given.part](given)


def _lacking(part: str) -> list[str]:
    recordings = [package for package, path in PACKAGES.items() if not path.exists()]
    return [*missing_programs(), *(missing_voices() if part != "fit" else ()), *recordings]


def judge(given: argparse.Namespace) -> None:
    """Hear the part "kept" and print its tables."""
    file = _collected(given, "kept", 0.0)
    letter = NONE_A_LETTER if given.listener == "ear" else 0.0
    shipped = shipped_odds()[given.listener]
    cases = odds.cases("kept", file)
    found = [odds.told(case, odds.judgement(case, shipped, letter)) for case in cases]
    print("\n".join(tables.report(found)))
    print(odds.times(cases))
    if given.misses:
        print("\n".join(odds.misses(found)))


def fit(given: argparse.Namespace) -> None:
    """Hear the part "fit" and print the odds that are likeliest by it."""
    odds.tell_fit(_collected(given, "fit", 1000.0), given.listener)


def _collected(given: argparse.Namespace, part: str, other_s: float) -> Path:
    return collect.collect(
        argparse.Namespace(
            parts=[part],
            listener=given.listener,
            count=given.per_level,
            other_seconds=other_s,
            weights=given.weights,
            folder=given.folder,
        )
    )


if __name__ == "__main__":
    main()
