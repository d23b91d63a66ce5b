"""Has a labelled set of sounds heard, and keeps what was heard as JSON lines.

    python tests/benchmarks/hearing/collect.py --listeners sphinx,moonshine,whisper

Sounds are made on the fly: speech by Debian's flite and espeak-ng, noise by numpy. What was
spoken is kept in the system's temporary folder. A run that was ended goes on where it stopped:
a sound already in the file is heard again only by listeners that have not heard it. The fields
of a line are told in ``records.py``. The package faster-whisper is needed for free-whisper only.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from benchmarks.hearing.evidence import to_weigh
from benchmarks.hearing.hearers import HEARERS, Hearer, hearer
from benchmarks.hearing.others import PACKAGES, Other, others
from benchmarks.hearing.phrases import LEVELS, PARTS, Phrase, phrases
from benchmarks.hearing.records import Record, add_record, heard_before, read_records, record_of
from benchmarks.hearing.sounds import Setting, phrase_clip
from benchmarks.hearing.steps import grammar
from benchmarks.hearing.voices import Studio, missing_programs

from voiceassist.errors import VoiceAssistError
from voiceassist.sound.clip import Clip

OTHER = "other"
TEMPORARY = Path(tempfile.gettempdir()) / "voiceassist-hearing"
HOUSE = Path(__file__).parents[3]
_SHOWN_EVERY = 20

Sound = tuple[Phrase | Other, Setting, Clip]


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which sounds are to be heard by whom.

    Parts:
        parts, levels: of ``PARTS``, and of ``LEVELS`` and "other".
        listeners: of ``HEARERS``.
        count: phrases of each part at each level.
        other_s: seconds of other sounds for each part.
        limit: no more than so many sounds of each part and level; None for all.
        file: where the records are.
        studio: has the words spoken.
    """

    parts: tuple[str, ...]
    levels: tuple[str, ...]
    listeners: tuple[str, ...]
    count: int
    other_s: float
    limit: int | None
    file: Path
    studio: Studio


@dataclass(slots=True)
class Progress:
    """Tells on the error stream how far the work is."""

    total: int
    began: float = field(default_factory=time.monotonic)
    done: int = 0
    heard: int = 0

    def step(self, *, heard: bool) -> None:
        """One more sound is done; ``heard`` now, or already in the file."""
        self.done += 1
        self.heard += heard
        if heard and (self.heard in {1, 5} or self.heard % _SHOWN_EVERY == 0):
            self._show()

    def _show(self) -> None:
        each_s = (time.monotonic() - self.began) / self.heard
        left_min = each_s * (self.total - self.done) / 60
        sys.stderr.write(
            f"{self.done} of about {self.total}, {each_s:.2f} s a sound, "
            f"about {left_min:.1f} min left\n"
        )


def sounds(wanted: Wanted) -> Iterator[tuple[str, Iterator[Sound]]]:
    """Every group of sounds, each made when its turn comes."""
    for part in wanted.parts:
        for level in wanted.levels:
            yield f"{part} {level}", islice(_group(wanted, part, level), wanted.limit)


def _group(wanted: Wanted, part: str, level: str) -> Iterator[Sound]:
    if level == OTHER:
        for other in others(part, wanted.other_s, wanted.studio):
            yield other, other.setting, other.clip
        return
    for phrase in phrases(part, level, wanted.count):
        how, clip = phrase_clip(phrase, wanted.studio)
        yield phrase, how, clip


def expected_sounds(wanted: Wanted) -> int:
    """About how many there will be; other sounds last some 3 s each."""
    most = wanted.limit or 10**9
    sizes = [
        round(wanted.other_s / 3.0) if level == OTHER else wanted.count for level in wanted.levels
    ]
    return len(wanted.parts) * sum(min(size, most) for size in sizes)


