"""What the lines of a journal tell of the job as a whole. Pure: journal lines in, values out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.record.webvtt import one_line

Line = Mapping[str, object]

ADDENDUM = "addendum"
#: How the shipped procedures of earlier versions called findings at which nothing is wrong.
_NO_FAULT = frozenset({"no-fault", "good"})


@dataclass(frozen=True, slots=True)
class Addendum:
    """What somebody added to a kept session afterwards.

    Parts:
        seq, at: number and time of its line in the journal.
        by: who, by the account that the program ran in.
        words: what was added.
    """

    seq: int
    at: str
    by: str
    words: str


def addenda(lines: Sequence[Line]) -> tuple[Addendum, ...]:
    """All that was added, in order."""
    found = (line for line in lines if line["event"] == ADDENDUM)
    return tuple(
        Addendum(_seq(line), text(line, "at"), text(line, "by") or "unknown", text(line, "words"))
        for line in found
    )


def _seq(line: Line) -> int:
    seq = line.get("seq")
    return seq if isinstance(seq, int) else 0


def text(line: Line, name: str) -> str:
    """The field ``name`` on one line; empty when there is none."""
    return one_line(str(line.get(name) or ""))


def facts(lines: Sequence[Line]) -> dict[str, str]:
    """What is known of the job: as opened, and as said since."""
    opened = lines[0].get("facts") if lines else None
    given = {str(n): str(v) for n, v in opened.items()} if isinstance(opened, Mapping) else {}
    said = [line for line in lines if line["event"] == "fact"]
    return given | {text(line, "name"): text(line, "value") for line in said}


def fact(known: Mapping[str, str], name: str) -> str:
    """The fact ``name`` however its owner wrote it: "repair order", "Repair-Order"."""
    found = [value for key, value in known.items() if plain_name(key) == name]
    return one_line(found[-1]) if found else ""


def complaint(lines: Sequence[Line]) -> str:
    """The complaint: as summed up, else as told when the job was opened, else the title."""
    if summed := summed_up(lines, "complaint"):
        return summed
    return fact(facts(lines), "complaint") or text(lines[0], "title")


def summed_up(lines: Sequence[Line], name: str) -> str:
    """A sentence of the closing summary; empty before the job is closed."""
    found = [text(line, name) for line in lines if line["event"] == "summary"]
    return found[-1] if found else ""


def outcome(lines: Sequence[Line]) -> str:
    """The outcome as the engine names it; empty when the session has not ended.

    Journals of earlier versions say "found" where nothing wrong was found.
    """
    told = next((text(line, "outcome") for line in lines if line["event"] == "end"), "")
    if told == "found" and any(map(is_no_fault, findings(lines)[-1:])):
        return "no-fault"
    return told


def is_no_fault(finding: Line) -> bool:
    """Whether the finding of a "finding" line blames nothing; earlier versions did not say so."""
    told = finding.get("no_fault")
    return told if isinstance(told, bool) else finding.get("name") in _NO_FAULT


def findings(lines: Sequence[Line]) -> list[Line]:
    """The findings that were not withdrawn."""
    found: list[Line] = []
    for line in lines:
        if line["event"] == "finding":
            found.append(line)
        elif line["event"] == "finding-withdrawn":
            found = [each for each in found if each.get("name") != line.get("name")]
    return found


def because(line: Line) -> list[str]:
    """The readings that prove a finding, as it quotes them."""
    quoted = line.get("because")
    return [one_line(str(reason)) for reason in quoted] if isinstance(quoted, list) else []


def plain_name(name: str) -> str:
    """The name of a fact as it is compared: "Repair-Order" and "repair order" are one."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())
