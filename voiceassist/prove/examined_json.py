"""What an examiner found, as parts of the JSON object of a proof."""

from voiceassist.prove.after import After, Ending
from voiceassist.prove.blind import Blind
from voiceassist.prove.examine import Examined
from voiceassist.prove.in_doubt import Doubted
from voiceassist.prove.limits import Limits
from voiceassist.prove.pairs import PairEnd, Pairs

_Json = dict[str, object]


def to_json(found: Examined) -> _Json:
    """Parts of the JSON object of a proof."""
    return {
        "blind": [one for blind in found.blind for one in _blind(blind)],
        "pairs": _pairs(found.pairs),
        "unfailing": [one.step for one in found.unfailing],
        "idle_proofs": [
            {"finding": i.finding, "part": i.part, "step": i.step, "fault": i.fault}
            for i in found.idle
        ],
        "after": _after(found.after),
        "limits": _limits(found.limits),
        "doubted": [_doubted(one) for one in found.doubted],
        "safety": [
            {"danger": h.danger, "step": h.step, "message": h.message} for h in found.hazards
        ],
        "contrary": [
            {"passes": c.passes, "fails": c.fails, "end": c.side, "reading": c.reading}
            for c in found.contrary
        ],
        "unloaded": [
            {"finding": u.finding, "part": u.part, "step": u.step, "fault": u.fault}
            for u in found.unloaded
        ],
        "untold": [
            {"fault": u.fault, "part": u.part, "step": u.stray.step, "finding": u.stray.finding}
            for u in found.untold
        ],
        "untaken": [{"step": step, "finding": finding} for step, finding in found.untaken],
        "slips": [{"step": slip.step, "message": slip.message} for slip in found.slips],
    }


def _blind(blind: Blind) -> list[_Json]:
    return [
        {
            "fault": blind.fault,
            "unit": blind.unit,
            "least": stretch.least,
            "most": stretch.most,
            "walks": stretch.walks,
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
    return {
        "repairs": after.tried,
        "unprovable": [_ending(end) for end in after.unprovable],
        "proved_undone": [_ending(end) for end in after.passed],
        "misled": [_ending(end) for end in after.misled],
        "unproved": list(after.unproved),
        "dead": list(after.dead),
    }


def _ending(end: Ending) -> _Json:
    return {"fault": end.fault, "finding": end.finding, "step": end.step}


def _limits(limits: Limits) -> _Json:
    return {
        "unneeded": [{"step": step, "end": side} for step, side in limits.unneeded],
        "room": [
            {
                "step": room.end[0],
                "end": room.end[1],
                "inside": room.inside,
                "outside": room.outside,
                "unit": room.unit,
            }
            for room in limits.rooms
        ],
    }


def _doubted(one: Doubted) -> _Json:
    return {
        "step": one.step,
        "answer": one.answer,
        "walks": one.walks,
        "found": one.found,
        "wrong": one.wrong,
        "open": one.open,
        "condemned": [part for _, part, _ in one.condemned],
    }
