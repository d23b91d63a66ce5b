"""What a single journal line tells, in words. Pure: a line in, values out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.page.reading_rows import ReadingRow, capital, label
from voiceassist.record.fields import Part
from voiceassist.record.lines import (
    AccountLine,
    Acknowledged,
    Addendum,
    AdviceGiven,
    AskLine,
    CautionLine,
    Condition,
    Done,
    End,
    FactLine,
    FindingLine,
    FindingWithdrawnLine,
    Heard,
    InstructorNote,
    InterruptedLine,
    Line,
    NoMoreLine,
    NoReplyLine,
    NoteLine,
    ParkedLine,
    Picture,
    ReadingLine,
    RejudgedLine,
    Repaired,
    ResumedLine,
    ReturnedLine,
    SessionLine,
    Skipped,
    TimeUpLine,
    VerdictLine,
    WithdrawnLine,
)
from voiceassist.record.pauses import away_s
from voiceassist.record.said import meaning_words, understood
from voiceassist.record.webvtt import one_line

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
    row: ReadingRow | None = None


def items(line: Line, rows: Mapping[int, ReadingRow]) -> list[Item]:
    """What a line tells: nothing when it is told elsewhere or by the line before.

    Args:
        line: of the journal.
        rows: readings by the number of their line.
    """
    row = rows.get(line.seq)
    if row is not None and isinstance(line, ReadingLine | VerdictLine):
        return [_reading(row, line)]
    what, text, note = _told(line)
    return [Item(line.at, what, text, note)] if text or note else []


def _reading(row: ReadingRow, line: ReadingLine | VerdictLine) -> Item:
    what = "Corrected" if isinstance(line, ReadingLine) and line.corrects else "Reading"
    if not row.measured.counts and isinstance(line, VerdictLine):
        what = "Refused"
    remark = "" if row.measured.verdict == "pass" else row.remark
    return Item(line.at, what, row.measured.shown, remark, row)


def _told(line: Line) -> Told:
    """What is told of a line by its kind; any other is told by its own words."""
    for tell in (_of_words, _of_the_work, _of_the_session):
        if (item := tell(line)) is not None:
            return item
    return "Said", line.text, ""


def _of_words(line: Line) -> Told | None:
    """What was said, and what the vehicle is to be like."""
    item: Told | None = None
    match line:
        case Heard():
            item = "Heard", line.words or "(no words)", heard_note(line)
        case AskLine():
            item = "Asked", line.text, ""
        case Condition(met=True):
            item = "Set", f"{line.name}: {line.state}", ""
        case Condition():
            item = "Condition", line.text, ""
        case CautionLine():
            item = "Caution", line.text, "to be acknowledged" if line.acknowledge else ""
        case Acknowledged():
            item = "Understood", f"caution {_joined(line.names)}", ""
        case NoteLine():
            item = "Note", line.words, "" if line.verified else "as heard, not verified"
        case InstructorNote():
            item = "Instructor's note", line.words, f"by {line.by}"
        case FactLine():
            item = "Job fact", f"{line.name}: {line.value}", line.warning
        case AdviceGiven():
            item = "Advice", line.text, ""
        case _:
            pass
    return item


def _of_the_work(line: Line) -> Told | None:
    """What was done and found."""
    item: Told | None = None
    match line:
        case Done():
            item = "Done", capital(line.task), ""
        case Skipped():
            reason = line.reason.replace("-", " ") or "none given"
            item = "Skipped", line.text, f"reason: {reason}"
        case RejudgedLine():
            shown = f"{label(line.step)}: {line.reading}"
            item = "Judged again", shown, f"limit {line.limit}: {line.verdict}"
        case WithdrawnLine():
            item = "Taken back", f"the last result of {label(line.step)}", ""
        case FindingLine():
            item = "Finding", line.text, ""
        case FindingWithdrawnLine():
            item = "Finding withdrawn", line.name.replace("-", " "), ""
        case Addendum():
            item = "Added later", line.words, f"by {line.author}"
        case Picture():
            by = f"added afterwards by {line.by}" if line.by else ""
            item = "Picture", line.caption or line.file, by
        case _:
            pass
    return item


def _of_the_session(line: Line) -> Told | None:
    """What befell the session and its record; some lines are told elsewhere."""
    item: Told | None = None
    match line:
        case SessionLine() | AccountLine() | VerdictLine():
            item = "", "", ""
        case Repaired():
            item = "Break", f"the record broke off; {line.bytes} bytes were not whole", ""
        case ReturnedLine():
            item = "Break", f"the session was cut off for {round(away_s(line))} s", ""
        case ResumedLine():
            item = "Went on", line.text, ""
        case InterruptedLine():
            unheard = f"caution not heard: {_joined(line.unheard)}" if line.unheard else ""
            item = "Cut in", "the assistant was cut short", unheard
        case TimeUpLine():
            over = "was not waited for" if line.unwaited else "is over"
            item = "Time", f"the time of the step {over}", ""
        case NoReplyLine():
            item = "Time", "no answer came", ""
        case NoMoreLine():
            item = "Time", "the input ended", ""
        case ParkedLine():
            item = "Parked", line.text, ""
        case End():
            item = "Closed", line.text, ""
        case _:
            pass
    return item


def heard_note(line: Heard) -> str:
    """What words were taken for and how surely; what else they could have been when in doubt."""
    taken = understood(line)
    if line.certain:
        return f"{taken}, typed"
    others = list(_others(line)) if line.decision not in {"", "accept"} else []
    return f"{taken}; heard as {', '.join(others)}" if others else taken


def _others(line: Heard) -> Iterator[str]:
    for one in line.candidates:
        meant = " or ".join(meaning_words(each) for each in _objects(one.get("meanings")))
        words = one_line(str(one.get("words") or ""))
        yield f"“{words}” ({meant or 'nothing'}, {one.get('probability')})"


def _objects(listed: object) -> list[Part]:
    found = listed if isinstance(listed, list | tuple) else ()
    return [one for one in found if isinstance(one, Mapping)]


def _joined(names: Sequence[str]) -> str:
    return ", ".join(name.replace("-", " ") for name in names)
