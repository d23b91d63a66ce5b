"""The transcript of a session: WebVTT with voices, and plain text. Pure: lines in, text out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from voiceassist.record.entry import Entry, lines_of
from voiceassist.record.read_session import ReadSession
from voiceassist.record.said import RECORD, Cue, cues
from voiceassist.record.webvtt import one_line, timestamp, webvtt_file


@dataclass(frozen=True)
class Transcript:
    """The transcript of ``entries``, in whichever form; what is asked of them is gathered once."""

    entries: Sequence[Entry]

    @cached_property
    def read(self) -> ReadSession:
        """The session in them."""
        return ReadSession(lines_of(self.entries))

    @cached_property
    def cues(self) -> Sequence[Cue]:
        """Who said what, and when."""
        return cues(self.entries)

    def webvtt(self) -> str:
        """As a WebVTT file; what the technician's words were taken for in brackets."""
        spoken = [cue for cue in self.cues if cue.who != RECORD]
        return webvtt_file(_head(self.entries), spoken)

    def plain_text(self) -> str:
        """As plain text: hours, minutes and seconds, who, what, taken for what."""
        lines = [one_line(line) for line in _head(self.entries)]
        for cue in self.cues:
            lines += ["", *_said(cue)] if cue.understood else _said(cue)
        return "".join(f"{line}\n" for line in lines)


def _said(cue: Cue) -> Iterator[str]:
    yield f"{timestamp(cue.start_s)}  {cue.who:<10}  {one_line(cue.text)}"
    if cue.understood:
        yield f"{'':12}  {'':10}  ({one_line(cue.understood)})"


def _head(entries: Sequence[Entry]) -> Iterator[str]:
    """Procedure, facts of the job, when it began, and the last hash."""
    if not entries:
        return
    first = entries[0].fields
    yield f"{first.get('title') or ''} ({first.get('procedure') or 'no procedure'})"
    facts = first.get("facts")
    if isinstance(facts, Mapping):
        yield from (f"{name}: {value}" for name, value in facts.items())
    yield f"begun: {first['at']}"
    yield f"journal: {len(entries)} lines, last SHA-256 {entries[-1].hash}"
