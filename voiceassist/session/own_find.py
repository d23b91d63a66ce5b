"""How a cause is proved that the technician found himself, by no test of the procedure."""

from collections import Counter

from voiceassist.procedure.model import Procedure
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.suspects import findings_named

_Steps = tuple[str, ...]


def proof_of(setup: SessionSetup, session: Session) -> _Steps:
    """What proves the repair: of the finding, or of what was found without one."""
    finding = setup.procedure.findings.get(session.finding)
    return finding.prove_with if finding is not None else session.own_proof


def proof_for(procedure: Procedure, words: str) -> _Steps:
    """What proves that the fault told in ``words`` is gone; nothing where that is not known.

    It is the proof of the finding that they name; else the one by which most findings are proved.
    """
    named = {procedure.findings[name].prove_with for name in findings_named(procedure, words)}
    if len(named) == 1 and all(named):
        return named.pop()
    proofs = [f.prove_with for f in procedure.findings.values() if f.prove_with]
    last, many = next(iter(Counter(steps[-1] for steps in proofs).most_common(1)), ("", 0))
    if many * 2 < len(proofs):
        return ()
    alike = Counter(steps for steps in proofs if steps[-1] == last)
    return max(alike, key=lambda steps: (alike[steps], len(steps)), default=())
