"""The answers that a file gives to its steps, as a technician would say them."""

from voiceassist.language.meanings import (
    Answer,
    Command,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
)
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import ANSWERS, IN_DOUBT, Kind, Step


class Stuck(Exception):  # noqa: N818 - it ends a walk, and is no fault of the program
    """The walk cannot go on; ``noticed`` when the instrument itself shows that something is off."""

    def __init__(self, why: str, *, noticed: bool = False) -> None:
        super().__init__(why)
        self.noticed = noticed


def told(step: Step, answer: str) -> Meaning:
    """The ``answer`` of a file to ``step`` as a meaning.

    Raises:
        Stuck: there is none, where one is needed.
    """
    if answer in IN_DOUBT:
        return Command(answer)
    if step.kind is Kind.IDENTIFY:
        return Identifier(step.text, answer or "0")
    if not answer:
        raise Stuck("neither the circuit nor its 'answers:' tell what this step is answered")
    if step.kind is Kind.ASK:
        return Answer(ANSWERS.get(answer, answer))
    if step.kind is Kind.LAMP:
        return Lamp(answer)
    if answer == "over range":
        return OverRange()
    readings = tuple(_reading(step, part.strip()) for part in answer.split(","))
    return Series(readings) if step.kind is Kind.SWEEP else readings[0]


def _reading(step: Step, text: str) -> Reading:
    bare = text.replace(".", "", 1).replace("-", "", 1).isdigit()
    quantity = Quantity.parse(f"{text} {step.unit}" if bare and step.unit is not None else text)
    return Reading(quantity.value, quantity.unit)
