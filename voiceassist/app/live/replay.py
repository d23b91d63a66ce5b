"""A session rebuilt from the lines of its journal: the engine gets the same events again."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from voiceassist.errors import SessionError
from voiceassist.language.codec import from_json
from voiceassist.language.meanings import Answer, Reading
from voiceassist.record import lines
from voiceassist.record.fields import Part
from voiceassist.record.lines import Line
from voiceassist.rehearse.wishes import Wish
from voiceassist.session.engine import Engine
from voiceassist.session.events import (
    Begin,
    Carried,
    Event,
    Heard,
    Interrupted,
    NoMore,
    NoReply,
    Returned,
    TimeUp,
)
from voiceassist.session.outputs import Listen, Output, VoiceAdjusted, kept_kinds
from voiceassist.session.session import Detail, Session, Turn


@dataclass(frozen=True, slots=True)
class Replayed:
    """What the journal gives back.

    Parts:
        session: where it stood.
        unkept: outputs of the last event that the journal does not hold: it was cut there.
        voice: how the voice was adjusted, in order.
        offset_s: seconds into the session of the last line kept.
        last: when that line was written, RFC 3339.
    """

    session: Session
    unkept: tuple[Output, ...]
    voice: tuple[str, ...]
    offset_s: float
    last: str


@dataclass(frozen=True, slots=True)
class ReplayedEvent:
    """One event of a journal, given to the engine again.

    Parts:
        line: that keeps it.
        event: as the engine got it.
        engine: at the level of detail of that moment.
        before: the session as it met it.
        turn: what the engine answered; None for what was said beside the job, which it never got.
    """

    line: Line
    event: Event
    engine: Engine
    before: Session
    turn: Turn | None


def moments(engine: Engine, kept: Sequence[Line]) -> Iterator[ReplayedEvent]:
    """Give ``engine`` every event of a journal again, at the level of detail it was spoken at.

    That level is told by the opening of the session and by every return to it. Another one would
    give another number of sentences, so that it could not be counted how many are kept.

    Raises:
        SessionError: the lines do not begin with the opening of a session.
    """
    if not kept or not isinstance(kept[0], lines.SessionLine):
        raise SessionError("the journal does not begin with the opening of a session")
    session = Session()
    for line, following in zip(kept, (*kept[1:], None), strict=True):
        event = _event(line)
        if event is None:
            continue
        engine = _at_detail(engine, line)
        puzzled = isinstance(event, Heard) and isinstance(following, lines.RehearsedLine)
        beside = puzzled or is_beside(event)
        turn = None if beside else engine.handle(session, event)
        yield ReplayedEvent(line, event, engine, session, turn)
        session = turn.session if turn is not None else session


def replayed(engine: Engine, kept: Sequence[Line]) -> Replayed:
    """Where the session with the lines ``kept`` stood; see ``moments``.

    Raises:
        SessionError: the lines do not begin with the opening of a session.
    """
    voice: list[str] = []
    last, turn = kept[0] if kept else None, Turn(Session(), ())
    for moment in moments(engine, kept):
        if moment.turn is not None:
            last, turn = moment.line, moment.turn
            voice += [o.change for o in turn.outputs if isinstance(o, VoiceAdjusted)]
    assert last is not None  # or it had been told above
    given_kinds = kept_kinds()
    since = sum(line.event in given_kinds for line in kept[lines.place_of(kept, last) + 1 :])
    given = [output for output in turn.outputs if not isinstance(output, Listen)]
    return Replayed(turn.session, tuple(given[since:]), tuple(voice), _offset(kept), kept[-1].at)


def is_beside(event: Event) -> bool:
    """It was said to a simulated vehicle, of which the engine does not know."""
    first = next(iter(event.meanings), None) if isinstance(event, Heard) else None
    return isinstance(first, Answer) and Wish.named(first.name) is not None


def _at_detail(engine: Engine, line: Line) -> Engine:
    detail = line.detail if isinstance(line, lines.SessionLine | lines.ReturnedLine) else ""
    known = {level.value: level for level in Detail}
    if detail not in known:
        return engine
    return Engine(replace(engine.setup, detail=known[detail]))


def _event(line: Line) -> Event | None:
    """The event that a line keeps; None for one that keeps something else."""
    made: Event | None = None
    match line:
        case lines.SessionLine():
            facts = tuple((str(name), str(value)) for name, value in line.facts.items())
            made = Begin(facts, line.familiar, line.taught, tuple(map(_carried, line.carried)))
        case lines.Heard():
            made = _heard(line)
        case lines.TimeUpLine():
            made = TimeUp(line.at_s or 0.0, line.unwaited)
        case lines.ReturnedLine():
            made = Returned(line.away_s or 0.0, line.at_s or 0.0)
        case lines.NoReplyLine():
            made = NoReply(line.at_s or 0.0)
        case lines.NoMoreLine():
            made = NoMore(line.at_s or 0.0)
        case lines.InterruptedLine():
            made = Interrupted(line.unheard, line.at_s or 0.0)
        case _:
            pass
    return made


def _carried(kept: Part) -> Carried:
    """What an earlier part of the job had read.

    Raises:
        SessionError: it is no such thing.
    """
    data = kept.get("reading")
    reading = from_json(data) if isinstance(data, Mapping) else None
    if not isinstance(reading, Reading):
        raise SessionError("what is carried from an earlier part is no reading", place="journal")
    return Carried(str(kept["step"]), reading, str(kept["job"]), str(kept["session"]))


def _heard(line: lines.Heard) -> Heard:
    return Heard(
        words=line.as_said,
        meanings=tuple(from_json(meaning) for meaning in line.meanings),
        certain=line.certain,
        reason=line.as_reasoned,
        doubtful=line.doubtful,
        guess=from_json(line.guess) if line.guess else None,
        guessed=line.guessed,
        noisy=line.noisy,
        at_s=line.end_s or 0.0,
        vetted=line.vetted,
        sure=line.sure,
        let_pass=line.let_pass,
        soon=line.soon,
    )


def _offset(kept: Sequence[Line]) -> float:
    return max((line.end_s for line in kept if line.end_s is not None), default=0.0)
