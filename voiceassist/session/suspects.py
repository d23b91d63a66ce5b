"""What is ruled out and what is still open, of a part that somebody names.

A part of the circuit is known by the findings that name its faults, any other by its finding. A
finding is open while a way still leads there; else the step that could have led there last, and
did not, tells why it is not.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from voiceassist.procedure.model import Procedure
from voiceassist.session.session import Result, Session
from voiceassist.session.shown import spoken_name

_WORD = re.compile(r"[^\W_]+")
#: A word this short names no part: "it", "a", "my".
_SHORT = 2
#: Of more parts none was named.
_MOST = 2


@dataclass(frozen=True, slots=True)
class Suspect:
    """A part that was named, and how it stands with it.

    Parts:
        called: its name.
        found: the finding that is reached names it.
        ahead: the step that will tell; empty when none does any more.
        by: what told that it is not this; None when nothing did.
        ruled_out: that tells so, and did not only lead elsewhere.
    """

    called: str
    found: bool = False
    ahead: str = ""
    by: Result | None = None
    ruled_out: bool = False


def suspects(procedure: Procedure, session: Session, words: str) -> tuple[Suspect, ...]:
    """The parts that ``words`` name; none where they name none or many."""
    said = frozenset(_WORD.findall(words.lower()))
    if any(" " in name and said.issuperset(name.split()) for name in procedure.conditions):
        return ()  # "fuse two" is no other fuse
    known = _parts(procedure)
    named = _named(known, said) or _named(_findings(procedure), said)
    return tuple(_suspect(procedure, session, *one) for one in named.items())


def findings_named(procedure: Procedure, words: str) -> tuple[str, ...]:
    """The findings that the parts in ``words`` stand for: of each part the usual one."""
    said = frozenset(_WORD.findall(words.lower()))
    parts = _named(_parts(procedure), said)
    if not parts:
        named = _named(_findings(procedure), said)
        return tuple(name for names in named.values() for name in names)
    usual = {f.target: (f.found_as or (f.name,))[0] for f in reversed([*procedure.faults.values()])}
    return tuple(dict.fromkeys(usual[part] for part in parts))


def _parts(procedure: Procedure) -> Mapping[str, frozenset[str]]:
    """Parts of the circuit that can be bad, and the findings that name their faults."""
    parts = procedure.circuit.parts if procedure.circuit is not None else {}
    found: dict[str, frozenset[str]] = {}
    for fault in procedure.faults.values():
        if fault.target in parts:
            names = frozenset(fault.found_as or (fault.name,)) & procedure.findings.keys()
            found[fault.target] = found.get(fault.target, frozenset()) | names
    return {name: findings for name, findings in found.items() if findings}


def _findings(procedure: Procedure) -> Mapping[str, frozenset[str]]:
    return {
        spoken_name(name): frozenset({name})
        for name, finding in procedure.findings.items()
        if not finding.no_fault
    }


def _named(
    known: Mapping[str, frozenset[str]], said: frozenset[str]
) -> Mapping[str, frozenset[str]]:
    """Those called by all their words, else by the last, else by any: "motor" is no motor lead."""
    words = {name: [w for w in _WORD.findall(name.lower()) if len(w) > _SHORT] for name in known}
    for part in (slice(None), slice(-1, None)):
        found = {n: known[n] for n, own in words.items() if own and said.issuperset(own[part])}
        if found:
            return found if len(found) <= _MOST else {}
    found = {n: known[n] for n, own in words.items() if said & set(own)}
    return found if len(found) <= _MOST else {}


def _suspect(
    procedure: Procedure, session: Session, called: str, findings: frozenset[str]
) -> Suspect:
    if session.finding in findings:
        return Suspect(called, found=True)
    ahead = "" if session.finding else _tells(procedure, (session.step, *session.left), findings)
    if ahead:
        return Suspect(called, ahead=ahead)
    counting = [r for r in session.ledger if not r.superseded and r.step in procedure.steps]
    for result in reversed(counting):
        if _tells(procedure, (result.step,), findings):
            direct = findings & set(procedure.steps[result.step].routes.values())
            return Suspect(called, by=result, ruled_out=result.passed or bool(direct))
    return Suspect(called)


def _tells(procedure: Procedure, starts: tuple[str, ...], findings: frozenset[str]) -> str:
    """The first step from ``starts`` on that can lead to one of ``findings``; empty for none."""
    return next((s for s in _from(procedure, starts) if findings & _led(procedure, s)), "")


def _led(procedure: Procedure, step: str) -> frozenset[str]:
    return frozenset(procedure.steps[step].routes.values())


def _from(procedure: Procedure, starts: tuple[str, ...]) -> Iterator[str]:
    """The steps that may come, the nearest first."""
    waiting = [step for step in starts if step in procedure.steps]
    known = set(waiting)
    while waiting:
        step = waiting.pop(0)
        yield step
        new = [to for to in procedure.steps[step].routes.values() if to in procedure.steps]
        waiting += [to for to in dict.fromkeys(new) if to not in known]
        known |= set(new)
