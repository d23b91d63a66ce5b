"""Complaint, cause and correction in whole sentences, with the readings that prove them."""

from voiceassist.language.phrasebook import Phrasebook, capitalised
from voiceassist.procedure.model import Finding
from voiceassist.session.outputs import Summary
from voiceassist.session.session import Desk, Result, Session, Stage
from voiceassist.session.shown import spoken_name


def because_lines(session: Session, finding: Finding) -> tuple[str, ...]:
    """The results that prove the finding: those of the steps it lists, or all that count."""
    counting = [r for r in session.ledger if not r.superseded and _tells(r)]
    wanted = finding.because or tuple(r.step for r in counting)
    latest = {r.step: r for r in counting}
    return tuple(f"{spoken_name(name)}: {latest[name].shown}" for name in wanted if name in latest)


def _tells(result: Result) -> bool:
    return result.outcome not in {"skipped", "done"}


def summary(desk: Desk, session: Session, outcome: str) -> Summary:
    """What the job came to, in sentences for the repair order."""
    finding = desk.procedure.findings.get(session.finding)
    return Summary(
        step=session.step,
        complaint=_complaint(desk, session),
        cause=_cause(desk.book, session, finding),
        correction=_correction(desk.book, session, finding, outcome),
    )


def _complaint(desk: Desk, session: Session) -> str:
    told = dict(session.facts).get("complaint")
    return capitalised(told or desk.procedure.title).rstrip(".") + "."


def _cause(book: Phrasebook, session: Session, finding: Finding | None) -> str:
    if finding is None:
        return book("summary.no_cause")
    wanted = finding.because
    counting = [r for r in session.ledger if not r.superseded and _tells(r)]
    proving = [r for r in counting if r.stage in {Stage.DIAGNOSE, Stage.BEFORE_FITTING}]
    shown = [_shown(book, r) for r in proving if not wanted or r.step in wanted]
    if not shown:
        return book("summary.cause", cause=finding.cause)
    return book("summary.cause_shown", cause=finding.cause, readings="; ".join(shown))


def _shown(book: Phrasebook, result: Result) -> str:
    key = "summary.reading_limit" if result.limit else "summary.reading"
    return book.plain(key, step=spoken_name(result.step), shown=result.shown, limit=result.limit)


def _correction(book: Phrasebook, session: Session, finding: Finding | None, outcome: str) -> str:
    if finding is None:
        return book("summary.nothing_done")
    done = any(r.stage is Stage.REPAIR and r.outcome == "done" for r in session.ledger)
    if not done:
        return book("summary.recommended", correction=finding.correction)
    proofs = [
        _shown(book, r) for r in session.ledger if r.stage is Stage.PROVE and not r.superseded
    ]
    key = "summary.proved" if outcome == "repaired" else "summary.not_proved"
    said = book("summary.corrected", corrected=finding.corrected or finding.correction)
    return f"{said} {book(key, readings='; '.join(proofs) or book.plain('summary.none'))}"
