"""What the shipped calibrations make of the part "kept": tables in Markdown, or JSON.

    python tests/benchmarks/hearing/table.py [--heard /tmp/voiceassist-hearing/heard.jsonl]

Phrases of the formant voice are counted apart, as "espeak". The times are those of the listeners
one after the other, the kept clips' only; what was said is never used to decide.
"""

import argparse
import json
import statistics
import sys
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from benchmarks.hearing.collect import OTHER, TEMPORARY
from benchmarks.hearing.evidence import SETS, Sample, samples
from benchmarks.hearing.fit import NOISE, at_level
from benchmarks.hearing.judge import Judged, Outcome, judge, share
from benchmarks.hearing.phrases import LEVELS, PARTS

import voiceassist.doubt
from voiceassist.doubt.calibration import Calibration, belief
from voiceassist.doubt.features import features
from voiceassist.doubt.prior import log_prior
from voiceassist.doubt.stored import read

DEFAULT = "moonshine+sphinx"
ESPEAK = "espeak"
_BINS = 10
_FILE = Path(voiceassist.doubt.__file__ or "").parent / "calibration.toml"


@dataclass(frozen=True, slots=True)
class Row:
    """A set of listeners at a level; shares are of all its phrases.

    Parts:
        listeners, level: which.
        sounds: so many.
        first: the likeliest understanding is what was said.
        right, wrong, asked, rejected: shares; wrong is accepted and not what was said.
        wrong_turn: the part of ``wrong`` that also leads elsewhere.
        seconds: median time to hear a phrase.
    """

    listeners: str
    level: str
    sounds: int
    first: float
    right: float
    wrong: float
    wrong_turn: float
    asked: float
    rejected: float
    seconds: float


@dataclass(frozen=True, slots=True)
class OtherRow:
    """A set of listeners over sounds that mean nothing: how often an hour it stirs.

    What the speech detector holds back never comes to the listeners.
    """

    listeners: str
    source: str
    sounds: int
    minutes: float
    accepts: int
    accepts_an_hour: float
    asked_an_hour: float


@dataclass(frozen=True, slots=True)
class Bin:
    """Clips whose likeliest understanding has a probability from ``low`` up."""

    low: float
    mean: float
    right: float
    count: int


def judged(heard: Sequence[Sample], calibration: Calibration) -> list[Judged]:
    """Every sample by the shipped calibration and its costs."""
    return [_judged(sample, calibration) for sample in heard]


def _judged(sample: Sample, calibration: Calibration) -> Judged:
    evidence = sample.heard_by(calibration.listeners)
    found = features(evidence, sample.sound, sample.expectation)
    prior = [log_prior(key, sample.expectation) for key in found.keys]
    return judge(sample, belief(calibration, found, prior), calibration.costs)


def rows(name: str, of: Sequence[Judged]) -> list[Row]:
    """One for each level, and one for each level of the formant voice."""
    plain = [each for each in of if not each.sample.voice.startswith(ESPEAK)]
    formant = [each for each in of if each.sample.voice.startswith(ESPEAK)]
    made = [_row(name, level, at_level(plain, level)) for level in LEVELS]
    made += [_row(name, f"{ESPEAK} {level}", at_level(formant, level)) for level in LEVELS]
    return [row for row in made if row.sounds]


def _row(name: str, level: str, of: Sequence[Judged]) -> Row:
    times = [each.sample.seconds(name.split("+")) for each in of]
    return Row(
        name,
        level,
        len(of),
        sum(each.first for each in of) / max(len(of), 1),
        share(of, Outcome.RIGHT),
        share(of, Outcome.WRONG),
        sum(each.wrong_turn for each in of) / max(len(of), 1),
        share(of, Outcome.ASKED),
        share(of, Outcome.REJECTED),
        statistics.median(times or [0.0]),
    )


def other_rows(name: str, of: Sequence[Judged]) -> list[OtherRow]:
    """Over all of them, other speech together, then each source by itself."""
    others = at_level(of, OTHER)
    sources = sorted({each.sample.source for each in others})
    speech = [each for each in others if each.sample.source != NOISE]
    made = [_other_row(name, "all", others), _other_row(name, "speech", speech)]
    return made + [
        _other_row(name, source, [each for each in others if each.sample.source == source])
        for source in sources
    ]


def _other_row(name: str, source: str, of: Sequence[Judged]) -> OtherRow:
    seconds = sum(each.sample.sound.seconds for each in of)
    accepts = sum(each.outcome is Outcome.WRONG for each in of)
    asked = sum(each.outcome is Outcome.ASKED for each in of)
    an_hour = 3600 / max(seconds, 1.0)
    return OtherRow(
        name, source, len(of), seconds / 60, accepts, accepts * an_hour, asked * an_hour
    )


def bins(of: Sequence[Judged]) -> list[Bin]:
    """How often the likeliest understanding is right, by its probability; all sounds."""
    parted: dict[int, list[Judged]] = {}
    for each in of:
        parted.setdefault(min(int(each.probability * _BINS), _BINS - 1), []).append(each)
    return [
        Bin(
            number / _BINS,
            sum(each.probability for each in part) / len(part),
            sum(each.first for each in part) / len(part),
            len(part),
        )
        for number, part in sorted(parted.items())
    ]


def in_markdown(found: Mapping[str, Sequence[Row | OtherRow | Bin]]) -> str:
    """The tables, each under its name."""
    return "\n\n".join(f"{title}\n\n{_markdown(part)}" for title, part in found.items() if part)


def _markdown(part: Sequence[Row | OtherRow | Bin]) -> str:
    names = list(asdict(part[0]))
    lines = [names, ["---"] * len(names)]
    lines += [[_cell(name, value) for name, value in asdict(each).items()] for each in part]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def _cell(name: str, value: object) -> str:
    if not isinstance(value, float):
        return str(value)
    if name in {"seconds", "low", "mean", "minutes", "accepts_an_hour", "asked_an_hour"}:
        return f"{value:.2f}"
    return f"{100 * value:.1f} %"


def main() -> None:
    """Print the tables."""
    options = argparse.ArgumentParser(description="Judge the shipped calibrations.")
    options.add_argument("--heard", type=Path, default=TEMPORARY / "heard.jsonl")
    options.add_argument("--calibration", type=Path, default=_FILE)
    options.add_argument("--part", choices=PARTS, default="kept")
    options.add_argument("--default", choices=SETS, default=DEFAULT)
    options.add_argument("--json", action="store_true")
    given = options.parse_args()
    heard = samples(given.heard, given.part)
    if not heard:
        options.error(f"{given.heard} holds nothing of the part {given.part}; run collect.py first")
    shipped = read(given.calibration.read_text(encoding="utf-8"), str(given.calibration))
    of = {name: judged(heard, shipped[name]) for name in SETS}
    found: dict[str, Sequence[Row | OtherRow | Bin]] = {
        "phrases": [row for name in SETS for row in rows(name, of[name])],
        "other sounds": [row for name in SETS for row in other_rows(name, of[name])],
        f"reliability of {given.default}": bins(of[given.default]),
    }
    if given.json:
        print(json.dumps({title: [asdict(row) for row in part] for title, part in found.items()}))
    else:
        print(in_markdown(found))


if __name__ == "__main__":
    main()
