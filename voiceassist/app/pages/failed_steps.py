"""What the steps looked like at which readings failed, for the page of a lesson."""

from voiceassist.procedure.model import Procedure
from voiceassist.record.lines import VerdictLine
from voiceassist.record.read_session import ReadSession
from voiceassist.record.scale import scale_of

#: More pictures would make the page large; each has about 10 kB.
_MOST = 4
_FAILED = frozenset({"low", "high", "fail"})


def failed_steps(procedure: Procedure | None, read: ReadSession) -> tuple[tuple[str, str], ...]:
    """Each of the last such steps in words, and as an SVG with the reading on its limit."""
    if procedure is None:
        return ()
    known = {*procedure.steps, *procedure.repairs}
    lines = (line for line in read.every(VerdictLine) if line.verdict in _FAILED)
    failed = {line.step: line for line in lines if line.step in known}
    return tuple(_seen(procedure, line) for line in list(failed.values())[-_MOST:])


def _seen(procedure: Procedure, line: VerdictLine) -> tuple[str, str]:
    from voiceassist.draw.step_picture import StepMoment, step_picture
    from voiceassist.draw.step_view import step_view
    from voiceassist.draw.step_words import step_words

    moment = StepMoment(
        reading=line.reading, verdict=line.verdict, limit=line.limit, scale=scale_of(line)
    )
    told = ". ".join(step_words(step_view(procedure, line.step, moment)))
    return told, step_picture(procedure, line.step, moment, alone=True)
