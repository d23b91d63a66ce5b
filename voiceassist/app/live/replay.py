"""A session rebuilt from the lines of its journal: the engine gets the same events again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from voiceassist.errors import SessionError
from voiceassist.language.codec import from_json
from voiceassist.session.engine import Engine
from voiceassist.session.events import (
    Begin,
    Event,
    Heard,
    Interrupted,
    NoMore,
    NoReply,
    Returned,
    TimeUp,
)
from voiceassist.session.outputs import Listen, Output, VoiceAdjusted, kept_kinds
from voiceassist.session.session import Detail, Session

Line = Mapping[str, object]


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


def replayed(engine: Engine, lines: Sequence[Line]) -> Replayed:
    """Give ``engine`` every event in ``lines`` again, each at the level of detail it was spoken at.

    That level is told by the opening of the session and by every return to it. Another one would
    give another number of sentences, so that it could not be counted how many are kept.

    Raises:
        SessionError: the lines do not begin with the opening of a session.
    """
    if not lines or lines[0].get("event") != "session":
        raise SessionError("the journal does not begin with the opening of a session")
    session, since, given_kinds = Session(), 0, kept_kinds()
    outputs: tuple[Output, ...] = ()
    voice: list[str] = []
    for line in lines:
        event = _event(line)
        if event is None:
            since += line.get("event") in given_kinds
            continue
        engine = _at_detail(engine, line.get("detail"))
        turn = engine.handle(session, event)
        session, outputs, since = turn.session, turn.outputs, 0
        voice += [output.change for output in outputs if isinstance(output, VoiceAdjusted)]
    given = [output for output in outputs if not isinstance(output, Listen)]
    last = str(lines[-1].get("at", ""))
    return Replayed(session, tuple(given[since:]), tuple(voice), _offset(lines), last)


def _at_detail(engine: Engine, detail: object) -> Engine:
    known = {level.value: level for level in Detail}
    if not isinstance(detail, str) or detail not in known:
        return engine
    return Engine(replace(engine.desk, detail=known[detail]))


def _event(line: Line) -> Event | None:
    """The event that a line keeps; None for one that keeps something else."""
    made = _EVENTS.get(str(line.get("event")))
    return made(line) if made is not None else None


def _begin(line: Line) -> Begin:
    facts = line.get("facts")
    assert isinstance(facts, Mapping)
    named = tuple((str(name), str(value)) for name, value in facts.items())
    return Begin(named, line.get("familiar") is True, line.get("taught") is True)


def _heard(line: Line) -> Heard:
    meanings = line.get("meanings")
    assert isinstance(meanings, Sequence)
    guess = line.get("guess")
    return Heard(
        words=str(line.get("words", "")),
        meanings=tuple(from_json(meaning) for meaning in meanings),
        certain=line.get("certain") is True,
        reason=str(line.get("reason", "")),
        doubtful=line.get("doubtful") is True,
        guess=from_json(guess) if isinstance(guess, Mapping) else None,
        guessed=line.get("guessed") is True,
        noisy=line.get("noisy") is True,
        at_s=_number(line.get("end_s")),
        vetted=line.get("vetted") is True,
    )


def _at_s(line: Line) -> float:
    return _number(line.get("at_s"))


_EVENTS: Mapping[str, Callable[[Line], Event]] = {
    "session": _begin,
    "heard": _heard,
    "time-up": lambda line: TimeUp(_at_s(line)),
    "returned": lambda line: Returned(_number(line.get("away_s")), _at_s(line)),
    "no-reply": lambda line: NoReply(_at_s(line)),
    "no-more": lambda line: NoMore(_at_s(line)),
    "interrupted": lambda line: Interrupted(_names(line.get("unheard")), _at_s(line)),
}


def _names(value: object) -> tuple[str, ...]:
    return tuple(str(name) for name in value) if isinstance(value, list | tuple) else ()


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _offset(lines: Sequence[Line]) -> float:
    ends = [line.get("end_s") for line in lines]
    return max((float(end) for end in ends if isinstance(end, int | float)), default=0.0)
