"""Cues as a WebVTT file. Pure: cues in, text out.

Source: W3C, "WebVTT: The Web Video Text Tracks Format", section 4 (syntax): a first line
``WEBVTT``, then blocks with blank lines between; cue times ``hh:mm:ss.mmm --> hh:mm:ss.mmm``
with the end after the start and starts in order; ``&`` and ``<`` escaped in cue text; no
``-->`` in cue text or notes; ``<v Name>`` names the voice.
"""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voiceassist.record.said import Cue

#: Controls, lone surrogates, and the separators of lines and paragraphs: they show nothing,
#: and some readers of WebVTT break lines at them.
UNSHOWN = frozenset({"Cc", "Cs", "Zl", "Zp"})
_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})


def webvtt_file(notes: Iterable[str], cues: Sequence["Cue"]) -> str:
    """The file: ``notes`` as one NOTE block, a line each, then ``cues``, which are in order."""
    lines = [one_line(note).replace("-->", "→") for note in notes]
    note = ["NOTE\n" + "\n".join(line for line in lines if line)] if any(lines) else []
    blocks = [_block(number, cue) for number, cue in enumerate(cues, 1)]
    return "\n\n".join(["WEBVTT", *note, *blocks]) + "\n"


#: Controls that turn the order of what follows: U+202A to 202E, U+2066 to 2069 (Unicode, UAX 9).
_TURNING = {n: f"<U+{n:04X}>" for n in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))}


def marked(text: str) -> str:
    """``text`` with marks in place of the controls that would show it in another order."""
    return text.translate(_TURNING)


def one_line(text: str) -> str:
    """``text`` on one line: what cannot be shown and every line break become single spaces."""
    plain = text
    if not text.isprintable():  # true of all that is left as it is, and quickly told
        plain = "".join(" " if unicodedata.category(c) in UNSHOWN else c for c in marked(text))
    return (re.sub(" {2,}", " ", plain) if "  " in plain else plain).strip(" ")


def shortened(text: str, most: int, instead: str = "…") -> str:
    """``text`` in ``most`` signs, with ``instead`` in place of the end that is cut off."""
    return text if len(text) <= most else text[: most - len(instead)].rstrip() + instead


def timestamp(seconds: float) -> str:
    """``seconds`` (0 or more) as "00:01:02.345"; hours grow beyond two digits when they must."""
    whole, thousandths = divmod(round(seconds * 1000), 1000)
    minutes, second = divmod(whole, 60)
    return f"{minutes // 60:02}:{minutes % 60:02}:{second:02}.{thousandths:03}"


def _block(number: int, cue: "Cue") -> str:
    times = f"{timestamp(cue.start_s)} --> {timestamp(cue.end_s)}"
    said = f"<v {cue.who}>{one_line(cue.text).translate(_ESCAPES)}"
    taken = f"\n({one_line(cue.understood).translate(_ESCAPES)})" if cue.understood else ""
    return f"{number}\n{times}\n{said}{taken}"
