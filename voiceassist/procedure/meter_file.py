"""A meter file's text to a ``Meter``, or to every fault in it."""

import re
from decimal import Decimal
from functools import partial

from pydantic import Field

from voiceassist.circuit.shape import KeyBlock, Name, Text, optional
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.meter import Meter, MeterRange
from voiceassist.procedure.faults import Fault, ProcedureFaultsError, Severity
from voiceassist.procedure.parts.limits import quantity_at
from voiceassist.procedure.parts.source import source_of_file
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.fit_shape import shaped
from voiceassist.procedure.text.tree import Path, read_tree

#: The first key of a meter file; no procedure has it.
FIRST_KEY = "meter"

#: A day as ISO 8601 writes it.
_DAY = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])", re.ASCII)
_ACCURACY = re.compile(r"±?\s*\(?\s*(\d+(?:\.\d+)?)\s*%\s*(?:\+\s*(\d+))?\s*\)?")


class RangeShape(KeyBlock):
    """One range of a meter."""

    top: Text = Field(description="the largest value it shows: 6 V")
    resolution: Text = Field(description="one count of its last digit: 0.001 V")
    accuracy: Text = Field(description="percent of the reading, and counts: 0.5 % + 2")
    socket: Text | None = optional(
        "where the red lead is for it, when not in the usual socket: 10 A"
    )


class MeterShape(KeyBlock):
    """A meter by its data sheet."""

    meter: Name = Field(description="its name: that of the file, without .yaml")
    title: Text = Field(description="which meter it is")
    source: Text = Field(
        description="where the values come from: maker's data DOCUMENT, or general rule of thumb"
    )
    serial: Text | None = optional("its serial number, in quotes when it is a figure")
    calibrated: Text | None = optional("the day it was last calibrated: 2026-03-01")
    input_resistance: Text | None = optional("of its voltage ranges: 10 MΩ")
    ranges: list[RangeShape] = Field(min_length=1, description="its ranges, in any order")


def read_meter(text: str, file: str) -> Meter:
    """Read a meter from YAML ``text``.

    Args:
        text: the whole file.
        file: how to call it in messages.

    Raises:
        ProcedureFaultsError: with every fault in it.
    """
    meter, faults = inspect_meter(text)
    if meter is None:
        raise ProcedureFaultsError(file, faults)
    return meter


def inspect_meter(text: str) -> tuple[Meter | None, tuple[Fault, ...]]:
    """Read ``text``.

    Returns:
        The meter, or None when an error stops it; and every fault, in order of lines.
    """
    tree = read_tree(text)
    faults = list(tree.faults)
    meter = None
    if isinstance(tree.value, dict) and tree.value:
        shape = shaped(tree, faults, MeterShape, {"ranges": RangeShape})
        meter = _meter(shape, FaultCollector(tree, faults)) if shape is not None else None
    elif not faults:
        faults.append(
            Fault(Severity.ERROR, "", 1, "this holds no meter; begin with 'meter: a-name'")
        )
    ordered = tuple(sorted(faults, key=lambda fault: fault.line))
    stopped = any(fault.level is Severity.ERROR for fault in ordered)
    return (None if stopped else meter), ordered


def is_meter_file(text: str) -> bool:
    """True when the first key of ``text`` is that of a meter file."""
    value = read_tree(text).value
    return isinstance(value, dict) and next(iter(value), "") == FIRST_KEY


def _meter(shape: MeterShape, blame: FaultCollector) -> Meter | None:
    source_of_file(shape.source, blame)
    if shape.calibrated is not None and not _DAY.fullmatch(shape.calibrated):
        trouble = f"{shape.calibrated!r} is no day; write it like 2026-03-01"
        blame.error(("calibrated",), trouble)
    ranges = [_range(("ranges", i), body, blame) for i, body in enumerate(shape.ranges)]
    resistance = quantity_at(
        ("input-resistance",), shape.input_resistance, blame, kind="resistance"
    )
    found = tuple(one for one in ranges if one is not None)
    if len(found) < len(ranges):
        return None
    return blame.attempt(("ranges",), partial(Meter, shape.meter, found, resistance))


def _range(path: Path, body: RangeShape, blame: FaultCollector) -> MeterRange | None:
    top = quantity_at((*path, "top"), body.top, blame)
    resolution = quantity_at((*path, "resolution"), body.resolution, blame)
    accuracy = _accuracy((*path, "accuracy"), body.accuracy, blame)
    socket = quantity_at((*path, "socket"), body.socket, blame)
    if top is None or resolution is None or accuracy is None:
        return None
    make = partial(MeterRange, top.unit.quantity, top, resolution, accuracy, socket)
    return blame.attempt(path, make)


def _accuracy(path: Path, text: str, blame: FaultCollector) -> Accuracy | None:
    match = _ACCURACY.fullmatch(text)
    if match is None:
        blame.error(path, f"{text!r} is no accuracy; write it like 0.5 % + 2")
        return None
    return blame.attempt(path, partial(Accuracy, Decimal(match[1]), int(match[2] or 0)))
