"""Which keys each kind of step takes, and which are given."""

from collections.abc import Iterable
from types import MappingProxyType

from voiceassist.procedure.model import IN_DOUBT, LAMP_STATES, NEVER, Kind
from voiceassist.procedure.shape.step import StepShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

#: The key of a step whose place another procedure's steps take.
USE = "use"
KINDS = (*(kind.value for kind in Kind), USE)

_TOLD = frozenset({"how", "why", "skip"})
_DETAILS = frozenset({"effort", "opens", "tools", "parts", "torque"})
_ASIDE = frozenset({"only-if", "caution", "picture", "fuse", "prompt-after"})
_DONE = _TOLD | _DETAILS | _ASIDE | {"needs", "before"}
_DOUBT = frozenset(IN_DOUBT)
_BANDS = frozenset({"bands"})
_JUDGED = frozenset({"accept", "source", "then", "low", "high", "fail"})
_TAKES = MappingProxyType(
    {
        "measure": _DONE
        | _BANDS
        | _DOUBT
        | _JUDGED
        | {"unit", "plausible", "over", "steady", "source-resistance", "if-forgotten", "if-close"}
        | {"says", "meter", "settles"},
        "sweep": _DONE | _JUDGED | {"unit", "plausible", "meter"},
        "count": _DONE | _BANDS | _DOUBT | _JUDGED | {"unit", "plausible", "if-forgotten", "says"},
        "lamp": _DONE | _DOUBT | {"accept", "source", "then", "fail", "says", *LAMP_STATES},
        "ask": _DONE | _DOUBT | {"answers", "accept", "says"},
        "identify": _DONE | {"then"},
        "compute": _TOLD | _BANDS | _JUDGED | {"if-close", "says"},
        "wait": (_DONE - {"prompt-after"}) | {"for", "then", "voided-by"},
        "do": _DONE | {"then", "sets"},
        USE: frozenset({"go"}),
    }
)


#: Field of a step's shape to its key in the file.
_KEYS = MappingProxyType({n: info.alias or n for n, info in StepShape.model_fields.items()})


def kinds_given(body: StepShape) -> list[str]:
    """The keys that tell what kind of step it is; one, when all is well."""
    return [key for key in KINDS if key in body.model_fields_set]


def check_keys(path: Path, body: StepShape, blame: FaultCollector) -> None:
    """Report more or fewer than one kind, and keys that have no effect."""
    kinds = kinds_given(body)
    if len(kinds) > 1 or not (kinds or blame.written(path, *KINDS)):
        found = " and ".join(kinds) or "none of them"
        known = ", ".join(KINDS[:-1]) + f" and {KINDS[-1]}"
        blame.error(path, f"a step has one of {known}; found {found}")
    if kinds:
        taken = frozenset[str]().union(*(_TAKES[kind] for kind in kinds), kinds)
        useless = sorted({_KEYS[field] for field in body.model_fields_set} - taken)
        _blame_all(path, useless, f"has no effect in a step with {kinds[0]!r}", blame)
    _check_without_limit(path, body, blame)
    if path[0] == "repairs":
        _check_repair(path, body, blame)


def _check_without_limit(path: Path, body: StepShape, blame: FaultCollector) -> None:
    """Report keys that only have an effect beside a limit."""
    if body.accept is None and not body.lamp:
        given = {"source": body.source, "if-close": body.if_close}
        given["bands"] = next(iter(body.bands), None)
        given["low"] = None if body.steady else body.low
        useless = [key for key, value in given.items() if value is not None]
        _blame_all(path, useless, "has no effect without a limit in 'accept'", blame)


def _check_repair(path: Path, body: StepShape, blame: FaultCollector) -> None:
    useless = ["then"] if body.then else []
    _blame_all(path, useless, "has no effect in a repair step", blame)
    if body.skip and body.skip != NEVER:
        blame.error(
            (*path, "skip"), f"a repair step leads to the next one; write {NEVER} or leave it out"
        )


def _blame_all(path: Path, keys: Iterable[str], why: str, blame: FaultCollector) -> None:
    for key in keys:
        blame.error((*path, key), f"{key!r} {why}; take it out")
