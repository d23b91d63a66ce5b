"""What a single journal line tells, in words. Pure: a line in, values out."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from voiceassist.page.proofs import Proof, capital, label
from voiceassist.record import job
from voiceassist.record.pauses import away_s
from voiceassist.record.said import meaning_words, understood

Line = Mapping[str, object]
#: What it is, its words, and what has to be known about them.
Told = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that happened.

    Parts:
        at: when, RFC 3339.
        what: of what kind, in a word or two: "Asked", "Heard", "Reading".
        text: the words.
        note: what has to be known about them, such as what was understood; may be empty.
        row: the reading, when it is one.
    """

    at: str
    what: str
    text: str
    note: str = ""
    row: Proof | None = None


def items(line: Line, rows: Mapping[int, Proof]) -> list[Item]:
    """What a line tells: nothing when it is told elsewhere or by the line before.

    Args:
        line: of the journal.
        rows: readings by the number of their line.
    """
    seq = line.get("seq")
    row = rows.get(seq) if isinstance(seq, int) else None
    at, event = str(line["at"]), str(line["event"])
    if row is not None and event in {"reading", "verdict"}:
        return [_reading(at, row, line)]
    what, text, note = _TOLD.get(event, _said)(line)
    return [Item(at, what, text, note)] if text or note else []


def _reading(at: str, row: Proof, line: Line) -> Item:
    what = "Corrected" if line.get("corrects") else "Reading"
    if not row.measured.counts and line["event"] == "verdict":
        what = "Refused"
    told = "" if row.measured.verdict == "pass" else row.told
    return Item(at, what, row.measured.shown, told, row)


def _nothing(line: Line) -> Told:
    return "", "", ""


def _text(what: str) -> Callable[[Line], Told]:
    return lambda line: (what, job.text(line, "text"), "")


_said = _text("Said")


def _heard(line: Line) -> Told:
    return "Heard", job.text(line, "words") or "(no words)", heard_note(line)


def _condition(line: Line) -> Told:
    """A change to make, as it was spoken; one that was made, by its name."""
    if line.get("met"):
        return "Set", f"{job.text(line, 'name')}: {job.text(line, 'state')}", ""
    return "Condition", job.text(line, "text"), ""


def _caution(line: Line) -> Told:
    asked = "to be acknowledged" if line.get("acknowledge") else ""
    return "Caution", job.text(line, "text"), asked


def _acknowledged(line: Line) -> Told:
    return "Understood", f"caution {_joined(line.get('names'))}", ""


def _done(line: Line) -> Told:
    return "Done", capital(job.text(line, "task")), ""


def _note(line: Line) -> Told:
    sure = "" if line.get("verified") else "as heard, not verified"
    return "Note", job.text(line, "words"), sure


def _fact(line: Line) -> Told:
    known = f"{job.text(line, 'name')}: {job.text(line, 'value')}"
    return "Job fact", known, job.text(line, "warning")


def _skipped(line: Line) -> Told:
    reason = job.text(line, "reason").replace("-", " ") or "none given"
    return "Skipped", job.text(line, "text"), f"reason: {reason}"


def _rejudged(line: Line) -> Told:
    shown = f"{label(job.text(line, 'step'))}: {job.text(line, 'reading')}"
    return "Judged again", shown, f"limit {job.text(line, 'limit')}: {job.text(line, 'verdict')}"


def _withdrawn(line: Line) -> Told:
    return "Taken back", f"the last result of {label(job.text(line, 'step'))}", ""


def _finding_withdrawn(line: Line) -> Told:
    return "Finding withdrawn", job.text(line, "name").replace("-", " "), ""


def _repaired(line: Line) -> Told:
    return "Break", f"the record broke off; {line.get('bytes')} bytes were not whole", ""


def _addendum(line: Line) -> Told:
    return "Added later", job.text(line, "words"), f"by {job.text(line, 'by') or 'unknown'}"


def _picture(line: Line) -> Told:
    shown = job.text(line, "caption") or job.text(line, "file")
    by = job.text(line, "by")
    return "Picture", shown, f"added afterwards by {by}" if by else ""


def _returned(line: Line) -> Told:
    return "Break", f"the session was cut off for {round(away_s(line))} s", ""


def _interrupted(line: Line) -> Told:
    unheard = _joined(line.get("unheard"))
    note = f"caution not heard: {unheard}" if unheard else ""
    return "Cut in", "the assistant was cut short", note


#: Kind of line -> what it tells; any other is told by its own words.
_TOLD: Mapping[str, Callable[[Line], Told]] = MappingProxyType(
    {
        "session": _nothing,
        "summary": _nothing,
        "listen": _nothing,
        "verdict": _nothing,
        "heard": _heard,
        "ask": _text("Asked"),
        "condition": _condition,
        "caution": _caution,
        "acknowledged": _acknowledged,
        "done": _done,
        "note": _note,
        "fact": _fact,
        "skipped": _skipped,
        "rejudged": _rejudged,
        "withdrawn": _withdrawn,
        "finding": _text("Finding"),
        "finding-withdrawn": _finding_withdrawn,
        "addendum": _addendum,
        "picture": _picture,
        "repaired": _repaired,
        "returned": _returned,
        "resumed": _text("Went on"),
        "interrupted": _interrupted,
        "time-up": lambda line: ("Time", "the time of the step is over", ""),
        "no-reply": lambda line: ("Time", "no answer came", ""),
        "no-more": lambda line: ("Time", "the input ended", ""),
        "end": _text("Closed"),
    }
)


def heard_note(line: Line) -> str:
    """What words were taken for and how surely; what else they could have been when in doubt."""
    taken = understood(line)
    if line.get("certain"):
        return f"{taken}, typed"
    others = list(_others(line)) if line.get("decision") not in (None, "accept") else []
    return f"{taken}; heard as {', '.join(others)}" if others else taken


def _others(line: Line) -> Iterator[str]:
    for one in _objects(line.get("candidates")):
        meant = " or ".join(meaning_words(each) for each in _objects(one.get("meanings")))
        yield f"“{job.text(one, 'words')}” ({meant or 'nothing'}, {one.get('probability')})"


def _objects(listed: object) -> list[Line]:
    found = listed if isinstance(listed, list | tuple) else ()
    return [one for one in found if isinstance(one, Mapping)]


def _joined(names: object) -> str:
    found = names if isinstance(names, list | tuple) else ()
    return ", ".join(str(name).replace("-", " ") for name in found)
