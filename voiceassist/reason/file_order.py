"""Which steps of a procedure had better be taken earlier.

The procedure is walked through the session engine on vehicles of every cause, as it stands and
with a step moved. A swap is offered only when the procedure is proved with it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import cases
from voiceassist.prove.examine import Walked, examine, walked
from voiceassist.prove.outcome import Outcome
from voiceassist.prove.proof import Proof, proof_of
from voiceassist.prove.proof_text import failures
from voiceassist.prove.prove import here
from voiceassist.reason.kept import kept
from voiceassist.reason.moves import Move, moves
from voiceassist.reason.spent import Spent, spent
from voiceassist.session.session import SessionSetup

#: Vehicles of each cause that the file, and each swap that is proved, is walked on; those by
#: which all swaps are looked through first; and the seed of their draws.
DRAWS, LOOK, SEED = 10, 2, 1
#: A swap is worth telling from so many minutes on, and from this share of the whole.
_LEAST_MINUTES, _LEAST_SHARE = 0.05, 0.01
#: So many swaps are told at most, and so many are put to the proof.
_TOLD, _TRIED = 3, 4
#: A change to the vehicle beyond those of the file takes so many minutes. Common practice, no
#: source.
_CHANGE = 0.5
#: Up to this share of the walks, fewer that find their fault are chance.
_CHANCE = 0.01

_Swapped = tuple[Move, Procedure]


@dataclass(frozen=True, slots=True)
class Swap:
    """A step that had better be taken earlier.

    Parts:
        move: which, and past what.
        saves: minutes on average, less those of more changes to the vehicle.
    """

    move: Move
    saves: float


@dataclass(frozen=True, slots=True)
class FileOrder:
    """What there is to say of the order of a file.

    Parts:
        spent: minutes as it stands.
        swaps: those that save most and are proved, each on its own; the best first.
        looked_at: ways to take a step earlier by which nothing is lost.
        unproved: swaps that would save, and with which the file is not proved.
    """

    spent: Spent
    swaps: tuple[Swap, ...]
    looked_at: int
    unproved: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class _Comparison:
    """Walks a procedure, and the same with a step moved, on the same vehicles."""

    setup: SessionSetup
    likely: Mapping[str, float]

    def walks(self, procedure: Procedure, draws: int) -> Walked:
        run = here(replace(self.setup, procedure=procedure), SEED)
        return walked(cases(list(procedure.faults), draws), run)

    def spent(self, procedure: Procedure, done: Walked) -> Spent:
        return spent(procedure, done, self.likely)

    def is_proved(self, procedure: Procedure, done: Walked, before: Proof) -> bool:
        """Whether nothing fails, and every fault is found as it was ``before``."""
        setup = replace(self.setup, procedure=procedure)
        draws = before.good.draws
        bare = proof_of(procedure, done)
        if not _finds_as_much(bare, before):
            return False
        more = examine(setup, done, draws, here(setup, SEED), of_order=True)
        found = replace(bare, examined=more)
        return all(failure.only_warns for failure in failures(procedure, found))


def file_order(setup: SessionSetup, likely: Mapping[str, float], draws: int = DRAWS) -> FileOrder:
    """The minutes of the procedure of ``setup`` as it stands, and the swaps that save most.

    Args:
        setup: of a procedure with a circuit and faults.
        likely: of each listed cause, GOOD among them; together 1.
        draws: vehicles of each cause; at least ``LOOK``.
    """
    procedure = setup.procedure
    desk = _Comparison(setup, likely)
    done = desk.walks(procedure, draws)
    before, proof = desk.spent(procedure, done), proof_of(procedure, done)
    every = ((move, kept(procedure, move)) for move in moves(procedure))
    able = [(move, swapped) for move, swapped in every if swapped is not None]
    swaps: list[Swap] = []
    unproved: list[Move] = []
    for move, swapped in _promising(desk, able)[:_TRIED]:
        again = desk.walks(swapped, draws)
        saves = _saves(before, desk.spent(swapped, again))
        if len(swaps) < _TOLD and _is_worth(saves, before):
            if desk.is_proved(swapped, again, proof):
                swaps.append(Swap(move, saves))
            else:
                unproved.append(move)
    best = tuple(sorted(swaps, key=lambda swap: -swap.saves))
    return FileOrder(before, best, len(able), tuple(unproved))


def _promising(desk: _Comparison, able: Sequence[_Swapped]) -> list[_Swapped]:
    """Those that save on a few vehicles, the best first; of each step its best place alone."""
    few = desk.walks(desk.setup.procedure, LOOK)
    before = desk.spent(desk.setup.procedure, few)
    saved: dict[str, tuple[float, _Swapped]] = {}
    for move, swapped in able:
        then = desk.spent(swapped, desk.walks(swapped, LOOK))
        saves = _saves(before, then)
        if _is_worth(saves, before) and saves > saved.get(move.step, (0.0,))[0]:
            saved[move.step] = (saves, (move, swapped))
    return [each for _, each in sorted(saved.values(), key=lambda one: -one[0])]


def _saves(before: Spent, then: Spent) -> float:
    return before.mean - then.mean - _CHANGE * max(0.0, then.changes - before.changes)


def _is_worth(saves: float, before: Spent) -> bool:
    return saves >= max(_LEAST_MINUTES, _LEAST_SHARE * before.mean)


def _finds_as_much(then: Proof, before: Proof) -> bool:
    found = [sum(each.found for each in proof.faults) for proof in (then, before)]
    walks = sum(each.draws for each in before.faults)
    lost = [a for a, b in zip(then.faults, before.faults, strict=True)
            if b.outcome is Outcome.FOUND and a.outcome is not Outcome.FOUND]  # fmt: skip
    return not lost and found[0] >= found[1] - _CHANCE * walks
