"""What an examiner found, as parts of the JSON object of a proof."""

from voiceassist.prove.after import After
from voiceassist.prove.blind import Blind
from voiceassist.prove.examine import Examined
from voiceassist.prove.in_doubt import Doubted
from voiceassist.prove.limits import Limits
from voiceassist.prove.pairs import PairEnd, Pairs

_Json = dict[str, object]


def parts_of(one: object, *names: str) -> _Json:
    """These parts of ``one``, each under its own name."""
    return {name: getattr(one, name) for name in names}


def to_json(found: Examined) -> _Json:
    """Parts of the JSON object of a proof."""
    condemning = ("finding", "part", "step", "fault")
    return {
        "blind": [one for blind in found.blind for one in _blind(blind)],
        "pairs": _pairs(found.pairs),
        "unfailing": [one.step for one in found.unfailing],
        "idle_proofs": [parts_of(one, *condemning) for one in found.idle],
        "after": _after(found.after),
        "limits": _limits(found.limits),
        "doubted": [_doubted(one) for one in found.doubted],
        "safety": [parts_of(one, "danger", "step", "message") for one in found.hazards],
        "contrary": [
            {"passes": c.passes, "fails": c.fails, "end": c.side, "reading": c.reading}
            for c in found.contrary
        ],
        "unloaded": [parts_of(one, *condemning) for one in found.unloaded],
        "untold": [
            parts_of(one, "fault", "part") | parts_of(one.stray, "step", "finding")
            for one in found.untold
        ],
        "untaken": [{"step": step, "finding": finding} for step, finding in found.untaken],
        "slips": [parts_of(slip, "step", "message") for slip in found.slips],
    }


def _blind(blind: Blind) -> list[_Json]:
    return [
        parts_of(blind, "fault", "unit")
        | parts_of(stretch, "least", "most", "walks")
        | {
            "findings": dict(stretch.findings),
            "condemned": {part: many for part, _, many in stretch.condemned},
        }
        for stretch in blind.stretches
    ]


def _pairs(pairs: Pairs) -> _Json:
    return {
        "walks": pairs.walks,
        **{end.value.replace(" ", "_"): pairs.ends[end] for end in PairEnd},
        "went_on": {end.value.replace(" ", "_"): pairs.after[end] for end in PairEnd},
        "condemned_by": [
            {"faults": list(pair.faults), "part": pair.part} for pair in pairs.condemned
        ],
        "no_fault_by": [list(pair.faults) for pair in pairs.no_fault],
    }


def _after(after: After) -> _Json:
    ended = ("fault", "finding", "step")
    return {
        "repairs": after.tried,
        "unprovable": [parts_of(end, *ended) for end in after.unprovable],
        "proved_undone": [parts_of(end, *ended) for end in after.passed],
        "misled": [parts_of(end, *ended) for end in after.misled],
        "unproved": list(after.unproved),
        "dead": list(after.dead),
    }


def _limits(limits: Limits) -> _Json:
    return {
        "unneeded": [{"step": step, "end": side} for step, side in limits.unneeded],
        "room": [
            {"step": room.end[0], "end": room.end[1]} | parts_of(room, "inside", "outside", "unit")
            for room in limits.rooms
        ],
    }


def _doubted(one: Doubted) -> _Json:
    counts = parts_of(one, "step", "answer", "walks", "found", "wrong", "open")
    return counts | {"condemned": [part for _, part, _ in one.condemned]}
