"""The proof of a procedure, from its walks."""

from collections.abc import Iterator, Sequence

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import GOOD, Case, cases, made
from voiceassist.prove.examine import Walked, Walks, examine, walked
from voiceassist.prove.proof import Proof, proof_of
from voiceassist.prove.settled import first_numbers, is_settled
from voiceassist.prove.technician import Change
from voiceassist.prove.walk import Walk
from voiceassist.session.session import SessionSetup

#: Draws of each fault where nobody tells another number, and the seed.
DRAWS, SEED = 200, 1
#: A forgotten change is walked once for so many draws, on each vehicle that is asked for it.
_DRAWS_A_SLIP, _LEAST_SLIPS = 100, 1


def prove(
    setup: SessionSetup, draws: int = DRAWS, seed: int = SEED, walks: Walks | None = None
) -> Proof:
    """Put every fault into the circuit ``draws`` times, and count where the procedure leads.

    A fault that the first draws settle is drawn no more (``settled.py``).

    Args:
        setup: of a procedure with a circuit; its meter is the one that errs, and whose doubt the
            verdicts count.
        draws: of each fault, at most, and of a good vehicle; 1 or more.
        seed: the same seed gives the same proof.
        walks: makes the walks; None to make them here, one after another.
    """
    if setup.procedure.circuit is None:
        raise ValueError(f"{setup.procedure.name} has no circuit to be proved on")
    run = walks or here(setup, seed)
    done = _drawn(setup.procedure, draws, run)
    slips = walked(_slips(done, max(draws // _DRAWS_A_SLIP, _LEAST_SLIPS)), run)
    return proof_of(setup.procedure, done, slips, examine(setup, done, draws, run))


def _drawn(procedure: Procedure, draws: int, run: Walks) -> Walked:
    """The walks of each fault, the rest of its draws only where the first do not settle it."""
    begin = frozenset(first_numbers(draws))
    every = list(cases(list(procedure.faults), draws))
    made = dict(walked((case for case in every if case.number in begin), run))
    by_fault: dict[str, list[Walk]] = {}
    for case, walk in made.items():
        by_fault.setdefault(case.fault, []).append(walk)
    open_ = {name for name, walks in by_fault.items() if not is_settled(procedure, name, walks)}
    rest = (case for case in every if case.number not in begin and case.fault in open_)
    made |= dict(walked(rest, run))
    return [(case, made[case]) for case in every if case in made]


def here(setup: SessionSetup, seed: int) -> Walks:
    """Makes walks one after another, in this process."""
    return lambda todo: (made(setup, seed, case) for case in todo)


def _slips(done: Sequence[tuple[Case, Walk]], many: int) -> Iterator[Case]:
    """Each change that was asked for, forgotten once on some of the vehicles it was asked for."""
    asked: dict[Change, dict[str, list[Case]]] = {}
    for case, walk in done:
        for change in walk.changes:
            by_fault = asked.setdefault(change, {})
            found = by_fault.setdefault(case.fault, [])
            if not found or found[-1] != case:
                found.append(case)
    for change, by_fault in asked.items():
        for fault in sorted(by_fault, key=lambda name: name != GOOD):
            spread = by_fault[fault]
            for i in range(min(many, len(spread))):
                case = spread[i * len(spread) // min(many, len(spread))]
                yield Case(case.fault, case.number, case.of, change)
