"""What can be asked for by name."""

from voiceassist.archive.find import OPEN
from voiceassist.measure.limit import Verdict
from voiceassist.record.outcomes import OUTCOMES

#: What a reading can get, as the record has it.
VERDICTS = tuple(verdict.value for verdict in Verdict)
#: How a session can have ended, as the engine names it, or that it has not.
OUTCOMES_ASKED = (*OUTCOMES, OPEN)
