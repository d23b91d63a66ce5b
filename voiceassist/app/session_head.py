"""How a session is led: kept in the first line of its journal, and taken from there again."""

from collections.abc import Mapping

from voiceassist import __version__
from voiceassist.app.build import Written
from voiceassist.app.session_request import SessionRequest
from voiceassist.app.settings.settings import Settings
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.model import Procedure
from voiceassist.recognise.choose import LISTENERS
from voiceassist.record import lines
from voiceassist.record.entry import digest
from voiceassist.record.job import JobPart
from voiceassist.record.read_session import ReadSession

#: Settings that a session keeps when it goes on another day: of the voice, and all of them.
_OF_THE_VOICE = ("voice", "rate_wpm", "volume")
_KEPT = ("language", "detail", "risk_percent", "listener", "model", *_OF_THE_VOICE)


def first_line(
    request: SessionRequest,
    settings: Settings,
    written: Written,
    meter: str,
    beside: Mapping[str, str],
) -> Mapping[str, object]:
    """What the first line of every session tells.

    Args:
        request: what was asked for.
        settings: that the session is led by.
        written: its procedure.
        meter: what the meter is called.
        beside: name to text of the files that lie beside its procedure.
    """
    procedure, heard = written.procedure, request.typed is None
    return {
        "step": "",
        "text": procedure.title,
        "procedure": procedure.name,
        "title": procedure.title,
        "source": str(procedure.source),
        "meter": meter,
        "risk_percent": f"{settings.risk_percent:f}",
        "procedure_sha256": digest(written.text.encode()),
        "files_sha256": {name: digest(other.encode()) for name, other in beside.items()},
        "facts": dict(request.facts),
        "version": __version__,
        "language": settings.language,
        "detail": settings.detail,
        "keep_sound": settings.keep_sound,
        "listener": settings.listener if heard else "",
        "model": settings.model if heard else "",
        **{name: getattr(settings, name) for name in _OF_THE_VOICE},
    }


def as_part(book: Phrasebook, procedure: Procedure, part: JobPart) -> Mapping[str, object]:
    """What the first line tells of a part of a job, its title among it."""
    about = {"number": part.number, "count": len(part.names)}
    marked = book.plain("intake.part", title=procedure.title, **about)
    return {"title": marked, "text": marked, "part": part.to_json()}


def as_begun(read: ReadSession) -> tuple[Mapping[str, object], str]:
    """The settings that a session was led by at last, and a listener of it that there is no more.

    That is empty where there still is one, or never was.
    """
    kept: dict[str, object] = {name: str(read.head[name]) for name in _KEPT if read.head.get(name)}
    gone = str(kept.get("listener", ""))
    if gone in LISTENERS:
        gone = ""
    if gone:
        del kept["listener"]
        kept.pop("model", None)
    returned = list(read.every(lines.ReturnedLine))
    if returned and returned[-1].detail:
        kept["detail"] = returned[-1].detail
    return kept, gone
