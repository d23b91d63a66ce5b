"""What the screen shows, as a value: a fold over the lines of a session. Pure."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from voiceassist.app.scale import scale_of
from voiceassist.app.view import Level
from voiceassist.cli.screen.parts import Caution, Condition, Hearing, Outcome, ScreenState, Sound

Line = Mapping[str, object]

_SENTENCE = re.compile(r"(?<=[.?!])\s+")
#: Levels are shown no finer, so that the picture rests while the room does.
_STEP_DB = 2
#: Nothing below it is told apart.
_FLOOR_DB = -80


def shown(state: ScreenState, line: Line) -> ScreenState:
    """``state`` after one more line of the journal; a line of an unknown kind is only spoken."""
    event = str(line.get("event"))
    state = _timed(state, line, event)
    state = _at_step(state, line, event)
    return _FOLDS.get(event, _said)(state, line)


def heard_level(state: ScreenState, level: Level) -> ScreenState:
    """``state`` with the microphone as loud as ``level`` tells."""
    sound = Sound(_step(level.rms_dbfs), _step(level.noise_dbfs), level.speech, level.clipped)
    return replace(state, sound=sound)


def ticked(state: ScreenState, now_s: float) -> ScreenState:
    """``state`` at second ``now_s`` of the session."""
    return replace(state, elapsed_s=int(now_s), speaking=now_s < state.spoken_until_s)


# --- each kind of line ---


def _session(state: ScreenState, line: Line) -> ScreenState:
    return replace(state, title=_text(line, "title"))


def _said(state: ScreenState, line: Line) -> ScreenState:
    return replace(state, said=state.said + _sentences(line))


def _ask(state: ScreenState, line: Line) -> ScreenState:
    limit = _text(line, "limit") or state.limit
    return replace(state, task=_sentences(line) or state.task, limit=limit)


def _heard(state: ScreenState, line: Line) -> ScreenState:
    likely = line.get("probability")
    sure = float(likely) if isinstance(likely, int | float) else None
    heard = Hearing(_text(line, "words"), sure, bool(line.get("certain")), _doubt(line))
    return replace(state, heard=heard, said=(), notice="", fresh=True, spoken_until_s=0.0)


def _doubt(line: Line) -> str:
    if not line.get("meanings"):
        return _text(line, "reason") or "not understood"
    return "not sure" if line.get("doubtful") else ""


def _caution(state: ScreenState, line: Line) -> ScreenState:
    name, signal = _text(line, "name"), _text(line, "signal")
    told = _sentences(line)
    if told:
        hazard = told[0].removeprefix(f"{signal}: ")
        told = (hazard[:1].upper() + hazard[1:], *told[1:])
    new = Caution(name, signal, told, bool(line.get("acknowledge")))
    kept = tuple(each for each in state.cautions if each.name != name)
    return replace(state, cautions=(*kept, new))


def _acknowledged(state: ScreenState, line: Line) -> ScreenState:
    names = line.get("names")
    known = names if isinstance(names, list | tuple) else ()
    cautions = tuple(
        replace(each, waits=each.waits and each.name not in known) for each in state.cautions
    )
    return _said(replace(state, cautions=cautions), line)


def _reading(state: ScreenState, line: Line) -> ScreenState:
    return replace(state, outcome=Outcome(_text(line, "step"), _text(line, "shown")))


def _verdict(state: ScreenState, line: Line) -> ScreenState:
    outcome = Outcome(
        _text(line, "step"),
        _text(line, "reading"),
        _text(line, "verdict"),
        _text(line, "limit"),
        _sentences(line),
        scale_of(line),
    )
    return replace(state, outcome=outcome)


def _withdrawn(state: ScreenState, line: Line) -> ScreenState:
    gone = state.outcome is not None and state.outcome.step == line.get("step")
    return replace(state, outcome=None) if gone else state


def _condition(state: ScreenState, line: Line) -> ScreenState:
    new = Condition(_text(line, "name"), _text(line, "state"), bool(line.get("met")))
    names = [each.name for each in state.conditions]
    if new.name in names:
        conditions = tuple(new if each.name == new.name else each for each in state.conditions)
    else:
        conditions = (*state.conditions, new)
    return _said(replace(state, conditions=conditions), line)


def _finding(state: ScreenState, line: Line) -> ScreenState:
    cause, correction = _text(line, "cause"), _text(line, "correction")
    found = replace(state, finding=(cause, correction), found_at=_text(line, "step"), limit="")
    return _said(found, line)


def _finding_withdrawn(state: ScreenState, line: Line) -> ScreenState:
    return _said(replace(state, finding=("", "")), line)


def _end(state: ScreenState, line: Line) -> ScreenState:
    return replace(_said(state, line), end=_text(line, "outcome"), task=(), limit="", cautions=())


def _notice(state: ScreenState, line: Line) -> ScreenState:
    return replace(state, notice=_text(line, "text") or state.notice)


def _silent(state: ScreenState, _line: Line) -> ScreenState:
    return state


_FOLDS: Mapping[str, Callable[[ScreenState, Line], ScreenState]] = {
    "session": _session,
    "ask": _ask,
    "heard": _heard,
    "caution": _caution,
    "acknowledged": _acknowledged,
    "reading": _reading,
    "verdict": _verdict,
    "withdrawn": _withdrawn,
    "condition": _condition,
    "finding": _finding,
    "finding-withdrawn": _finding_withdrawn,
    "end": _end,
    "device": _notice,
    "noise": _notice,
    "record": _notice,
    "overflow": _notice,
    "summary": _silent,
}

#: Lines that belong to the step under way; a reading or verdict may tell of an earlier one.
_OF_PRESENT_STEP = frozenset({"ask", "caution", "condition", "heard"})


def _at_step(state: ScreenState, line: Line, event: str) -> ScreenState:
    """A new step takes its own cautions and task along."""
    step = _text(line, "step")
    if event not in _OF_PRESENT_STEP or not step or step == state.step:
        return state
    return replace(state, step=step, cautions=(), task=(), limit="")


def _timed(state: ScreenState, line: Line, event: str) -> ScreenState:
    start, end = _number(line, "start_s"), _number(line, "end_s")
    if event == "heard":
        return replace(state, clock_s=max(state.clock_s, end or 0.0))
    if start is None or end is None:
        return replace(state, clock_s=max(state.clock_s, _number(line, "at_s") or 0.0))
    clock_s = max(state.clock_s, start) if state.fresh else state.clock_s
    return replace(state, clock_s=clock_s, spoken_until_s=end, fresh=False)


def _sentences(line: Line) -> tuple[str, ...]:
    return tuple(part for part in _SENTENCE.split(_text(line, "text").strip()) if part)


def _text(line: Line, key: str) -> str:
    value = line.get(key)
    return "" if value is None else str(value)


def _number(line: Line, key: str) -> float | None:
    value = line.get(key)
    return float(value) if isinstance(value, int | float) and math.isfinite(value) else None


def _step(dbfs: float) -> int:
    held = max(float(_FLOOR_DB), min(0.0, dbfs))
    return _STEP_DB * round(held / _STEP_DB)
