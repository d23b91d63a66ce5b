"""The archive's answers as tables, drawings and files, in the words of ``voiceassist records``.

Runs in a process of its own.
"""

from collections.abc import Mapping

from voiceassist.app.bench import archive_jobs, archive_session, archive_trend
from voiceassist.app.bench.archive_forms import Answers, Asked
from voiceassist.app.records.opened import opened
from voiceassist.bench.asked import Told

_VERBS: Mapping[str, Answers] = {
    "list": archive_jobs.LIST,
    "find": archive_jobs.FIND,
    "show": archive_session.SHOW,
    "trend": archive_trend.TREND,
    "totals": archive_jobs.TOTALS,
}


def answer(what: str, asked: Asked, records: str, archive: str) -> Told:
    """What the verb ``what`` of ``records`` answers, for the page.

    Raises:
        VoiceAssistError: something asked for cannot be.
    """
    with opened(records, archive) as there:
        return _VERBS[what][0](there, asked)


def file(what: str, form: str, asked: Asked, records: str, archive: str) -> str:
    """The same as a file: "csv" or "json"."""
    with opened(records, archive) as there:
        _, csv_of, json_of = _VERBS[what]
        return (csv_of if form == "csv" else json_of)(there, asked)
