"""Pieces that every picture has: cautions, what was heard, the vehicle, the microphone. Pure.

The colours of the signal words are those of ANSI Z535.4 (from memory).
"""

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from voiceassist.app.view import EarState, ShownCaution, ShownCondition, ShownWords
from voiceassist.cli.screen.bars import level_bar
from voiceassist.cli.screen.letters import written_large
from voiceassist.cli.screen.parts import ScreenState

Rows = list[Text]

_SIGNALS = {
    "DANGER": "bold white on red",
    "WARNING": "bold black on orange1",
    "CAUTION": "bold black on yellow",
    "NOTICE": "bold white on blue",
}
_EARS = {
    EarState.LISTENING: "listening",
    EarState.HEARING: "hearing you",
    EarState.THINKING: "thinking",
    EarState.IDLE: "",
}
_MARKS = {"speaking": "◁", "listening": "●", "hearing you": "◉", "thinking": "…"}
#: A level bar narrower than this tells nothing.
_LEAST_LEVEL = 8


def wrapped(console: Console, sentences: Sequence[str], width: int, style: str) -> Rows:
    """One thought a line, longer ones on several."""
    return [
        row
        for sentence in sentences
        for row in Text(sentence, style=style).wrap(console, width, no_wrap=False)
    ]


def caution_rows(console: Console, caution: ShownCaution, width: int, *, large: bool) -> Rows:
    """Prominent until it is acknowledged; a reminder after that."""
    style = _SIGNALS.get(caution.signal, "bold reverse")
    if not caution.waits:
        text = f"{caution.signal}: {' '.join(caution.sentences)}"
        rows = wrapped(console, [text], width, "")
        for row in rows[:1]:
            row.stylize(style, 0, len(caution.signal))
        return rows
    rows = _signal(caution.signal, width, style, large=large)
    return rows + wrapped(console, caution.sentences, width, "bold")


def _signal(word: str, width: int, style: str, *, large: bool) -> Rows:
    """The signal word on a panel as wide as the screen."""
    letters = written_large(word, width - 6) if large else None
    rows = [f"  {row}" for row in letters] if letters else [f"  {word}"]
    return [Text(row.ljust(width), style=style) for row in rows]


def heard_row(heard: ShownWords) -> Text:
    """What was heard last, and how surely."""
    row = Text("Heard: ") + Text(heard.words or "(no words)", style="bold")
    if heard.sure:
        row.append(f"  {heard.sure}")
    return row.append(f"  ({heard.doubt})") if heard.doubt else row


def vehicle_rows(console: Console, conditions: Sequence[ShownCondition], width: int) -> Rows:
    """The states of the vehicle; an arrow where one is to be brought about."""
    if not conditions:
        return []
    states = "; ".join(each.told for each in conditions)
    return wrapped(console, [f"Vehicle: {states}"], width, "")


def status_row(state: ScreenState, width: int) -> Text:
    """What it does now, and how loud the microphone is."""
    doing = _doing(state)
    row = Text(f"{_MARKS.get(doing, '■')} {doing}".ljust(15), style="bold")
    if state.sound is None:
        return row
    sound = state.sound
    levels = f" {sound.rms_dbfs} dB, noise {sound.noise_dbfs} dB"
    levels += "  TOO LOUD" if sound.clipped else ""
    left = width - len(row) - len("mic ") - len(levels)
    bar = level_bar(sound.rms_dbfs, sound.noise_dbfs, min(left, 40)) if left >= _LEAST_LEVEL else ""
    return row.append("mic " + bar + levels, style="not bold")


def _doing(state: ScreenState) -> str:
    if state.end:
        return f"closed: {state.end}"
    if state.ears in {EarState.HEARING, EarState.THINKING}:
        return _EARS[state.ears]
    if state.speaking:
        return "speaking"
    return _EARS[state.ears] or "waiting"
