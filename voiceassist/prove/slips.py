"""What the words of a file give away: a good part condemned, or a repair that proves nothing.

No walk shows these, since a walk believes the words: that a question is put the right way round,
that the part which is fitted is the one that was condemned, that a fuse which was fitted holds.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from voiceassist.procedure.model import Finding, Kind, Procedure, Step
from voiceassist.prove import unasked
from voiceassist.prove.cases import Case
from voiceassist.prove.repairing import Repair
from voiceassist.prove.unasked import Slip
from voiceassist.prove.walk import Walk
from voiceassist.session.outcomes import REPAIRED

Walks = Sequence[tuple[Case, Walk]]


def slips(procedure: Procedure, walks: Walks, ended: Walks) -> tuple[Slip, ...]:
    """All of ``procedure``, by ``walks`` to a finding and ``ended`` ones to the end of the job."""
    found = (
        *_turned_round(procedure),
        *_other_parts(procedure),
        *_looks_at_fuses(procedure),
        *_fuses_left(procedure, ended),
        *unasked.held_by_another(procedure, walks),
        *unasked.not_by_heat(procedure, walks),
    )
    return tuple(dict.fromkeys(found))


# --- questions put the other way round ---

_BAD = (
    r"burnt|loose|dirty|wet|broken|cracked|rusty|corroded|chafed|swollen|bent|worn|damaged|melted"
)
_WELL = r"not|no|nor|free of|without|clean|dry|tight|whole|bright|good|cool|firm"


def _turned_round(procedure: Procedure) -> Iterator[Slip]:
    """Questions for what is bad alone, which a good vehicle is answered 'yes' to."""
    assert procedure.circuit is not None
    for name, answer in procedure.circuit.answers.items():
        step = procedure.steps.get(name)
        if step is None or step.kind is not Kind.ASK or answer not in {"yes", "no"}:
            continue
        asked = step.text.rsplit(".", 1)[-1]
        is_bad, is_well = (re.search(rf"\b({words})\b", asked) for words in (_BAD, _WELL))
        if is_bad and not is_well and answer == "yes":
            message = (
                f"a good vehicle is answered 'yes' here, and what is asked for is {is_bad[1]!r}; "
                "ask for what is good, such as 'clean and tight', or exchange the answers"
            )
            yield Slip(name, message)


# --- the part that is fitted ---

#: "change the relay", "fit a new pump": the part is the last word.
_ORDERS = re.compile(
    r"\b(?:change|fit|renew|or) (?:the |an? |that |both |four )?(?:new |whole )?([\w -]+?)"
    r"(?=$|[,;.]| or | and | of | with | from | before )"
)
_FITS = re.compile(r"\b(?:fit|change|renew|bolt)\b")
_NUMBERS = {"one", "two", "three", "four", "five", "six", "first", "second"}


def _other_parts(procedure: Procedure) -> Iterator[Slip]:
    """Findings that condemn one part, and whose repair fits another."""
    for name, finding in procedure.findings.items():
        steps = [procedure.repairs[one] for one in finding.repair if one in procedure.repairs]
        fits = [step for step in steps if _FITS.search(step.text) and step.fuse is None]
        if not finding.condemns or not fits:
            continue
        told = " ".join(f"{step.text} {' '.join(step.details.parts)}" for step in fits)
        words = {_single(word) for word in re.findall(r"\w+", told)}
        if "part" not in words and not words & set(_heads(finding)):
            message = (
                f"{name!r} condemns the {finding.condemns!r}, and its repair tells to "
                f"{fits[0].text}; fit the part that is condemned"
            )
            yield Slip(fits[0].name, message)


def _heads(finding: Finding) -> Iterator[str]:
    """The nouns of the parts that ``finding`` has changed, one of which is to be fitted."""
    for part in (finding.condemns, *_ORDERS.findall(finding.correction)):
        words = [word for word in part.split() if word not in _NUMBERS]
        if words:
            yield _single(words[-1])


def _single(word: str) -> str:
    return re.sub(r"(?<=[^s])s$", "", re.sub(r"ies$", "y", word))


# --- fuses ---


def _looks_at_fuses(procedure: Procedure) -> Iterator[Slip]:
    """Repairs that fit a fuse and are proved by nothing but a look at it."""
    for name, finding in procedure.findings.items():
        fuses = [one for one in finding.repair if procedure.step(one).fuse is not None]
        proof = [procedure.step(one) for one in finding.prove_with]
        looks = [one for one in proof if one.kind is Kind.ASK and "fuse" in one.text]
        if fuses and proof and len(looks) == len(proof):
            message = (
                f"{name!r} is proved by a look at the fuse, and a new fuse is whole until current "
                "flows; prove it by a reading with the circuit on"
            )
            yield Slip(looks[0].name, message)


def _fuses_left(procedure: Procedure, ended: Walks) -> Iterator[Slip]:
    """Repairs that are proved while the fuse which the fault blew is still blown."""
    for case, walk in ended:
        after, finding = walk.after, procedure.findings.get(walk.finding)
        if after is None or finding is None or case.repair is not Repair.MENDED:
            continue
        steps = [procedure.step(one) for one in after.did]
        blown = walk.blown or _found_blown(procedure, case.fault)
        if blown and after.ending == REPAIRED and steps and not _fits_a_fuse(steps):
            message = (
                f"the fault {case.fault!r} blows the fuse {blown!r}, and the repair of "
                f"{finding.name!r} is told as proved with no new one fitted; add a repair step "
                "with 'fuse:'"
            )
            yield Slip(steps[-1].name, message)


def _fits_a_fuse(steps: Iterable[Step]) -> bool:
    return any(step.fuse is not None for step in steps)


def _found_blown(procedure: Procedure, fault: str) -> str:
    """A question for a fuse that ``fault`` answers otherwise than a good vehicle does."""
    assert procedure.circuit is not None
    told = procedure.faults[fault].answers if fault in procedure.faults else {}
    asked = ((one, procedure.steps.get(one)) for one, answer in told.items() if answer == "no")
    return next((name for name, step in asked if step is not None and "fuse" in step.text), "")
