"""What a terminal shows of the circuit at a step of a procedure."""

from collections.abc import Mapping

from voiceassist.app.view import StepRows
from voiceassist.procedure.model import Procedure


def rows_of(procedure: Procedure) -> StepRows:
    """Rows for each step of ``procedure``; none for what is no step of it, or has no instrument."""

    def rows(step: str, conditions: Mapping[str, str]) -> tuple[str, ...]:
        if step not in procedure.steps and step not in procedure.repairs:
            return ()
        # What draws is loaded when a screen wants it, not by every session.
        from voiceassist.draw.step_rows import step_rows
        from voiceassist.draw.step_view import StepMoment, step_view

        return step_rows(step_view(procedure, step, StepMoment(conditions)))

    return rows
