"""Who said what and when, from the lines of a journal. Pure: lines in, cues out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.record.entry import Entry
from voiceassist.record.fields import Part
from voiceassist.record.lines import Addendum, Heard, Repaired, SessionLine

TECHNICIAN, ASSISTANT, RECORD = "Technician", "Assistant", "Record"
#: A cue that has no length, such as a typed line, is shown for so long.
_SHOWN_S = 1.0
#: No session lasts thirty years; a line that says so carries no time.
_MOST_S = 1e9
#: How an answer is called that is for the vehicle of a rehearsal.
_WISH = "wish "


@dataclass(frozen=True, slots=True)
class Cue:
    """One thing said.

    Parts:
        who: TECHNICIAN or ASSISTANT; RECORD for what the record tells of itself.
        text: the words, as heard or spoken.
        start_s, end_s: seconds from the beginning of the session; end after start.
        understood: what the words were taken for; empty when they were not the technician's.
    """

    who: str
    text: str
    start_s: float
    end_s: float
    understood: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.start_s < self.end_s:
            raise ValueError(f"a cue cannot last from {self.start_s} s to {self.end_s} s")


def cues(entries: Sequence[Entry]) -> tuple[Cue, ...]:
    """All that was said, in order of its beginning."""
    found = []
    for entry, (start_s, end_s) in zip(entries, _places(entries), strict=True):
        who, text, understood = _content(entry)
        if text:
            found.append(Cue(who, text, start_s, end_s, understood))
    return tuple(sorted(found, key=lambda cue: cue.start_s))


def _content(entry: Entry) -> tuple[str, str, str]:
    line = entry.typed
    match line:
        case Heard():
            return TECHNICIAN, line.words or "(no words)", understood(line)
        case Repaired():
            return RECORD, _repaired(line), ""
        case Addendum():
            return RECORD, f"Added later by {line.author}: {line.words}", ""
        case SessionLine():
            return ASSISTANT, "", ""
        case _:
            return ASSISTANT, line.text, ""


def _repaired(line: Repaired) -> str:
    return (
        f"The record breaks off here; {line.bytes} bytes that were not whole"
        f" are kept in {line.kept_in}."
    )


# --- when ---


def _places(entries: Sequence[Entry]) -> Iterator[tuple[float, float]]:
    """Start and end of each line in seconds.

    A line that carries none (typed or silent sessions) is placed by its ``at``, counted from
    the last line that carries one, and never after the next one: time between a break and
    the resumption of a session is not part of it.
    """
    if not entries:
        return
    limits = _next_starts(entries)
    zero_s, zero_at, last = 0.0, entries[0].at, 0.0
    for entry, limit in zip(entries, limits, strict=True):
        start = _seconds(entry.typed.start_s)
        if start is None:
            passed = (entry.at - zero_at).total_seconds()
            start = max(last, min(zero_s + max(0.0, passed), limit))
        else:
            zero_s, zero_at = start, entry.at
        end = _seconds(entry.typed.end_s)
        if end is None or round(end, 3) <= round(start, 3):
            end = start + _SHOWN_S
        last = start
        yield start, end


def _next_starts(entries: Sequence[Entry]) -> list[float]:
    limits, limit = [], float("inf")
    for entry in reversed(entries):
        start = _seconds(entry.typed.start_s)
        limit = limit if start is None else start
        limits.append(limit)
    return limits[::-1]


def _seconds(value: float | None) -> float | None:
    return None if value is None or value > _MOST_S else max(0.0, value)


# --- what it was taken for ---


def understood(line: Heard) -> str:
    """What words were taken for, and how surely: never surer than it was."""
    meanings = [meaning_words(m) for m in line.meanings]
    if line.let_pass:
        return "not answered: said to others"
    if not meanings:
        return f"not understood: {line.reason}" if line.reason else "not understood"
    alone = len(meanings) == 1 and not line.doubtful
    if str(line.meanings[0].get("name") or "").startswith(_WISH):
        return "meant for the simulated vehicle"
    taken = "understood as " if alone else "could be "
    probability = line.get("probability")
    sure = "" if probability is None else f", probability {probability}"
    return taken + " or ".join(meanings) + sure


def _objects(value: object) -> list[Part]:
    listed = value if isinstance(value, list | tuple) else [value]
    return [one for one in listed if isinstance(one, Mapping)]


def meaning_words(meaning: Part) -> str:
    """A meaning, as its JSON object has it, for people: "12.1 V to 12.4 V"."""
    if meaning.get("correction"):
        return f"correction to {meaning_words({**meaning, 'correction': False})}"
    if "low" in meaning and "high" in meaning:
        return " to ".join(
            meaning_words(end) for end in _objects([meaning["low"], meaning["high"]])
        )
    if "readings" in meaning:
        return ", ".join(meaning_words(one) for one in _objects(meaning["readings"]))
    name = str(meaning.get("name") or "").replace("-", " ")
    rest = [str(meaning.get(part) or "") for part in ("value", "unit", "text")]
    shown = " ".join(part for part in [name, *rest] if part)
    return shown or str(meaning.get("kind") or "").replace("_", " ")
