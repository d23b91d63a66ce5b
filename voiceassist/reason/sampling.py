"""Makes the table of what each test would show with each cause.

A vehicle of a cause is the circuit with its tolerances drawn and the fault, of a drawn size, in
it; of a fault that comes and goes it is drawn for each test whether it is there meanwhile. The
same draws are made for every cause, so that a reading which a fault does not touch is the same
with and without it, and tells nothing between them.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from voiceassist.circuit.faults import CircuitFault, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.probe import Shown
from voiceassist.circuit.tolerance import drawn
from voiceassist.errors import CircuitError
from voiceassist.language.meanings import Answer, Lamp, Meaning, OverRange, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Procedure
from voiceassist.prove.cases import GOOD
from voiceassist.prove.file_answer import Stuck, told
from voiceassist.prove.technician import WATCH_S, is_watched
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.samples import Place, Samples, Sight

#: Vehicles of each cause, and the seed of their draws.
VEHICLES, SEED = 64, 1
#: Kinds of step that something is seen at.
SEEING: Final = frozenset({Kind.MEASURE, Kind.COUNT, Kind.LAMP, Kind.ASK})
#: What is seen where no number is: beyond the range, or nothing that could be told.
OVER, NOTHING = "over", "nothing"


def sampled(
    procedure: Procedure,
    places: tuple[Place, ...],
    likely: Mapping[str, float],
    vehicles: int = VEHICLES,
    seed: int = SEED,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> Samples:
    """What the vehicles of each cause show at ``places``.

    Args:
        procedure: with a circuit.
        places: in the order in which they are come to; a fuse that blows at one stays blown.
        likely: of each cause, GOOD among them.
        vehicles: of each cause; 1 or more.
        seed: of the draws.
        progress: told how many causes are done, and of how many.
    """
    rows: list[list[list[Sight]]] = []
    good: list[list[Sight]] = []
    whole = [_good(procedure, seed * 1000 + number) for number in range(vehicles)]
    for done, cause in enumerate(likely):
        row = _row(procedure, places, list(_cars(procedure, cause, whole, seed)))
        if _comes(procedure, cause):
            good = good or _row(procedure, places, list(_cars(procedure, GOOD, whole, seed)))
            row = _now_and_then(procedure, cause, places, good, row)
        rows.append(row)
        progress(done + 1, len(likely))
    words = ("", *sorted({s.word for row in rows for car in row for s in car if s.word}))
    code = {word: i for i, word in enumerate(words)}
    numbers = [[[np.nan if s.number is None else s.number for s in car] for car in r] for r in rows]
    seen = [[[code[s.word] for s in car] for car in row] for row in rows]
    total = sum(likely.values())
    return Samples(
        causes=tuple(likely),
        likely=tuple(share / total for share in likely.values()),
        places=places,
        words=words,
        numbers=np.array(numbers, float).transpose(2, 0, 1),
        seen=np.array(seen, np.int8).transpose(2, 0, 1),
    )


def _row(
    procedure: Procedure, places: tuple[Place, ...], cars: Sequence[Vehicle]
) -> list[list[Sight]]:
    return [list(_seen(procedure, car, places)) for car in cars]


def _comes(procedure: Procedure, cause: str) -> bool:
    return cause != GOOD and procedure.faults[cause].comes is not None


def _now_and_then(
    procedure: Procedure,
    cause: str,
    places: tuple[Place, ...],
    good: Sequence[Sequence[Sight]],
    faulty: Sequence[Sequence[Sight]],
) -> list[list[Sight]]:
    """What vehicles show whose fault is there at times: with it, or as without it.

    A fuse that blew while it was there is taken for whole again when it is gone.
    """
    chances = [showing(procedure, procedure.faults[cause], place) for place in places]
    draws = np.random.default_rng(SEED).uniform(size=(len(faulty), len(places)))
    return [
        [b if draw < chance else a for a, b, draw, chance in zip(*each, chances, strict=True)]
        for each in zip(good, faulty, draws, strict=True)
    ]


def showing(procedure: Procedure, fault: CircuitFault, place: Place) -> float:
    """How likely ``fault`` is there while one looks at ``place``; 1 unless it comes and goes."""
    if fault.comes is None:
        return 1.0
    step = procedure.steps.get(place.step)
    needs = {need.condition: need.state for need in step.needs} if step is not None else {}
    seconds = WATCH_S if step is not None and is_watched(step) else 1
    return fault.comes.shows_within({**needs, **dict(place.states)}, seconds)


def _cars(
    procedure: Procedure, cause: str, whole: Sequence[Circuit], seed: int
) -> Iterator[Vehicle]:
    """The vehicles ``whole`` with ``cause``, of sizes that fill the whole of its range."""
    fault = procedure.faults[cause] if cause != GOOD else None
    sizes = np.random.default_rng(seed).permutation(len(whole))
    for good, size in zip(whole, sizes, strict=True):
        yield _with(good, fault, (size + 0.5) / len(whole))


def vehicle_of(procedure: Procedure, fault: CircuitFault | None, size: float, seed: int) -> Vehicle:
    """A vehicle with ``fault``, its tolerances drawn by ``seed``.

    Args:
        procedure: with a circuit.
        fault: None for a good vehicle.
        size: where in the range of its size the fault is, 0 to 1.
        seed: the same seed draws the same good vehicle, whatever the fault.

    Raises:
        CircuitError: the fault does not fit.
    """
    return _with(_good(procedure, seed), fault, size)


def _good(procedure: Procedure, seed: int) -> Circuit:
    return drawn(_circuit(procedure), np.random.default_rng(seed))


def _with(good: Circuit, fault: CircuitFault | None, size: float) -> Vehicle:
    faulty = with_fault(good, fault, size) if fault is not None else good
    answers = dict(good.answers) | (dict(fault.answers) if fault is not None else {})
    return Vehicle(faulty, answers, good)


def _circuit(procedure: Procedure) -> Circuit:
    if procedure.circuit is None:
        raise ValueError(f"{procedure.name} has no circuit")
    return procedure.circuit


def _seen(procedure: Procedure, car: Vehicle, places: tuple[Place, ...]) -> Iterator[Sight]:
    for place in places:
        for condition, state in place.states:
            car.change(condition, state)
        yield seen_at(procedure, place.step, car)


def seen_at(procedure: Procedure, name: str, car: Vehicle) -> Sight:
    """What is seen of ``car``, as it stands, by the probe or the answers of ``name``."""
    try:
        shows = car.shows(name)
        if shows is None:
            return sight(told(procedure.step(name), car.told(name)))
    except (CircuitError, Stuck):
        return Sight(word=NOTHING)
    return sight_of(shows)


def sight_of(shows: Shown) -> Sight:
    """What an instrument lets one see."""
    if shows.value is not None:
        return Sight(float(shows.value.in_base))
    return Sight(word=shows.lamp or (OVER if shows.over else NOTHING))


def sight(meaning: Meaning) -> Sight:
    """What was seen, by what was said of it; NOTHING where it tells no single thing."""
    if isinstance(meaning, Reading) and meaning.unit is not None:
        return Sight(float(Quantity(meaning.value, meaning.unit).in_base))
    if isinstance(meaning, Lamp | Answer):
        return Sight(word=meaning.name)
    return Sight(word=OVER if isinstance(meaning, OverRange) else NOTHING)
