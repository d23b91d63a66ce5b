"""Where a limit comes from, as written in a file."""

import re

from voiceassist.procedure.model import RULE_OF_THUMB, Source, SourceKind
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_KINDS = "|".join(re.escape(kind.value) for kind in SourceKind)
_WRITTEN = re.compile(rf"({_KINDS})(?:[\s,;:]+(\S.*))?", re.IGNORECASE | re.DOTALL)


def source_of(path: Path, text: str | None, blame: FaultCollector, default: Source) -> Source:
    """The source written as ``text``; ``default`` when there is none or it cannot be used."""
    if text is None:
        return default
    match = _WRITTEN.fullmatch(text.replace("’", "'"))
    if match is None:
        blame.error(path, f"{text!r} is no source; begin with {_choices()}")
        return default
    source = Source(SourceKind(match[1].lower()), match[2] or "")
    if source.kind is SourceKind.STANDARD and not source.name:
        blame.error(path, "the name of the standard is missing; write it after 'standard'")
    if source.kind is SourceKind.MAKER and not source.name:
        blame.warning(path, "tell which document of the maker, and enter its value")
    return source


def source_of_file(text: str, blame: FaultCollector) -> Source:
    """The source of a whole file."""
    return source_of(("source",), text, blame, RULE_OF_THUMB)


def _choices() -> str:
    return " or ".join(f'"{kind.value}"' for kind in SourceKind)
