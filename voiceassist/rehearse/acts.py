"""What a trainee did at the simulated vehicle, and what he saw."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from voiceassist.circuit.model import Probe
from voiceassist.prove.vehicle import States
from voiceassist.reason.samples import Sight
from voiceassist.rehearse.wishes import Verb, Wish

#: About how long each takes, in minutes. Common practice, no source.
MINUTES: Final[Mapping[Verb, float]] = MappingProxyType(
    {
        Verb.READ: 1.0,
        Verb.VOLTS: 1.0,
        Verb.OHMS: 1.0,
        Verb.AMPS: 1.0,
        Verb.LAMP: 1.0,
        Verb.BRING: 0.5,
        Verb.LOOK: 0.25,
        Verb.ASK: 0.5,
        Verb.CHANGE: 20.0,
        Verb.MEND: 20.0,
        Verb.WAIT: 1.0,
        Verb.WIGGLE: 2.0,
        Verb.WARM: 5.0,
        Verb.DIAL: 0.1,
        Verb.TO_CURRENT: 0.25,
        Verb.TO_VOLTS: 0.25,
        Verb.SURE: 0.0,
        Verb.HINT: 0.0,
        Verb.AGAINST: 0.0,
    }
)


@dataclass(frozen=True, slots=True)
class Test:
    """An instrument that was held to the vehicle, or a question that was looked into.

    Parts:
        step: of the procedure that tests the same; empty when none does.
        probe: how the instrument was held; None for a question.
        states: the conditions that the circuit follows.
        sight: what was seen.
        shown: the same as it was told to him: "12.44 V".
    """

    __test__ = False  # no test of ours, for pytest

    step: str
    probe: Probe | None
    states: States
    sight: Sight
    shown: str = ""


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that a trainee did.

    Parts:
        wish: what was wanted.
        told: what came of it, in sentences.
        minutes: about how long it takes.
        test: what it let him see of the vehicle; None for nothing.
        slips: what was not safe about it, or did damage, each in a sentence.
        condemned: a part that was changed.
    """

    wish: Wish
    told: str
    minutes: float
    test: Test | None = None
    slips: tuple[str, ...] = ()
    condemned: str = ""
