"""Small procedure files for tests, and what is wrong with them."""

from collections.abc import Callable
from textwrap import dedent, indent

from voiceassist.procedure.faults import Fault, Severity
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect, no_library, nothing_reserved

HEAD = """\
procedure: small
title: The lamp does not light
for: an invented trailer
conditions:
  key: {off: turn the key off, run: turn the key to run}
  plug: {out: unplug the lamp, in: plug the lamp in}
"""
FINDINGS = """\
findings:
  weak: {cause: no supply, correction: mend it}
  fine: {cause: nothing found, correction: nothing}
"""


def block(key: str, body: str) -> str:
    """``body`` as YAML under ``key``; nothing for an empty one."""
    return f"{key}:\n{indent(dedent(body).strip(), '  ')}\n" if body else ""


def small(steps: str, *, head: str = "", repairs: str = "", findings: str = "") -> str:
    """A procedure of ``steps`` and two findings, "weak" and "fine", with more parts if wanted."""
    more = indent(dedent(findings).strip(), "  ") + "\n" if findings else ""
    parts = (HEAD, dedent(head).strip() + "\n", block("steps", steps), block("repairs", repairs))
    return "".join((*parts, FINDINGS, more))


def good(text: str, library: Callable[[str], str | None] = no_library) -> Procedure:
    """The procedure in ``text``, which has no fault."""
    procedure, faults = inspect(text, library)
    assert not faults, [str(fault) for fault in faults]
    assert procedure is not None
    return procedure


def faults_in(
    text: str,
    library: Callable[[str], str | None] = no_library,
    reserved: Callable[[str], bool] = nothing_reserved,
) -> list[tuple[Severity, str, str]]:
    """Level, path and message of every fault; an error leaves no procedure, a warning does."""
    procedure, faults = inspect(text, library, reserved)
    stopped = any(fault.level is Severity.ERROR for fault in faults)
    assert (procedure is None) == stopped
    assert all(in_file(fault, text) for fault in faults)
    return [(fault.level, fault.path, fault.message) for fault in faults]


def in_file(fault: Fault, text: str) -> bool:
    """True when the fault's line is one of ``text``."""
    return 1 <= fault.line <= max(1, len(text.splitlines()))


def has(faults: list[tuple[Severity, str, str]], level: Severity, path: str, words: str) -> bool:
    """True when there is a fault of ``level`` at ``path`` whose message holds ``words``."""
    return any(lv is level and at == path and words in message for lv, at, message in faults)
