"""The report of a session in plain text. Pure: journal lines in, text out."""

from collections.abc import Iterator, Mapping, Sequence

from voiceassist.record.chain import Entry

Line = Mapping[str, object]

_OUTCOMES = {
    "repaired": "repaired, and the repair proved",
    "not-proved": "repair not proved",
    "found": "cause found, no repair recorded",
    "stopped": "stopped before a finding",
}
NOTICE = (
    "The vehicle maker's instructions, local rules and licensed practice come first. "
    "The limits used here are not service data unless their source says so."
)


def report(entries: Sequence[Entry]) -> str:
    """The report; it says so when the session has not ended."""
    lines = [entry.to_json() for entry in entries]
    return "\n".join(_parts(lines, entries)) + "\n" if entries else ""


def _parts(lines: Sequence[Line], entries: Sequence[Entry]) -> Iterator[str]:
    head = lines[0]
    yield str(head.get("title", ""))
    yield "=" * len(str(head.get("title", "")))
    yield from _facts(head)
    yield f"begun: {head['at']}"
    yield f"last line: {lines[-1]['at']}"
    yield f"outcome: {_outcome(lines)}"
    yield from _findings(lines)
    yield "\nReadings"
    yield from _readings(lines)
    yield "\nCautions acknowledged"
    yield from _acknowledged(lines)
    yield f"\nSource of limits: {head.get('source', '')}\n{NOTICE}"
    yield f"Journal: {entries[-1].seq} lines, last SHA-256 {entries[-1].hash}"


def _facts(head: Line) -> Iterator[str]:
    facts = head.get("facts")
    if isinstance(facts, Mapping):
        yield from (f"{name}: {value}" for name, value in facts.items())
    yield f"procedure: {head.get('procedure')} (SHA-256 {head.get('procedure_sha256')})"


def _outcome(lines: Sequence[Line]) -> str:
    ends = [str(line.get("outcome")) for line in lines if line["event"] == "end"]
    return _OUTCOMES.get(ends[-1], ends[-1]) if ends else "the session has not ended"


def _findings(lines: Sequence[Line]) -> Iterator[str]:
    for line in (line for line in lines if line["event"] == "finding"):
        yield f"\nCause: {line['cause']}"
        because = line.get("because")
        if isinstance(because, Sequence):
            yield from (f"  because {reason}" for reason in because)
        yield f"Correction: {line['correction']}"


def _readings(lines: Sequence[Line]) -> Iterator[str]:
    """Each reading that counted, with its verdict; corrected ones are marked, not dropped."""
    for i, line in enumerate(lines):
        if line["event"] != "reading":
            continue
        verdict = lines[i + 1] if i + 1 < len(lines) else {}
        text = f"  {line['step']}: {str(line['text']).rstrip('.')}"
        if verdict.get("event") == "verdict":
            limit = f", limit {verdict['limit']}" if verdict.get("limit") else ""
            text += f" — {verdict['verdict']}{limit}"
        yield text
    yield from (
        f"  {line['step']}: skipped, {line['reason']}"
        for line in lines
        if line["event"] == "skipped"
    )


def _acknowledged(lines: Sequence[Line]) -> Iterator[str]:
    spoken = {line["name"]: line["text"] for line in lines if line["event"] == "caution"}
    seen: dict[object, object] = {}
    for line in (line for line in lines if line["event"] == "acknowledged"):
        names = line.get("names")
        assert isinstance(names, Sequence)
        for name in names:
            seen.setdefault(name, line["at"])
    yield from (f"  {at}  {spoken.get(name, name)}" for name, at in seen.items())
    if not seen:
        yield "  none"
