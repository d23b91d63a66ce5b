"""The proof of a procedure, from its walks."""

from collections.abc import Iterator, Sequence

from voiceassist.prove.cases import GOOD, Case, cases, made
from voiceassist.prove.examine import Walks, examine, walked
from voiceassist.prove.proof import Proof, proof_of
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

    Args:
        setup: of a procedure with a circuit; its meter is the one that errs, and whose doubt the
            verdicts count.
        draws: of each fault, and of a good vehicle; 1 or more.
        seed: the same seed gives the same proof.
        walks: makes the walks; None to make them here, one after another.
    """
    if setup.procedure.circuit is None:
        raise ValueError(f"{setup.procedure.name} has no circuit to be proved on")
    run = walks or here(setup, seed)
    done = walked(cases(list(setup.procedure.faults), draws), run)
    slips = walked(_slips(done, max(draws // _DRAWS_A_SLIP, _LEAST_SLIPS)), run)
    return proof_of(setup.procedure, done, slips, examine(setup, done, draws, run))


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
