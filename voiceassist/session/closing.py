"""Complaint, cause and correction in whole sentences, with the readings that prove them."""

from collections.abc import Iterable

from voiceassist.language.phrasebook import Phrasebook, capitalised
from voiceassist.procedure.model import IN_DOUBT, Finding
from voiceassist.session.copying import replace
from voiceassist.session.outputs import Summary
from voiceassist.session.session import Result, Session, SessionSetup, Stage
from voiceassist.session.shown import spoken_name

#: Outcome -> how the proof of the repair is told.
_PROOF = {"repaired": "summary.proved", "repair-done": "summary.unmeasured"}


def because_lines(session: Session, finding: Finding) -> tuple[str, ...]:
    """The results that prove the finding, one for each step."""
    return tuple(f"{spoken_name(r.step)}: {r.shown}" for r in _proving(session, finding))


def unconfirmed(session: Session, finding: Finding) -> tuple[str, ...]:
    """Of the results that prove the finding, those that changed the path and stood unasked."""
    proving = (r for r in _proving(session, finding) if r.unconfirmed)
    return tuple(f"{spoken_name(r.step)}, {r.shown}" for r in proving)


def _proving(session: Session, finding: Finding) -> list[Result]:
    """Of the steps it lists; when it lists none, those that did not pass, else all.

    What had to pass before a part is condemned stands beside what did not. That nothing is wrong
    is shown by what was judged good, and not by which kind of vehicle it is.
    """
    diagnosing = (Stage.DIAGNOSE, Stage.BEFORE_FITTING)
    latest = {r.step: r for r in session.ledger if r.stage in diagnosing and _tells(r)}
    listed = [latest[name] for name in finding.because if name in latest]
    if listed or all(r.passed for r in latest.values()):
        return listed or list(latest.values())
    if finding.no_fault:
        return [r for r in latest.values() if r.passed]
    proofs = {step for _, step in finding.proved_by}
    return [r for r in latest.values() if not r.passed or r.step in proofs]


def _tells(result: Result) -> bool:
    return not result.superseded and result.outcome not in {"skipped", "done", *IN_DOUBT}


def summary(setup: SessionSetup, session: Session, outcome: str) -> Summary:
    """What the job came to, in sentences for the repair order."""
    finding = setup.procedure.findings.get(session.finding)
    before = _put_right_before(setup, session)
    causes = [_cause(setup.book, then, each) for then, each in before]
    done = [_made(setup.book, session, each) for _, each in before]
    if finding is None and before:  # stopped on the way
        return _summary(setup, session, causes, done)
    if before and before[-1][1] is finding:
        proofs = _shown_all(setup.book, _since(session))
        key = _PROOF.get(outcome, "summary.not_proved")
        return _summary(setup, session, causes, [*done, setup.book(key, readings=proofs)])
    causes.append(_cause(setup.book, session, finding))
    done.append(_correction(setup.book, session, finding, outcome))
    return _summary(setup, session, causes, done)


def _summary(
    setup: SessionSetup, session: Session, causes: Iterable[str], done: Iterable[str]
) -> Summary:
    return Summary(
        step=session.step,
        complaint=_complaint(setup, session),
        cause=" ".join(causes),
        correction=" ".join(done),
    )


def _put_right_before(setup: SessionSetup, session: Session) -> list[tuple[Session, Finding]]:
    """Findings after which the job went on, each with the session as it was then."""
    found = []
    for name, many in session.put_right:
        ledger = (replace(r, superseded=False) if r.outdated else r for r in session.ledger[:many])
        then = replace(session, ledger=tuple(ledger), suspected=False)
        found.append((then, setup.procedure.findings[name]))
    return found


def _since(session: Session) -> list[Result]:
    """What was judged since the job went on."""
    latest = {r.step: r for r in _new(session) if _tells(r) and r.limit}
    return list(latest.values())


def _new(session: Session) -> tuple[Result, ...]:
    """The results since the job last went on."""
    return session.ledger[session.put_right[-1][1] :] if session.put_right else session.ledger


def _shown_all(book: Phrasebook, results: Iterable[Result]) -> str:
    return "; ".join(_shown(book, result) for result in results) or book.plain("summary.none")


def _made(book: Phrasebook, session: Session, finding: Finding) -> str:
    """What was done, with what was told of it; that alone where more is not known."""
    told = [(words, undone) for name, words, undone in session.work_told if name == finding.name]
    own = [book("summary.as_told", words=words) for words, _ in told]
    if any(undone for _, undone in told):
        return " ".join(own)
    if finding.corrected or finding.repair:
        done = book("summary.corrected", corrected=finding.corrected or finding.correction)
        return " ".join((done, *own))
    return " ".join(own) or book("summary.own_way", correction=finding.correction)


def _complaint(setup: SessionSetup, session: Session) -> str:
    complaint = dict(session.facts).get("complaint")
    return capitalised(complaint or setup.procedure.title).rstrip(".") + "."


def _cause(book: Phrasebook, session: Session, finding: Finding | None) -> str:
    if finding is None:
        return book("summary.own" if session.own else "summary.no_cause", words=session.own)
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
    latest = {r.step: r for r in session.ledger if r.stage is Stage.PROVE and _tells(r)}
    proof = book(
        _PROOF.get(outcome, "summary.not_proved"), readings=_shown_all(book, latest.values())
    )
    if session.own:
        return f"{book('summary.own_mended', words=session.own)} {proof}"
    if finding is None:
        return book("summary.nothing_done")
    if finding.no_fault:
        return book("summary.advised", advice=finding.correction)
    done = any(r.stage is Stage.REPAIR and r.outcome == "done" for r in _new(session))
    if not done and (finding.repair or not latest):
        return book("summary.recommended", correction=finding.correction)
    return f"{_made(book, session, finding)} {proof}"
