"""On with the diagnosis after something was put right: boost the battery, then go on.

It is done once for each finding. What was read from the step on at which the job goes on counts no
longer, since the vehicle is another now; it stays in the ledger as outdated.
"""

from voiceassist.procedure.model import Finding
from voiceassist.session.actions.closing_up import conclude
from voiceassist.session.copying import replace
from voiceassist.session.outputs import Say
from voiceassist.session.session import Result, Session, SessionSetup, Turn


def comes_again(session: Session, finding: Finding) -> bool:
    """True when ``finding`` was put right before, and the job went on."""
    return finding.name in dict(session.put_right)


def once_put_right(session: Session, target: str) -> Session:
    """The session after its finding was put right, to go on at the step ``target``."""
    many = len(session.ledger)
    counting = (i for i, r in enumerate(session.ledger) if r.step == target and not r.superseded)
    since = next(counting, many)
    return replace(
        session.settled,
        ledger=tuple(_outdated(r) if i >= since else r for i, r in enumerate(session.ledger)),
        put_right=(*session.put_right, (session.finding, many)),
        carried=(),
        acknowledged=frozenset(),
    )


def _outdated(result: Result) -> Result:
    return result if result.superseded else replace(result, superseded=True, outdated=True)


def nothing_else(setup: SessionSetup, session: Session, finding: Finding) -> Turn:
    """Nothing more is wrong: what was put right was the cause."""
    name, _ = session.put_right[-1]
    cured = replace(session, finding=name, suspected=False)
    said = Say(step=session.step, text=setup.book("finding.nothing_else", cause=finding.cause))
    skipped = any(r.outcome == "skipped" for r in session.ledger if not r.superseded)
    outcome = "not-proved" if skipped else "repaired"
    return Turn(cured, (said,)).then(conclude(setup, cured, outcome, said))
