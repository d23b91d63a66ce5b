"""HTML of the pages, and of the parts of them that change. Pure but for the templates' files.

Every text goes in escaped, on one line and without controls (Jinja2 autoescape).
"""

import hashlib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from voiceassist.bench.asked import CircuitAnswer
from voiceassist.bench.follow import Followed, Standing
from voiceassist.page.bar import Bar, bar_of
from voiceassist.record.instructor import MOST_NAME, MOST_WORDS
from voiceassist.record.webvtt import one_line

#: Signs of the sentence that is asked for, up to which letters can be the largest.
_LARGE, _MEDIUM = 48, 110
#: So many causes are told.
_CAUSES = 4
#: The parts of a session's page that change, each with the id of its element.
SESSION_PARTS = (
    *("head", "caution", "step", "reading", "heard"),
    *("vehicle", "beside", "causes", "way"),
)


def session_parts(one: Followed, beside: CircuitAnswer, clock_s: float) -> dict[str, str]:
    """What a session's page shows now, part by part.

    Args:
        one: the session.
        beside: what its circuit tells.
        clock_s: seconds since 1970.
    """
    given = _of_session(one, beside, clock_s)
    return _parts("parts.html", SESSION_PARTS, given)


def session_page(
    one: Followed,
    beside: CircuitAnswer,
    clock_s: float,
    *,
    by: str = "",
    noted: bool = False,
    wrong: str = "",
    still: bool = False,
) -> str:
    """The page of a session under way.

    Args:
        one, beside, clock_s: see ``session_parts``.
        by: the name that a note goes by.
        noted: a note was left just now.
        wrong: why one was not; empty when none was refused.
        still: does not refresh itself, so that a note can be written without script.
    """
    return _made(
        "session.html",
        **_of_session(one, beside, clock_s),
        parts=session_parts(one, beside, clock_s),
        events=f"session/{one.id}/events",
        refresh="" if one.now.ended or still else "5",
        by=by,
        noted=noted,
        wrong=wrong,
        most_words=MOST_WORDS,
        most_name=MOST_NAME,
    )


def list_parts(latest: Sequence[Followed], trouble: str, clock_s: float) -> dict[str, str]:
    """The sessions of the folder."""
    shown = [_in_list(one, clock_s) for one in latest]
    return _parts("list_parts.html", ["sessions"], {"shown": shown, "trouble": trouble})


def list_page(latest: Sequence[Followed], trouble: str, clock_s: float, folder: str) -> str:
    """The first page: all sessions of the folder that are under way or were lately."""
    parts = list_parts(latest, trouble, clock_s)
    return _made("sessions.html", parts=parts, events="events", refresh="5", folder=folder)


def sentence_page(sentence: str) -> str:
    """A page of one sentence, for who is not let in or asked for what there is not."""
    return _made("sentence.html", sentence=sentence, events="", refresh="")


def asset(name: str) -> bytes:
    """A style sheet or script of ours."""
    return (files("voiceassist.bench") / "static" / name).read_bytes()


@cache
def asset_mark(name: str) -> str:
    """What tells a new version of it from an old one that a browser has kept."""
    return hashlib.sha256(asset(name)).hexdigest()[:12]


def rendered(template: str, **parts: object) -> str:
    """A page of the archive."""
    return _made(template, events="", refresh="", **parts)


# --- what a page shows ---


def _of_session(one: Followed, beside: CircuitAnswer, clock_s: float) -> dict[str, Any]:
    now = one.now
    present = now.present
    task = list(present.task)
    return {
        **_in_list(one, clock_s),
        "present": present,
        "task": task,
        "size": _size(present.headline or (task[0] if task else "")),
        "bar": _bar(one),
        "marks": now.marks,
        "picture": Markup(beside.picture),
        "pending": beside.pending,
        "causes": None if beside.causes is None else beside.causes[:_CAUSES],
    }


def _in_list(one: Followed, clock_s: float) -> dict[str, Any]:
    return {
        "id": one.id,
        "now": one.now,
        "state": one.state.value,
        "running": one.state is Standing.RUNNING,
        "fault": one.fault,
        "elapsed_s": elapsed_s(one, clock_s),
    }


def elapsed_s(one: Followed, clock_s: float) -> int:
    """Seconds of the session so far; it stands still while nobody has it open."""
    told_s = one.now.present.clock_s
    if one.state is not Standing.RUNNING or one.now.zero_s is None:
        return int(told_s)
    return max(0, int(clock_s - one.now.zero_s))


def _size(sentence: str) -> str:
    """How large a sentence can be written."""
    if len(sentence) <= _LARGE:
        return "large"
    return "medium" if len(sentence) <= _MEDIUM else "long"


def _bar(one: Followed) -> Bar | None:
    outcome, verdict = one.now.present.outcome, one.now.verdict
    if outcome is None or verdict is None or outcome.scale is None:
        return None
    return bar_of(verdict, outcome.shown)


def _parts(template: str, names: Sequence[str], given: dict[str, Any]) -> dict[str, str]:
    """Each macro of ``template``, made with what is ``given``."""
    made = _environment().get_template(template).make_module(given)
    return {name: Markup(str(getattr(made, f"part_{name}")()).strip()) for name in names}


def _made(template: str, **parts: object) -> str:
    return _environment().get_template(template).render(**parts)


def _time(seconds: int) -> str:
    hours, minutes = seconds // 3600, seconds // 60 % 60
    return f"{hours}:{minutes:02}:{seconds % 60:02}" if hours else f"{minutes}:{seconds % 60:02}"


def _on_bar(share: object) -> str:
    """A place on a bar of 1000 units."""
    return f"{float(str(share)) * 1000:.1f}"


def _query(asked: Mapping[str, str]) -> str:
    from urllib.parse import urlencode

    return urlencode({name: value for name, value in asked.items() if value})


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda value: one_line(value) if type(value) is str else value,
    )
    made.filters |= {"time": _time, "on_bar": _on_bar, "query": _query, "drawing": Markup}
    made.globals |= {"mark": asset_mark}
    return made


def _template(name: str) -> str:
    return (files("voiceassist.bench") / "templates" / name).read_text(encoding="utf-8")
