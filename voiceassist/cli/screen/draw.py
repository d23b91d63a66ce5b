"""From the state of the screen to its picture, as large as it fits. Pure.

Nothing is told by colour alone: signal words, verdicts and states stand there in words. The
colours of the signal words are those of ANSI Z535.4 (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from voiceassist.app.view import EarState
from voiceassist.cli.screen.bars import CLOSE, level_bar, limit_bar
from voiceassist.cli.screen.letters import written_large
from voiceassist.cli.screen.parts import Caution, Condition, Hearing, Outcome, ScreenState

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
_ALMOST = 0.99
_BAD = frozenset({"low", "high"})
#: A bar wider than this is no easier to read.
_WIDEST = 76
#: A level bar narrower than this tells nothing.
_LEAST_LEVEL = 8


class Screen:
    """Draws ``state`` as large as the console is."""

    def __init__(self, state: ScreenState) -> None:
        self._state = state

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        height = options.height or console.height
        yield from picture(console, self._state, options.max_width, height)


def picture(console: Console, state: ScreenState, width: int, height: int) -> Rows:
    """Exactly ``height`` rows of at most ``width`` columns.

    What matters least goes first where there is no room: large letters, then blank rows, then
    the oldest sentences.
    """
    head = [_header(state, width)]
    body, foot = _fitting(console, state, width, height - len(head))
    blank = [Text("")] * max(0, height - len(head) - len(body) - len(foot))
    rows = [*head, *body, *blank, *foot]
    for row in rows:
        row.truncate(width, overflow="ellipsis")
    return rows[len(rows) - height :]


def _fitting(console: Console, state: ScreenState, width: int, room: int) -> tuple[Rows, Rows]:
    """Middle and foot, the largest that fit; a foot that does not fit alone is cut from below."""
    for size in _SIZES:
        body = _body(console, state, width, size)
        foot = _foot(console, state, width, large=size.outcome)
        if len(body) + len(foot) <= room:
            return body, foot
    foot = foot[: max(0, room - 1)] if len(foot) >= room else foot
    return _last(body, room - len(foot)), foot


def _last(rows: Rows, room: int) -> Rows:
    return rows[len(rows) - room :] if room > 0 else []


def _header(state: ScreenState, width: int) -> Text:
    clock = f"{state.elapsed_s // 60}:{state.elapsed_s % 60:02}"
    title = Text(state.title or "voiceassist", style="bold")
    title.truncate(width - len(clock) - 2, overflow="ellipsis")
    gap = width - cell_len(title.plain) - len(clock)
    return title + Text(" " * gap + clock)


# --- the middle: caution, step, what to do ---


@dataclass(frozen=True, slots=True)
class _Size:
    """How large a picture is tried.

    Parts:
        task: lines of large letters that what is asked for may take.
        step, outcome: the step's name, the reading and its verdict in large letters.
        airy: blank rows between the parts.
    """

    task: int = 0
    step: bool = False
    outcome: bool = False
    airy: bool = False


_SIZES = (
    _Size(4, step=True, outcome=True, airy=True),
    _Size(3, step=True, airy=True),
    _Size(2, step=True, airy=True),
    _Size(step=True, airy=True),
    _Size(step=True),
    _Size(airy=True),
    _Size(),
)


def _body(console: Console, state: ScreenState, width: int, size: _Size) -> Rows:
    parts = [
        _step(state, width, large=size.step),
        *(_caution(console, each, width, large=size.step) for each in state.cautions),
        _wrapped(console, state.said, width, ""),
        _task(console, state, width, size.task),
        _finding(console, state, width),
    ]
    blank = [Text("")] if size.airy else []
    return [row for part in parts if part for row in (*blank, *part)]


def _step(state: ScreenState, width: int, *, large: bool) -> Rows:
    name = state.step.replace("-", " ")
    if not name:
        return []
    rows = written_large(name, width, 2) if large else None
    return [Text(row, style="bold") for row in rows or [name.upper()]]


def _caution(console: Console, caution: Caution, width: int, *, large: bool) -> Rows:
    """Prominent until it is acknowledged; a reminder after that."""
    style = _SIGNALS.get(caution.signal, "bold reverse")
    if not caution.waits:
        told = f"{caution.signal}: {' '.join(caution.sentences)}"
        rows = _wrapped(console, [told], width, "")
        for row in rows[:1]:
            row.stylize(style, 0, len(caution.signal))
        return rows
    rows = _signal(caution.signal, width, style, large=large)
    return rows + _wrapped(console, caution.sentences, width, "bold")


def _signal(word: str, width: int, style: str, *, large: bool) -> Rows:
    """The signal word on a panel as wide as the screen."""
    letters = written_large(word, width - 6) if large else None
    rows = [f"  {row}" for row in letters] if letters else [f"  {word}"]
    return [Text(row.ljust(width), style=style) for row in rows]


def _task(console: Console, state: ScreenState, width: int, large: int) -> Rows:
    """What is asked for; its first sentence large where there is room."""
    if not state.task:
        return []
    rows = written_large(state.task[0], width, large) if large else None
    if rows is None:
        return _wrapped(console, state.task, width, "bold")
    first = [Text(row, style="bold") for row in rows]
    return first + _wrapped(console, state.task[1:], width, "")


def _finding(console: Console, state: ScreenState, width: int) -> Rows:
    cause, correction = state.finding
    if any(cause in sentence for sentence in state.said):
        return []  # it was told just now, with all its reasons
    told = [f"Finding: {cause}." if cause else "", f"To do: {correction}." if correction else ""]
    return _wrapped(console, [each for each in told if each], width, "bold")


def _wrapped(console: Console, sentences: Sequence[str], width: int, style: str) -> Rows:
    """One thought a line, longer ones on several."""
    return [
        row
        for sentence in sentences
        for row in Text(sentence, style=style).wrap(console, width, no_wrap=False)
    ]


# --- the foot: what was heard, the reading, the vehicle, the microphone ---


def _foot(console: Console, state: ScreenState, width: int, *, large: bool) -> Rows:
    line = Text("─" * width, style="dim")
    rows = [line, _heard(state.heard)] if state.heard else [line]
    if state.outcome:
        rows += _outcome(state.outcome, width, large=large)
    rows += _conditions(console, state.conditions, width)
    if state.notice:
        rows += _wrapped(console, [f"! {state.notice}"], width, "bold")
    return [*rows, _status(state, width)]


def _heard(heard: Hearing) -> Text:
    row = Text("Heard: ") + Text(heard.words or "(no words)", style="bold")
    if heard.certain:
        row.append("  typed")
    elif heard.probability is not None:
        row.append(f"  {_sure(heard.probability)}")
    return row.append(f"  ({heard.doubt})") if heard.doubt else row


def _sure(probability: float) -> str:
    """In whole percent; nothing is ever quite sure."""
    return f"{int(probability * 100)}% sure" if probability < _ALMOST else "over 99% sure"


def _outcome(outcome: Outcome, width: int, *, large: bool) -> Rows:
    told = f"{outcome.shown}: {_verdict(outcome)}" if outcome.verdict else outcome.shown
    rows = written_large(told, width) if large else None
    return [Text(row, style="bold") for row in rows or ()] + _beside_limit(outcome, width)


def _beside_limit(outcome: Outcome, width: int) -> Rows:
    head = Text(f"{outcome.step.replace('-', ' ')}: ") + Text(outcome.shown, style="bold")
    if outcome.verdict:
        head.append("  ").append(f" {_verdict(outcome)} ", style="bold reverse")
    if outcome.limit:
        head.append(f"  limit {outcome.limit}")
    if outcome.scale is None:
        return [head]
    pointer, bar, marks = limit_bar(outcome.scale, outcome.shown, min(width, _WIDEST))
    close = f"  {CLOSE} too close to call" if CLOSE in bar else ""
    fits = cell_len(marks + close) <= width
    return [head, Text(pointer, style="bold"), Text(bar), Text(marks + close if fits else marks)]


def _verdict(outcome: Outcome) -> str:
    return f"TOO {outcome.verdict.upper()}" if outcome.verdict in _BAD else outcome.verdict.upper()


def _conditions(console: Console, conditions: Sequence[Condition], width: int) -> Rows:
    if not conditions:
        return []
    told = (
        f"{each.name} {each.state}" if each.met else f"{each.name} → {each.state}"
        for each in conditions
    )
    return _wrapped(console, ["Vehicle: " + "; ".join(told)], width, "")


def _status(state: ScreenState, width: int) -> Text:
    """What it does now, and how loud the microphone is."""
    doing = _doing(state)
    row = Text(f"{_MARKS.get(doing, '■')} {doing}".ljust(15), style="bold")
    if state.sound is None:
        return row
    sound = state.sound
    told = f" {sound.rms_dbfs} dB, noise {sound.noise_dbfs} dB"
    told += "  TOO LOUD" if sound.clipped else ""
    left = width - len(row) - len("mic ") - len(told)
    bar = level_bar(sound.rms_dbfs, sound.noise_dbfs, min(left, 40)) if left >= _LEAST_LEVEL else ""
    return row.append("mic " + bar + told, style="not bold")


def _doing(state: ScreenState) -> str:
    if state.end:
        return f"closed: {state.end}"
    if state.ears in {EarState.HEARING, EarState.THINKING}:
        return _EARS[state.ears]
    if state.speaking:
        return "speaking"
    return _EARS[state.ears] or "waiting"
