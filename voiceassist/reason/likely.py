"""How likely each cause is before anything is read."""

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import GOOD

#: How likely nothing is wrong with a vehicle that comes in, beside all the faults together.
#: Common practice, no source.
GOOD_SHARE = 0.05


def likely(procedure: Procedure) -> dict[str, float]:
    """Each fault as likely as the file says, nothing wrong among them; together 1."""
    faults = procedure.faults
    total = sum(fault.likely for fault in faults.values())
    shares = {name: (1 - GOOD_SHARE) * fault.likely / total for name, fault in faults.items()}
    return {GOOD: GOOD_SHARE, **shares}
