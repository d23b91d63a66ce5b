"""What an examiner of the trade would try beyond the faults as they are told."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from voiceassist.prove import blind, pairs
from voiceassist.prove.blind import Blind, blind_of
from voiceassist.prove.cases import Case
from voiceassist.prove.idle import IdleProof, idle_proofs
from voiceassist.prove.pairs import Pairs, pairs_of
from voiceassist.prove.walk import Walk
from voiceassist.session.session import Desk

#: Makes the walks of some cases, in their order; may do so anywhere.
Walks = Callable[[Sequence[Case]], Iterable[Walk]]
Walked = Sequence[tuple[Case, Walk]]

#: From so many draws of each fault on, all pairs are walked and each size so often; with fewer,
#: an even share of the pairs, and each size once.
_WHOLE = 100


@dataclass(frozen=True, slots=True)
class Examined:
    """What was tried.

    Parts:
        blind: faults that are not found over the whole range of their size.
        pairs: of two faults at once.
        idle: parts condemned by a drop that was read without current.
    """

    blind: tuple[Blind, ...]
    pairs: Pairs
    idle: tuple[IdleProof, ...]


def examine(desk: Desk, done: Walked, draws: int, run: Walks) -> Examined:
    """Try sizes that no file tells, and faults two by two.

    Args:
        desk: of a procedure with a circuit.
        done: the walks of the proof.
        draws: of each fault in the proof.
        run: makes walks.
    """
    procedure = desk.procedure
    assert procedure.circuit is not None
    ranges = blind.sizes(procedure, procedure.circuit, done)
    sized = walked(blind.cases_of(ranges, blind.DRAWS_A_SIZE if draws >= _WHOLE else 1), run)
    paired = walked(pairs.cases_of(procedure, draws / _WHOLE), run)
    return Examined(
        blind=blind_of(procedure, sized),
        pairs=pairs_of(procedure, paired),
        idle=idle_proofs(procedure, (*done, *sized, *paired)),
    )


def walked(todo: Iterable[Case], run: Walks) -> Walked:
    """The walks of ``todo``, each with its case."""
    listed = list(todo)
    return list(zip(listed, run(listed), strict=True))