def collect(wanted: Wanted) -> None:
    """Hear everything that is not in the file yet."""
    known = read_records(wanted.file)
    hearers = {name: hearer(name) for name in wanted.listeners}
    progress = Progress(expected_sounds(wanted))
    try:
        for name, group in sounds(wanted):
            total_s = 0.0
            for said, how, clip in group:
                total_s += clip.seconds
                record = record_of(said, how, clip)
                done = heard_before(known, record)
                waiting = [hearers[each] for each in wanted.listeners if each not in done]
                record["listeners"] = done | _heard(said.step, clip, waiting)
                again = _look_again(record, clip, list(hearers.values()))
                new = not record.keys() <= known.get(record["id"], {}).keys()
                if waiting or again or new:
                    add_record(wanted.file, record)
                progress.step(heard=bool(waiting or again))
            sys.stderr.write(f"{name}: {total_s:.0f} s of sound\n")
    finally:
        for each in hearers.values():
            each.close()


def _heard(step: str, clip: Clip, hearers: Sequence[Hearer]) -> Record:
    searched = grammar(step)
    return {each.name: each.hear(clip, searched).to_json() for each in hearers}


def _look_again(record: Record, clip: Clip, hearers: Sequence[Hearer]) -> bool:
    """Have the listeners weigh what any set of them has to choose among; whether any did now."""
    phrases = to_weigh(record)
    weighing = []
    for each in hearers if phrases else ():
        heard = record["listeners"][each.name]
        if not set(phrases) <= set(heard.get("looked_at", ())):
            began = time.perf_counter()
            weighed = each.weigh(clip, phrases)
            if weighed is not None:
                seconds = (time.perf_counter() - began) / len(phrases)
                heard |= {"weighed": weighed, "looked_at": phrases, "weigh_s": round(seconds, 4)}
                weighing.append(each)
    return bool(weighing)


def _listed(known: Sequence[str], text: str) -> tuple[str, ...]:
    """Names with commas between, each of them known."""
    names = tuple(text.split(","))
    for name in names:
        if name not in known:
            raise argparse.ArgumentTypeError(f"{name!r} is none of {', '.join(known)}")
    return names


def _positive(text: str) -> int:
    if not text.isdecimal() or int(text) == 0:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number above 0")
    return int(text)


def read_options(arguments: Sequence[str]) -> Wanted:
    """What the command line asks for; ends the program on wrong use."""
    options = argparse.ArgumentParser(description="Collect what listeners hear.")
    levels = (*LEVELS, OTHER)
    options.add_argument("--parts", type=lambda t: _listed(PARTS, t), default=PARTS)
    options.add_argument("--levels", type=lambda t: _listed(levels, t), default=levels)
    options.add_argument(
        "--listeners", type=lambda t: _listed(HEARERS, t), default=("sphinx", "moonshine")
    )
    options.add_argument("--count", type=_positive, default=400, help="phrases a part and level")
    options.add_argument("--other-seconds", type=float, default=1000.0, help="a part")
    options.add_argument("--limit", type=_positive, help="sounds a part and level, at most")
    options.add_argument("--out", type=Path, default=TEMPORARY / "heard.jsonl")
    options.add_argument("--cache", type=Path, default=TEMPORARY / "spoken")
    given = options.parse_args(arguments)
    for path in (given.out, given.cache):
        if HOUSE in path.resolve().parents:
            options.error(f"{path} lies in the repository; choose another place")
    return Wanted(
        given.parts,
        given.levels,
        given.listeners,
        given.count,
        given.other_seconds,
        given.limit,
        given.out,
        Studio(given.cache),
    )


def missing_packages() -> list[str]:
    """Debian packages that must be installed first."""
    return missing_programs() + [name for name, path in PACKAGES.items() if not path.exists()]


def main() -> int:
    """Read the options, collect, tell where the file is; the exit code."""
    wanted = read_options(sys.argv[1:])
    missing = missing_packages()
    if missing:
        sys.stderr.write(f"install the packages {', '.join(missing)} first\n")
        return 2
    wanted.file.parent.mkdir(parents=True, exist_ok=True)
    try:
        collect(wanted)
    except VoiceAssistError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("ended; the same command goes on from here\n")
        return 1
    sys.stdout.write(f"{wanted.file}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
