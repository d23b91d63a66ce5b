"""The mark of a rehearsal as its journal keeps it."""

from voiceassist.record.lines import MarkGiven
from voiceassist.rehearse.looked import Looked
from voiceassist.rehearse.marks import Mark


def mark_line(found: Mark, text: str) -> MarkGiven:
    """The line of the mark ``found``, told as ``text``."""
    return MarkGiven.made(
        step="",
        text=text,
        fault=found.fault,
        named=found.named,
        found=found.found,
        points=found.points,
        minutes=round(found.minutes, 2),
        off=dict(found.off),
        quickest={
            "steps": list(found.quickest.steps),
            "minutes": round(found.quickest.minutes, 2),
            "changes": round(found.quickest.changes, 2),
        },
        condemned=list(found.condemned),
        slips=list(found.slips),
        misread=list(found.misread),
        tests=[_test(one) for one in found.looked],
    )  # fmt: skip


def _test(one: Looked) -> dict[str, object]:
    return {
        "step": one.test.step,
        "shown": one.test.shown or one.test.sight.word or one.test.sight.number,
        "bits": None if one.bits is None else round(one.bits, 3),
        "minutes": round(one.minutes, 2),
        "best": one.best,
        "best_bits": round(one.best_bits, 3),
        "likely": [{"finding": name, "share": round(share, 4)} for name, share in one.likely],
    }
