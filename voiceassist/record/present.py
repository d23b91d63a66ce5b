"""A session as it stands at present: a fold over its lines. Pure.

Screen and page show the same, since both are made from this.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar, cast

from voiceassist.record import lines
from voiceassist.record.scale import scale_of
from voiceassist.record.shown import Present, ShownCaution, ShownCondition, ShownReading, ShownWords

_P = TypeVar("_P", bound=Present)

_SENTENCE = re.compile(r"(?<=[.?!])\s+")


def shown(state: _P, fields: Mapping[str, object]) -> _P:
    """``state`` after one more line of the journal; a line of an unknown kind is only spoken."""
    line = lines.line_of(fields)
    at_step = _at_step(_timed(state, line), line)
    return cast(_P, _FOLDS.get(type(line), _said)(at_step, line))


def ticked(state: _P, now_s: float) -> _P:
    """``state`` at second ``now_s`` of the session."""
    return replace(state, elapsed_s=int(now_s), speaking=now_s < state.spoken_until_s)


# --- each kind of line ---


def _session(state: Present, line: lines.SessionLine) -> Present:
    return replace(state, title=line.title)


def _said(state: Present, line: lines.Line) -> Present:
    return replace(state, said=state.said + _sentences(line))


def _ask(state: Present, line: lines.AskLine) -> Present:
    return replace(state, task=_sentences(line) or state.task, limit=line.limit or state.limit)


def _heard(state: Present, line: lines.Heard) -> Present:
    heard = ShownWords(line.words, line.probability, line.certain, _doubt(line))
    return replace(state, heard=heard, said=(), notice="", fresh=True, spoken_until_s=0.0)


def _doubt(line: lines.Heard) -> str:
    if not line.meanings:
        return "for others" if line.let_pass else line.reason or "not understood"
    return "not sure" if line.doubtful else ""


def _caution(state: Present, line: lines.CautionLine) -> Present:
    sentences = _sentences(line)
    if sentences:
        hazard = sentences[0].removeprefix(f"{line.signal}: ")
        sentences = (hazard[:1].upper() + hazard[1:], *sentences[1:])
    new = ShownCaution(line.name, line.signal, sentences, line.acknowledge)
    kept = tuple(each for each in state.cautions if each.name != line.name)
    return replace(state, cautions=(*kept, new))


def _acknowledged(state: Present, line: lines.Acknowledged) -> Present:
    cautions = tuple(
        replace(each, waits=each.waits and each.name not in line.names) for each in state.cautions
    )
    return _said(replace(state, cautions=cautions), line)


def _reading(state: Present, line: lines.ReadingLine) -> Present:
    return replace(state, outcome=ShownReading(line.step, line.shown))


def _verdict(state: Present, line: lines.VerdictLine) -> Present:
    sentences, scale = _sentences(line), scale_of(line)
    outcome = ShownReading(line.step, line.reading, line.verdict, line.limit, sentences, scale)
    return replace(state, outcome=outcome)


def _withdrawn(state: Present, line: lines.WithdrawnLine) -> Present:
    gone = state.outcome is not None and state.outcome.step == line.step
    return replace(state, outcome=None) if gone else state


def _condition(state: Present, line: lines.Condition) -> Present:
    new = ShownCondition(line.name, line.state, line.met)
    names = [each.name for each in state.conditions]
    if new.name in names:
        conditions = tuple(new if each.name == new.name else each for each in state.conditions)
    else:
        conditions = (*state.conditions, new)
    return _said(replace(state, conditions=conditions), line)


def _finding(state: Present, line: lines.FindingLine) -> Present:
    found = replace(state, finding=(line.cause, line.correction), found_at=line.step, limit="")
    return _said(found, line)


def _finding_withdrawn(state: Present, line: lines.FindingWithdrawnLine) -> Present:
    return _said(replace(state, finding=("", "")), line)


def _end(state: Present, line: lines.End) -> Present:
    return replace(_said(state, line), end=line.outcome, task=(), limit="", cautions=())


def _notice(state: Present, line: lines.Line) -> Present:
    return replace(state, notice=line.text or state.notice)


def _silent(state: Present, _line: lines.Line) -> Present:
    return state


#: Kind of line -> what it changes; each takes a line of its kind.
_FOLDS: Mapping[type[lines.Line], Callable[[Present, Any], Present]] = {
    lines.SessionLine: _session,
    lines.AskLine: _ask,
    lines.Heard: _heard,
    lines.CautionLine: _caution,
    lines.Acknowledged: _acknowledged,
    lines.ReadingLine: _reading,
    lines.VerdictLine: _verdict,
    lines.WithdrawnLine: _withdrawn,
    lines.Condition: _condition,
    lines.FindingLine: _finding,
    lines.FindingWithdrawnLine: _finding_withdrawn,
    lines.End: _end,
    lines.Device: _notice,
    lines.Noise: _notice,
    lines.Record: _notice,
    lines.Overflow: _notice,
    lines.InstructorNote: _notice,
    lines.AccountLine: _silent,
}

#: Lines that belong to the step under way; a reading or verdict may tell of an earlier one.
_OF_PRESENT_STEP = lines.AskLine | lines.CautionLine | lines.Condition | lines.Heard


def _at_step(state: Present, line: lines.Line) -> Present:
    """A new step takes its own cautions and task along."""
    if not isinstance(line, _OF_PRESENT_STEP) or not line.step or line.step == state.step:
        return state
    return replace(state, step=line.step, cautions=(), task=(), limit="")


def _timed(state: Present, line: lines.Line) -> Present:
    start, end = line.start_s, line.end_s
    if isinstance(line, lines.Heard):
        return replace(state, clock_s=max(state.clock_s, end or 0.0))
    if start is None or end is None:
        return replace(state, clock_s=max(state.clock_s, line.at_s or 0.0))
    clock_s = max(state.clock_s, start) if state.fresh else state.clock_s
    return replace(state, clock_s=clock_s, spoken_until_s=end, fresh=False)


def _sentences(line: lines.Line) -> tuple[str, ...]:
    return tuple(part for part in _SENTENCE.split(line.text.strip()) if part)
