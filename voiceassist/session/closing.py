"""Complaint, cause and correction in whole sentences, with the readings that prove them."""

from voiceassist.language.phrasebook import Phrasebook, capitalised
from voiceassist.procedure.model import Finding
from voiceassist.session.outputs import Summary
from voiceassist.session.session import Desk, Result, Session, Stage
from voiceassist.session.shown import spoken_name

#: Outcome -> how the proof of the repair is told.
_PROOF = {"repaired": "summary.proved", "repair-done": "summary.unmeasured"}


def because_lines(session: Session, finding: Finding) -> tuple[str, ...]:
    """The results that prove the finding, one for each step."""
    return tuple(f"{spoken_name(r.step)}: {r.shown}" for r in _proving(session, finding))


def _proving(session: Session, finding: Finding) -> list[Result]:
    """Of the steps it lists; when it lists none, those that did not pass, else all."""
    diagnosing = (Stage.DIAGNOSE, Stage.BEFORE_FITTING)
    latest = {r.step: r for r in session.ledger if r.stage in diagnosing and _tells(r)}
    listed = [latest[name] for name in finding.because if name in latest]
    failed = [r for r in latest.values() if not r.passed]
    return listed or failed or list(latest.values())


def _tells(result: Result) -> bool:
    return not result.superseded and result.outcome not in {"skipped", "done"}


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
    if session.suspected:
        return book("summary.suspected", cause=finding.cause)
    shown = "; ".join(_shown(book, result) for result in _proving(session, finding))
    if finding.no_fault:
        return book(
            "summary.no_fault", cause=finding.cause, readings=shown or book.plain("summary.none")
        )
    key = "summary.cause_shown" if shown else "summary.cause"
    return book(key, cause=finding.cause, readings=shown)


def _shown(book: Phrasebook, result: Result) -> str:
    key = "summary.reading_limit" if result.limit else "summary.reading"
    return book.plain(key, step=spoken_name(result.step), shown=result.shown, limit=result.limit)


def _correction(book: Phrasebook, session: Session, finding: Finding | None, outcome: str) -> str:
    if finding is None:
        return book("summary.nothing_done")
    if finding.no_fault:
        return book("summary.advised", advice=finding.correction)
    done = any(r.stage is Stage.REPAIR and r.outcome == "done" for r in session.ledger)
    latest = {r.step: r for r in session.ledger if r.stage is Stage.PROVE and _tells(r)}
    if not done and (finding.repair or not latest):
        return book("summary.recommended", correction=finding.correction)
    proofs = "; ".join(_shown(book, result) for result in latest.values())
    key = _PROOF.get(outcome, "summary.not_proved")
    said = book("summary.corrected", corrected=finding.corrected or finding.correction)
    return f"{said} {book(key, readings=proofs or book.plain('summary.none'))}"
