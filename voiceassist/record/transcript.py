"""The transcript of a session: WebVTT with voices, and plain text. Pure: lines in, text out.

WebVTT: W3C, "WebVTT: The Web Video Text Tracks Format" (``WEBVTT``, a blank line, then blocks;
``&``, ``<`` and ``-->`` may not stand in cue text as they are).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from voiceassist.record.chain import Entry

Line = Mapping[str, object]

TECHNICIAN, ASSISTANT = "Technician", "Assistant"
#: A cue without sound, such as a typed line, is shown at least so long.
_SHORTEST_S = 1.0


@dataclass(frozen=True, slots=True)
class Cue:
    """One thing said.

    Parts:
        who: TECHNICIAN or ASSISTANT.
        text: in plain characters.
        start_s, end_s: seconds from the beginning of the session; end after start.
    """

    who: str
    text: str
    start_s: float
    end_s: float


def cues(entries: Sequence[Entry]) -> list[Cue]:
    """All that was said, in order of time."""
    if not entries:
        return []
    zero = _time(entries[0].to_json())
    found = [cue for entry in entries if (cue := _cue(entry, zero)) is not None]
    return sorted(found, key=lambda cue: cue.start_s)


def _cue(entry: Entry, zero: datetime) -> Cue | None:
    line = entry.to_json()
    if entry.event == "heard":
        who, text = TECHNICIAN, heard_text(line)
    elif entry.event != "session" and line.get("text"):
        who, text = ASSISTANT, str(line["text"])
    else:
        return None
    start, end = line.get("start_s"), line.get("end_s")
    if not isinstance(start, int | float):
        start = max(0.0, (_time(line) - zero).total_seconds())
    if not isinstance(end, int | float) or round(end, 3) <= round(start, 3):
        end = start + _SHORTEST_S
    return Cue(who, text, float(start), float(end))


def heard_text(line: Line) -> str:
    """What was heard, and what it was understood as: nothing is made to look surer than it was."""
    words = str(line.get("words", ""))
    meanings = line.get("meanings")
    if not words:
        return f"({line.get('reason') or 'nothing heard'})"
    if not meanings:
        return f"{words} (not understood)"
    assert isinstance(meanings, Sequence)
    return f"{words} [{' or '.join(_meaning_text(meaning) for meaning in meanings)}]"


def _meaning_text(meaning: Mapping[str, object]) -> str:
    value, unit, name = meaning.get("value"), meaning.get("unit"), meaning.get("name")
    parts = [str(part) for part in (name, value, unit) if part]
    return " ".join(parts) or str(meaning.get("kind", ""))


def _time(line: Line) -> datetime:
    return datetime.fromisoformat(str(line["at"]))


# --- WebVTT ---


def webvtt(entries: Sequence[Entry]) -> str:
    """The transcript as a WebVTT file."""
    blocks = ["WEBVTT", *_notes(entries)]
    blocks += [_block(i, cue) for i, cue in enumerate(cues(entries), 1)]
    return "\n\n".join(blocks) + "\n"


def _notes(entries: Sequence[Entry]) -> Iterator[str]:
    if not entries:
        return
    head = entries[0].to_json()
    yield f"NOTE\n{_one_line(str(head.get('title', '')))}"
    facts = head.get("facts")
    if isinstance(facts, Mapping) and facts:
        yield "NOTE\n" + "\n".join(_one_line(f"{k}: {v}") for k, v in facts.items())
    yield f"NOTE\nlast line {entries[-1].seq}, SHA-256 {entries[-1].hash}"


def _block(number: int, cue: Cue) -> str:
    times = f"{_stamp(cue.start_s)} --> {_stamp(cue.end_s)}"
    return f"{number}\n{times}\n<v {cue.who}>{_escaped(cue.text)}"


def _stamp(seconds: float) -> str:
    thousandths = round(seconds * 1000)
    minutes, rest = divmod(thousandths, 60_000)
    return f"{minutes // 60:02}:{minutes % 60:02}:{rest // 1000:02}.{rest % 1000:03}"


def _escaped(text: str) -> str:
    flat = _flat(text)
    return flat.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _one_line(text: str) -> str:
    return _flat(text).replace("-->", "->")


def _flat(text: str) -> str:
    """One line, without characters that no player shows."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


# --- plain text ---


def plain_text(entries: Sequence[Entry]) -> str:
    """The transcript as plain text: minutes and seconds, who, what."""
    return "".join(f"{line}\n" for line in _lines(cues(entries)))


def _lines(said: Iterable[Cue]) -> Iterator[str]:
    for cue in said:
        minutes, seconds = divmod(int(cue.start_s), 60)
        yield f"{minutes:02}:{seconds:02}  {cue.who:<10}  {_flat(cue.text)}"
