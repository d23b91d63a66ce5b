"""What the screen shows, as a value: a fold over the lines of a session. Pure."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from voiceassist.app.scale import scale_of
from voiceassist.app.view import Level, lines
from voiceassist.cli.screen.parts import (
    ScreenState,
    ShownCaution,
    ShownCondition,
    ShownLevel,
    ShownReading,
    ShownWords,
)

_SENTENCE = re.compile(r"(?<=[.?!])\s+")
#: Levels are shown no finer, so that the picture rests while the room does.
_STEP_DB = 2
#: Nothing below it is told apart.
_FLOOR_DB = -80


def shown(state: ScreenState, fields: Mapping[str, object]) -> ScreenState:
    """``state`` after one more line of the journal; a line of an unknown kind is only spoken."""
    line = lines.line_of(fields)
    state = _at_step(_timed(state, line), line)
    return _FOLDS.get(type(line), _said)(state, line)


def heard_level(state: ScreenState, level: Level) -> ScreenState:
    """``state`` with the microphone as loud as ``level`` tells."""
    sound = ShownLevel(_step(level.rms_dbfs), _step(level.noise_dbfs), level.speech, level.clipped)
    return replace(state, sound=sound)


def ticked(state: ScreenState, now_s: float) -> ScreenState:
    """``state`` at second ``now_s`` of the session."""
    return replace(state, elapsed_s=int(now_s), speaking=now_s < state.spoken_until_s)


# --- each kind of line ---


def _session(state: ScreenState, line: lines.Session) -> ScreenState:
    return replace(state, title=line.title)


def _said(state: ScreenState, line: lines.Line) -> ScreenState:
    return replace(state, said=state.said + _sentences(line))


def _ask(state: ScreenState, line: lines.Ask) -> ScreenState:
    return replace(state, task=_sentences(line) or state.task, limit=line.limit or state.limit)


def _heard(state: ScreenState, line: lines.Heard) -> ScreenState:
    heard = ShownWords(line.words, line.probability, line.certain, _doubt(line))
    return replace(state, heard=heard, said=(), notice="", fresh=True, spoken_until_s=0.0)


def _doubt(line: lines.Heard) -> str:
    if not line.meanings:
        return line.reason or "not understood"
    return "not sure" if line.doubtful else ""


def _caution(state: ScreenState, line: lines.Caution) -> ScreenState:
    sentences = _sentences(line)
    if sentences:
        hazard = sentences[0].removeprefix(f"{line.signal}: ")
        sentences = (hazard[:1].upper() + hazard[1:], *sentences[1:])
    new = ShownCaution(line.name, line.signal, sentences, line.acknowledge)
    kept = tuple(each for each in state.cautions if each.name != line.name)
    return replace(state, cautions=(*kept, new))


def _acknowledged(state: ScreenState, line: lines.Acknowledged) -> ScreenState:
    cautions = tuple(
        replace(each, waits=each.waits and each.name not in line.names) for each in state.cautions
    )
    return _said(replace(state, cautions=cautions), line)


def _reading(state: ScreenState, line: lines.Reading) -> ScreenState:
    return replace(state, outcome=ShownReading(line.step, line.shown))


def _verdict(state: ScreenState, line: lines.Verdict) -> ScreenState:
    sentences, scale = _sentences(line), scale_of(line)
    outcome = ShownReading(line.step, line.reading, line.verdict, line.limit, sentences, scale)
    return replace(state, outcome=outcome)


def _withdrawn(state: ScreenState, line: lines.Withdrawn) -> ScreenState:
    gone = state.outcome is not None and state.outcome.step == line.step
    return replace(state, outcome=None) if gone else state


def _condition(state: ScreenState, line: lines.Condition) -> ScreenState:
    new = ShownCondition(line.name, line.state, line.met)
    names = [each.name for each in state.conditions]
    if new.name in names:
        conditions = tuple(new if each.name == new.name else each for each in state.conditions)
    else:
        conditions = (*state.conditions, new)
    return _said(replace(state, conditions=conditions), line)


def _finding(state: ScreenState, line: lines.Finding) -> ScreenState:
    found = replace(state, finding=(line.cause, line.correction), found_at=line.step, limit="")
    return _said(found, line)


def _finding_withdrawn(state: ScreenState, line: lines.FindingWithdrawn) -> ScreenState:
    return _said(replace(state, finding=("", "")), line)


def _end(state: ScreenState, line: lines.End) -> ScreenState:
    return replace(_said(state, line), end=line.outcome, task=(), limit="", cautions=())


def _notice(state: ScreenState, line: lines.Line) -> ScreenState:
    return replace(state, notice=line.text or state.notice)


def _silent(state: ScreenState, _line: lines.Line) -> ScreenState:
    return state


#: Kind of line -> what it changes; each takes a line of its kind.
_FOLDS: Mapping[type[lines.Line], Callable[[ScreenState, Any], ScreenState]] = {
    lines.Session: _session,
    lines.Ask: _ask,
    lines.Heard: _heard,
    lines.Caution: _caution,
    lines.Acknowledged: _acknowledged,
    lines.Reading: _reading,
    lines.Verdict: _verdict,
    lines.Withdrawn: _withdrawn,
    lines.Condition: _condition,
    lines.Finding: _finding,
    lines.FindingWithdrawn: _finding_withdrawn,
    lines.End: _end,
    lines.Device: _notice,
    lines.Noise: _notice,
    lines.Record: _notice,
    lines.Overflow: _notice,
    lines.Summary: _silent,
}

#: Lines that belong to the step under way; a reading or verdict may tell of an earlier one.
_OF_PRESENT_STEP = lines.Ask | lines.Caution | lines.Condition | lines.Heard


def _at_step(state: ScreenState, line: lines.Line) -> ScreenState:
    """A new step takes its own cautions and task along."""
    if not isinstance(line, _OF_PRESENT_STEP) or not line.step or line.step == state.step:
        return state
    return replace(state, step=line.step, cautions=(), task=(), limit="")


def _timed(state: ScreenState, line: lines.Line) -> ScreenState:
    start, end = line.start_s, line.end_s
    if isinstance(line, lines.Heard):
        return replace(state, clock_s=max(state.clock_s, end or 0.0))
    if start is None or end is None:
        return replace(state, clock_s=max(state.clock_s, line.at_s or 0.0))
    clock_s = max(state.clock_s, start) if state.fresh else state.clock_s
    return replace(state, clock_s=clock_s, spoken_until_s=end, fresh=False)


def _sentences(line: lines.Line) -> tuple[str, ...]:
    return tuple(part for part in _SENTENCE.split(line.text.strip()) if part)


def _step(dbfs: float) -> int:
    held = max(float(_FLOOR_DB), min(0.0, dbfs))
    return _STEP_DB * round(held / _STEP_DB)
