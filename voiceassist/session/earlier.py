"""Going back to an earlier session; what was done since cannot be undone."""

from voiceassist.session.copying import replace
from voiceassist.session.session import Session


def restore(session: Session, earlier: Session) -> Session:
    """The earlier session with all that cannot be undone: ledger, facts, the vehicle's state."""
    kept = len(earlier.ledger)
    ledger = tuple(
        replace(result, superseded=True) if i >= kept else earlier.ledger[i]
        for i, result in enumerate(session.ledger)
    )
    return replace(earlier.keeping(session), ledger=ledger)
