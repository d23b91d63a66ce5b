"""What an examiner of the trade would try beyond the faults as they are told."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from voiceassist.prove import after, blind, in_doubt, limits, pairs, untold
from voiceassist.prove.after import After, after_of
from voiceassist.prove.blind import Blind, blind_of
from voiceassist.prove.cases import Case
from voiceassist.prove.contrary import Contrary, contraries
from voiceassist.prove.hazard import Hazard
from voiceassist.prove.idle import IdleProof, idle_proofs
from voiceassist.prove.in_doubt import Doubted, doubted_of
from voiceassist.prove.limits import Limits, limits_of
from voiceassist.prove.pairs import Pairs, pairs_of
from voiceassist.prove.safety import hazards_of
from voiceassist.prove.slips import slips
from voiceassist.prove.unasked import Slip
from voiceassist.prove.unfailing import Unfailing, unfailing
from voiceassist.prove.unloaded import Unloaded, unloaded
from voiceassist.prove.untold import Untold, Way, untaken, untold_of
from voiceassist.prove.walk import Walk
from voiceassist.session.session import SessionSetup

#: Makes the walks of some cases, in their order; may do so anywhere.
Walks = Callable[[Sequence[Case]], Iterable[Walk]]
Walked = Sequence[tuple[Case, Walk]]

#: From so many draws of each fault on, all pairs are walked and each size so often; with fewer,
#: an even share of the pairs, and each size once.
_WHOLE = 100
#: This share of the pairs at least where only the order is tried.
_PAIRS_OF_ORDER = 0.25


@dataclass(frozen=True, slots=True)
class Examined:
    """What was tried.

    Parts:
        blind: faults that are not found over the whole range of their size.
        pairs: of two faults at once.
        idle: parts condemned by a drop that was read without current.
        after: what became of the repairs.
        hazards: what can hurt somebody or something.
        unfailing: steps whose limit nothing can fail.
        limits: which of their ends are needed, and what room they leave.
        doubted: what became of doubtful answers.
        contrary: limits that contradict each other.
        unloaded: parts condemned on a voltage that nothing loads.
        untold: parts condemned for faults that the file does not tell.
        untaken: ways to a condemned part that no fault takes.
        slips: what the words of the file give away.
    """

    blind: tuple[Blind, ...]
    pairs: Pairs
    idle: tuple[IdleProof, ...]
    after: After
    unfailing: tuple[Unfailing, ...]
    hazards: tuple[Hazard, ...]
    limits: Limits
    doubted: tuple[Doubted, ...]
    contrary: tuple[Contrary, ...]
    unloaded: tuple[Unloaded, ...]
    untold: tuple[Untold, ...]
    untaken: tuple[Way, ...]
    slips: tuple[Slip, ...]


def examine(
    setup: SessionSetup, done: Walked, draws: int, run: Walks, *, of_order: bool = False
) -> Examined:
    """Try sizes that no file tells, faults two by two, and what comes after the finding.

    Args:
        setup: of a procedure with a circuit.
        done: the walks of the proof.
        draws: of each fault in the proof.
        run: makes walks.
        of_order: try only what hangs on the order of the steps, with more pairs: whether limits
            are needed and where doubtful answers lead is left out.
    """
    procedure = setup.procedure
    assert procedure.circuit is not None
    ranges = blind.sizes(procedure, procedure.circuit, done)
    sized = walked(blind.cases_of(ranges, blind.DRAWS_A_SIZE if draws >= _WHOLE else 1), run)
    share = max(draws / _WHOLE, _PAIRS_OF_ORDER if of_order else 0.0)
    paired = walked(pairs.cases_of(procedure, share), run)
    onward = walked(pairs.onward_of(procedure, paired), run)
    ended = walked(after.cases_of(procedure, 1), run)
    widened = walked(() if of_order else limits.cases_of(procedure, done), run)
    doubted = walked(() if of_order else in_doubt.cases_of(procedure), run)
    usual = walked(untold.cases_of(procedure), run)
    return Examined(
        blind=blind_of(procedure, sized),
        pairs=pairs_of(procedure, paired, onward),
        idle=idle_proofs(procedure, (*done, *sized, *paired)),
        after=after_of(procedure, ended),
        unfailing=unfailing(procedure, done),
        hazards=hazards_of(procedure, ended),
        limits=limits_of(procedure, done, widened),
        doubted=doubted_of(procedure, doubted),
        contrary=contraries(procedure, (*done, *sized)),
        unloaded=unloaded(procedure, done),
        untold=untold_of(procedure, usual),
        untaken=untaken(procedure, (*done, *sized)),
        slips=slips(procedure, (*done, *sized), ended),
    )


def walked(todo: Iterable[Case], run: Walks) -> Walked:
    """The walks of ``todo``, each with its case."""
    listed = list(todo)
    return list(zip(listed, run(listed), strict=True))
