"""A procedure that leads nowhere: it asks for the cause, and takes each finding as an answer."""

import re
from collections import Counter
from collections.abc import Mapping

import yaml

from voiceassist.procedure.model import Finding, Procedure

_NO_WORD = re.compile(r"[^a-z0-9' -]")
#: A cause is named after these words.
NAMING = ("it is ", "the cause is ")
_ASK = "what do you do, or what is the cause"


def free_text(procedure: Procedure) -> str:
    """The text of a file with one question, answered by naming a finding of ``procedure``."""
    findings = procedure.findings
    return yaml.safe_dump(
        {
            "procedure": procedure.name,
            "title": procedure.title,
            "for": procedure.subject,
            "complaints": list(procedure.complaints),
            "source": str(procedure.source),
            "steps": {"cause": {"ask": _ASK, "answers": _answers(findings)}},
            "findings": {name: _finding(finding) for name, finding in findings.items()},
        },
        sort_keys=False,
        allow_unicode=True,
    )


def _answers(findings: Mapping[str, Finding]) -> dict[str, object]:
    """Each finding with the ways to say it; what would name two of them is left out."""
    often = Counter(way for finding in findings.values() for way in _ways(finding))
    return {
        name.replace("-", " "): {"say": [w for w in _ways(f) if often[w] == 1], "go": name}
        for name, f in findings.items()
    }


def _ways(finding: Finding) -> list[str]:
    name = finding.name.replace("-", " ")
    ways = [f"it is the {name}", f"it is {name}", f"the cause is {name}"]
    ways += [_NO_WORD.sub("", finding.cause.lower())]
    if finding.condemns and finding.condemns.lower() != name:
        ways += [f"it is the {finding.condemns.lower()}", f"the {finding.condemns.lower()} is bad"]
    return list(dict.fromkeys(ways))


def _finding(finding: Finding) -> dict[str, object]:
    found: dict[str, object] = {"cause": finding.cause, "correction": finding.correction}
    return {**found, "no-fault": True} if finding.no_fault else found
