"""What the lines of a journal tell of the job as a whole. Pure: journal lines in, values out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.record.lines import Addendum as Added
from voiceassist.record.lines import (
    End,
    Fact,
    Finding,
    FindingWithdrawn,
    Line,
    Session,
    Summary,
    of_kind,
)
from voiceassist.record.webvtt import one_line

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
    return tuple(
        Addendum(line.seq, line.at, line.by or "unknown", line.words)
        for line in of_kind(lines, Added)
    )


def text(line: Mapping[str, object], name: str) -> str:
    """The field ``name`` on one line; empty when there is none."""
    return one_line(str(line.get(name) or ""))


def facts(lines: Sequence[Line]) -> dict[str, str]:
    """What is known of the job: as opened, and as said since."""
    opened = next(of_kind(lines[:1], Session), None)
    given = {str(n): str(v) for n, v in opened.facts.items()} if opened else {}
    return given | {line.name: line.value for line in of_kind(lines, Fact)}


def fact(known: Mapping[str, str], name: str) -> str:
    """The fact ``name`` however its owner wrote it: "repair order", "Repair-Order"."""
    found = [value for key, value in known.items() if plain_name(key) == name]
    return one_line(found[-1]) if found else ""


def complaint(lines: Sequence[Line]) -> str:
    """The complaint: as summed up, else as told when the job was opened, else the title."""
    if summed := summed_up(lines, "complaint"):
        return summed
    opened = next(of_kind(lines[:1], Session), None)
    return fact(facts(lines), "complaint") or (opened.title if opened else "")


def summed_up(lines: Sequence[Line], name: str) -> str:
    """A sentence of the closing summary; empty before the job is closed."""
    found = [text(line, name) for line in of_kind(lines, Summary)]
    return found[-1] if found else ""


def outcome(lines: Sequence[Line]) -> str:
    """The outcome as the engine names it; empty when the session has not ended.

    Journals of earlier versions say "found" where nothing wrong was found.
    """
    told = next((line.outcome for line in of_kind(lines, End)), "")
    if told == "found" and any(map(is_no_fault, findings(lines)[-1:])):
        return "no-fault"
    return told


def is_no_fault(finding: Finding) -> bool:
    """Whether a finding blames nothing; earlier versions did not say so."""
    told = finding.no_fault
    return told if isinstance(told, bool) else finding.name in _NO_FAULT


def findings(lines: Sequence[Line]) -> list[Finding]:
    """The findings that were not withdrawn."""
    found: list[Finding] = []
    for line in lines:
        match line:
            case Finding():
                found.append(line)
            case FindingWithdrawn():
                found = [each for each in found if each.name != line.name]
            case _:
                pass
    return found


def plain_name(name: str) -> str:
    """The name of a fact as it is compared: "Repair-Order" and "repair order" are one."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())
