"""What the next part of a job need not ask or measure again."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from voiceassist.app.build import Written
from voiceassist.app.live.replay import moments
from voiceassist.language.codec import to_json
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.procedure.model import Procedure
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_journal import verify
from voiceassist.record.read_session import ReadSession
from voiceassist.session.engine import Engine
from voiceassist.session.events import Carried
from voiceassist.session.session import Result, Session, SessionSetup, Stage

#: A reading that is older than this, in seconds, is taken again. Common practice, no source.
OLDEST_S = 3600

_Times = Mapping[tuple[str, Meaning | None], str]


@dataclass(frozen=True, slots=True)
class Handover:
    """What the part that was done has told of the vehicle; nothing where it was ``altered``."""

    facts: Mapping[str, str] = field(default_factory=dict)
    carried: tuple[Carried, ...] = ()
    altered: bool = False


def known_before(
    folder: SessionFolder, before: Written, setup: SessionSetup, to: Written, now: datetime
) -> Handover:
    """What the part in ``folder`` has told that counts in the next one, ``to``.

    Args:
        folder: where its record lies.
        before: its procedure, as the folder has it.
        setup: of that, with the meter that is used in both.
        to: the procedure of the next part.
        now: by the clock on the wall.
    """
    report = verify(folder.journal)
    if report.fault is not None:
        return Handover(altered=True)
    read = ReadSession(entry.typed for entry in report.entries)
    facts = facts_for(before.procedure, to.procedure, read.facts)
    return Handover(facts, _carried(folder.id, before, setup, read, to, now))


def _carried(
    folder: str,
    before: Written,
    setup: SessionSetup,
    read: ReadSession,
    to: Written,
    now: datetime,
) -> tuple[Carried, ...]:
    """The readings that are of the same test in ``to``.

    The same test is the same step of the same file, put in by both with ``use:``. It counts when
    it passed, nothing was put right since, and it is not too old.
    """
    session, told = _ended(setup, read)
    known, wanted = _tests(before), _tests(to)
    steps = {name: wanted[test] for test, name in known.items() if test in wanted}
    found = {}
    for result in _since_repair(session):
        if result.step in steps and _is_fresh(told.get((result.step, result.meaning), ""), now):
            assert result.quantity is not None
            reading = Reading(result.quantity.value, result.quantity.unit)
            job = before.procedure.name
            found[result.step] = Carried(steps[result.step], reading, job, folder)
    return tuple(found.values())


def to_kept(readings: Iterable[Carried]) -> list[dict[str, object]]:
    """As the journal keeps them."""
    return [
        {
            "step": each.step,
            "reading": to_json(each.reading),
            "job": each.job,
            "session": each.session,
        }
        for each in readings
    ]


def facts_for(before: Procedure, to: Procedure, facts: Mapping[str, str]) -> dict[str, str]:
    """The facts of the job for its next part: those of a limit only where both mean the same."""
    own = {**before.facts, **before.words, **to.facts, **to.words}

    def holds(name: str) -> bool:
        one, other = before.facts.get(name), to.facts.get(name)
        if one is not None and other is not None:
            return (one.say, one.unit) == (other.say, other.unit)
        return before.words.get(name) is not None and before.words.get(name) == to.words.get(name)

    return {name: value for name, value in facts.items() if name not in own or holds(name)}


def _ended(setup: SessionSetup, read: ReadSession) -> tuple[Session, _Times]:
    """How the part ended, and when each of its values was first told, RFC 3339."""
    session, told = Session(), dict[tuple[str, Meaning | None], str]()
    for moment in moments(Engine(setup), read.lines):
        if moment.turn is not None:
            session = moment.turn.session
            for result in session.ledger:
                told.setdefault((result.step, result.meaning), moment.line.at)
    return session, told


def _tests(written: Written) -> dict[tuple[str, str], str]:
    """Each step by the one of the file it is written in and that file's text; the first counts."""
    own = written.procedure
    texts = {own.name: written.text, **written.used}
    found: dict[tuple[str, str], str] = {}
    for name, step in own.steps.items():
        origin = step.origin or f"{own.name}/{name}"
        found.setdefault((origin, texts[origin.partition("/")[0]]), name)
    return found


def _since_repair(session: Session) -> Iterator[Result]:
    """What passed with the vehicle as it is now."""
    repaired = [i for i, r in enumerate(session.ledger, 1) if r.stage is Stage.REPAIR]
    since = max([*repaired, *(many for _, many in session.put_right)], default=0)
    for result in session.ledger[since:]:
        plain = isinstance(result.meaning, Reading) and result.quantity is not None
        if plain and result.passed and not result.superseded:
            yield result


def _is_fresh(told: str, now: datetime) -> bool:
    """True for a time, RFC 3339, that is not long ago, and not to come."""
    try:
        return 0 <= (now - datetime.fromisoformat(told)).total_seconds() <= OLDEST_S
    except (ValueError, TypeError):
        return False
