"""What stands beside a session under way: its step as a picture, and what is likely.

Runs in a process of its own, which keeps what it has read.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from voiceassist.app import build
from voiceassist.app.kept_files import kept_meter
from voiceassist.app.live.replay import replayed
from voiceassist.app.pages.session_folder import procedure_of
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.bench.asked import Cause
from voiceassist.bench.now import SessionNow, after_all
from voiceassist.draw.step_picture import StepMoment, step_picture
from voiceassist.errors import RecordError, VoiceAssistError
from voiceassist.procedure.model import Procedure
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import UNLISTED
from voiceassist.record.entry import lines_of
from voiceassist.record.folder import PROCEDURE, SessionFolder
from voiceassist.record.lines import Line
from voiceassist.record.read_journal import verify
from voiceassist.session.engine import Engine
from voiceassist.session.session import Detail, SessionSetup

#: Sessions of which what was read is kept.
_KEPT = 8
_UNLISTED = "something that is not listed"


@dataclass(frozen=True)
class _Basis:
    """What a session goes by.

    Parts:
        engine: that the journal's events can be given to again.
        adviser: None for a procedure without a circuit.
    """

    engine: Engine
    adviser: Adviser | None


def picture(folder: Path) -> str:
    """The step of the session in ``folder`` as SVG; empty where it cannot be drawn.

    Raises:
        RecordError: the session cannot be read.
    """
    procedure = _procedure(folder)
    if procedure is None:
        return ""
    return _picture(procedure, after_all(SessionNow(), _lines(folder)))


def causes(folder: Path) -> tuple[Cause, ...] | None:
    """What is likely, the likeliest first; None where nothing tells.

    The first time of a procedure takes some seconds.

    Raises:
        RecordError: the session cannot be read.
    """
    lines = _lines(folder)
    return _causes(folder, lines) if lines and _procedure(folder) is not None else None


def _lines(folder: Path) -> tuple[Line, ...]:
    return lines_of(verify(SessionFolder(folder).journal).entries)


@lru_cache(_KEPT)
def _procedure(folder: Path) -> Procedure | None:
    return procedure_of(SessionFolder(folder))


def _picture(procedure: Procedure, now: SessionNow) -> str:
    """The step as it is now; empty where the procedure has no such step."""
    present, outcome = now.present, now.present.outcome
    moment = StepMoment({each.name: each.state for each in present.conditions if each.met})
    if outcome is not None and outcome.step == present.step:
        moment = replace(
            moment,
            reading=outcome.shown,
            verdict=outcome.verdict,
            limit=outcome.limit,
            scale=outcome.scale,
        )
    try:
        return step_picture(procedure, present.step, moment, styled=False)
    except (KeyError, ValueError):
        return ""


def _causes(folder: Path, lines: tuple[Line, ...]) -> tuple[Cause, ...] | None:
    """The likeliest findings first; None where nothing can be told."""
    try:
        desk = _desk(folder)
        if desk.adviser is None:
            return None
        back = replayed(desk.engine, lines)
        belief = desk.adviser.belief(desk.adviser.seen(back.session.ledger))
    except (VoiceAssistError, ValueError):
        return None  # what was read agrees with no cause, or the files are of another version
    findings = desk.engine.setup.procedure.findings
    return tuple(
        Cause(findings[name].cause if name in findings else _named(name), share)
        for name, share in belief.ranked
    )


def _named(name: str) -> str:
    return _UNLISTED if name == UNLISTED else name.replace("-", " ")


@lru_cache(_KEPT)
def _desk(folder: Path) -> _Basis:
    kept, head = SessionFolder(folder), _lines(folder)[0]
    procedure = _procedure(folder)
    assert procedure is not None
    asked = {name: head.get(name) for name in ("language", "risk_percent") if head.get(name)}
    shop = build.Components(build.settings(asked))
    setup = SessionSetup(
        procedure,
        shop.book,
        Detail(str(head.get("detail") or "normal")),
        kept_meter(kept)[0],
        shop.settings.risk_percent / 100,
    )
    if procedure.circuit is None or not procedure.faults:
        return _Basis(Engine(setup), None)
    written = build.Written(procedure, kept.read(PROCEDURE), _used(folder))
    return _Basis(Engine(setup), adviser_of(setup, written))


def _used(folder: Path) -> dict[str, str]:
    """The procedures that its own puts in, by their names."""
    found: dict[str, str] = {}
    for path in sorted(folder.glob("used-*.yaml")):
        try:
            name = path.stem.removeprefix("used-")
            found[name] = SessionFolder(folder).read(path.name)
        except RecordError:
            continue
    return found
