"""Tells how long procedures take to a finding, and which steps had better be taken earlier."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from voiceassist import resources
from voiceassist.app.build import Components, Library, settings
from voiceassist.app.desk.check import files_of
from voiceassist.app.desk.proof_cache import ProofCache, ProofText, key_of
from voiceassist.app.desk.prove import ProofSource, setup_from
from voiceassist.app.program import program
from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers.base import Workers
from voiceassist.procedure.faults import Severity
from voiceassist.procedure.meter_file import is_meter_file
from voiceassist.procedure.read import inspect
from voiceassist.prove.cases import GOOD
from voiceassist.reason.file_order import DRAWS, SEED, FileOrder, Swap, file_order
from voiceassist.reason.infer import UNLISTED
from voiceassist.reason.likely import likely


@dataclass(frozen=True, slots=True)
class OrderReport:
    """What there is to say of one file.

    Parts:
        file: its path.
        lines: for people.
        to_json: for programs.
        usable: no error in it kept it from being walked.
    """

    file: str
    lines: tuple[str, ...]
    to_json: dict[str, Any]
    usable: bool = True


def orders(
    names: Sequence[str],
    workers: Workers,
    cache: ProofCache | None = None,
    progress: Progress = no_progress,
) -> Iterator[OrderReport]:
    """The order of each file; a folder stands for the YAML files in it.

    Args:
        names: of files, folders or shipped procedures.
        workers: walk them.
        cache: what is known already; None to walk all.
        progress: told how many files are done, and of how many.

    Raises:
        ResourceError: a name leads to nothing, or its file cannot be read.
    """
    chosen = Components(settings({})).settings
    asked = [_asked(path, chosen) for name in names for path in files_of(name)]
    keys = {one: _key(one) for one in asked if isinstance(one, ProofSource)}
    known = {one: cache.get(key) if cache else None for one, key in keys.items()}
    todo = [one for one, told in known.items() if told is None]
    made = workers.each(_walked, None, todo)
    for done, one in enumerate(asked, 1):
        if isinstance(one, OrderReport):
            yield one
            continue
        told = known[one]
        if told is None:
            told = known[one] = next(made)
            if cache:
                cache.put(keys[one], told)
        progress(done, len(asked))
        first, *rest = told.lines
        yield OrderReport(
            one.file, (f"{one.file}: {first}", *rest), {**told.to_json, "file": one.file}
        )


def _asked(path: Path, chosen: Settings) -> ProofSource | OrderReport:
    """What is walked; or what there is to say of a file that is not."""
    text = resources.read_text(path)
    if is_meter_file(text):
        return _untold(path, "a meter's file, which has no steps")
    library = Library(path.parent)
    procedure, faults = inspect(text, library)
    if procedure is None:
        errors = [fault for fault in faults if fault.level is Severity.ERROR]
        why = f"error: {errors[0]}; see: voiceassist check {path.name}"
        return _untold(path, why, usable=False)
    if procedure.circuit is None or not procedure.faults:
        return _untold(path, "no circuit with faults, so nothing to walk it on")
    return ProofSource.of(text, str(path), chosen, library.used)


def _untold(path: Path, why: str, *, usable: bool = True) -> OrderReport:
    about = {"procedure": path.stem, "file": str(path), "problem": why}
    return OrderReport(str(path), (f"{path}: {why}",), about, usable)


def _walked(shared: None, source: ProofSource) -> ProofText:
    """What there is to say of the order of ``source``, perhaps in another process."""
    setup = setup_from(source)
    found = file_order(setup, likely(setup.procedure))
    return ProofText(tuple(lines(found)), (), to_json(setup.procedure.name, found))


def _key(source: ProofSource) -> str:
    told = ("order", program(("reason",)), key_of(source, DRAWS, SEED))
    return sha256("\0".join(told).encode()).hexdigest()


# --- in words ---


def lines(found: FileOrder) -> Iterator[str]:
    """What was found, for people: the minutes, a row a cause, and the swaps."""
    spent = found.spent
    yield f"{spent.mean:.1f} minutes to a finding, on average"
    names = {cause: _named(cause) for cause in spent.by_cause}
    width = max(map(len, names.values()))
    yield f"  {'cause':{width}}  likely  minutes"
    for cause, minutes in spent.by_cause.items():
        yield f"  {names[cause]:{width}}  {_percent(spent.shares[cause]):>6}  {minutes:7.1f}"
    yield from _swaps(found)


def _swaps(found: FileOrder) -> Iterator[str]:
    if found.swaps:
        yield "  swaps that save most, each proved on its own:"
    else:
        yield "  no swap that saves anything to speak of is proved"
    for swap in found.swaps:
        share = _percent(swap.saves / found.spent.mean)
        yield f"    {_told(swap)}: saves {swap.saves:.1f} min ({share})"
    for move in found.unproved:
        yield f"    not {move.step} before {move.before}: it would save, and fails the proof"


def _told(swap: Swap) -> str:
    past = swap.move.past[1:]
    more = f" (past {', '.join(past)} too)" if past else ""
    return f"{swap.move.step} before {swap.move.before}{more}"


def _named(cause: str) -> str:
    return {GOOD: "nothing wrong", UNLISTED: f"{UNLISTED} (longest way)"}.get(cause, cause)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


# --- for programs ---


def to_json(name: str, found: FileOrder) -> dict[str, Any]:
    """One JSON object."""
    spent = found.spent
    return {
        "procedure": name,
        "minutes": round(spent.mean, 2),
        "causes": [
            {"cause": cause, "share": round(spent.shares[cause], 4), "minutes": round(minutes, 2)}
            for cause, minutes in spent.by_cause.items()
        ],
        "swaps": [
            {
                "step": swap.move.step,
                "before": swap.move.before,
                "past": list(swap.move.past),
                "saves": round(swap.saves, 2),
            }
            for swap in found.swaps
        ],
        "looked_at": found.looked_at,
        "unproved": [{"step": m.step, "before": m.before} for m in found.unproved],
    }
