"""Every entry of the table of states is used on a walk, and leads where it says."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

import pytest
from bench import FINDINGS, HEAD, METER, Bench, amps, small, volts

from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
)
from voiceassist.session import engine
from voiceassist.session.events import (
    Carried,
    Cue,
    Event,
    Heard,
    Interrupted,
    NoMore,
    NoReply,
    Returned,
    TimeUp,
)
from voiceassist.session.naming import IN_STATE
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State
from voiceassist.session.table import GROUPS, HERE, TABLE, Next, Then, entry

_REPAIRED = """
repairs:
  clean: {do: clean the pin, sets: {plug: in}}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it, repair: [clean], prove-with: [one]}
"""
_HEAD = f"{HEAD}at-rest: {{plug: in, fan: high}}\n"
#: Small procedures that have all the kinds of steps between them, each with what is said first.
_PROCEDURES: tuple[tuple[str, tuple[Meaning | str, ...]], ...] = (
    (
        """
    number: {identify: repair-order}
    one: {caution: blades, needs: {key: run}, measure: voltage on the pin, accept: 4 V to 6 V,
      plausible: -20 V to 20 V, if-forgotten: {key: at most 1 V}, fail: bad}
    two: {measure: current of the fan, accept: 1 A to 9 A, then: good, fail: bad}
    """,
        (),
    ),
    (
        """
    one: {measure: voltage on the pin, accept: 4 V to 6 V, fail: bad}
    two: {ask: does it turn, answers: {yes: lamp, no: bad}, not-sure: lamp}
    lamp: {needs: {plug: out}, lamp: at the pin, accept: bright, fail: bad, then: good}
    """,
        (volts("12.6"), "affirm", "done", volts("12.6")),
    ),
    (
        """
    battery: {measure: voltage of the battery, unit: V}
    motor: {measure: voltage at the motor, unit: V}
    drop: {compute: battery - motor, accept: at most 0.5 V, high: bad}
    look: {caution: edge, do: look, then: good}
    """,
        (),
    ),
    (
        """
    cool: {needs: {fan: low}, wait: it to cool, for: 20 min}
    row: {sweep: voltage on the pin while it is turned up,
      accept: {direction: falling, start: 8 V to 9 V, end: 2 V to 3 V, least: 2},
      fail: bad, then: good}
    """,
        ("done", "finish"),
    ),
    (
        """
    which: {caution: blades, needs: {key: run}, ask: which speed fails,
      answers: {slow: {say: [slow], go: slow}, fast: {say: [fast], go: bad}}}
    slow: {measure: voltage on the pin, accept: 4 V to 6 V, then: good, fail: bad}
    """,
        (),
    ),
    (
        """
    one: {caution: blades, needs: {key: run}, measure: voltage on the pin, accept: 4 V to 6 V,
      fail: bad}
    two: {measure: voltage at the motor, accept: 4 V to 6 V, fail: bad}
    three: {lamp: at the pin, accept: bright, then: good, fail: bad}
    """,
        ("affirm", "negative"),
    ),
)
_CARRIED = tuple(Carried(step, volts("5"), "fan", "before") for step in ("one", "two"))
#: At so many places everything is tried.
_PLACES = 70


def events(bench: Bench) -> Iterator[Event]:
    """Whatever may be said to a session, or happen to it."""
    setup = bench.engine.setup
    reasons = [reason.name for reason in setup.book.reasons]
    names = [*setup.procedure.steps, reasons[0]]
    values: list[Meaning] = [
        *(volts(v) for v in ("12.6", "12.1", "8.4", "5", "2.5", "0.5", "-5", "99")),
        *(amps("5"), Reading(Decimal(5), None)),
        *(Lamp("bright"), Lamp("dim"), Identifier("repair-order", "1042"), OverRange()),
    ]
    answers = [Answer(n) for n in ("affirm", "affirm-reading", "negative", "done", *names)]
    about = [Command("skip", reasons[0]), Command("read-back", names[0]), Command("how", names[0])]
    about += [Command("go-to", name) for name in setup.procedure.steps]
    about += [Command("forgot", f"key{IN_STATE}{state}") for state in ("run", "off")]
    about += [Command("against", "bad"), Command("park", "shows"), Command("unsafe", "ring-on")]
    corrections = [Correction(volts("4.5")), Correction(volts("8.4")), Correction(Lamp("bright"))]
    named = [Correction(volts("4.5"), name) for name in (names[0], names[1])]
    commands = [Command(name) for name in sorted(COMMANDS)]
    for meaning in (*values, *answers, *about, *corrections, *named, *commands, Note("a note")):
        yield Heard("words", (meaning,), certain=True)
    for meaning in (*values[:6], *answers[:4], values[12], commands[0]):
        yield Heard("words", (meaning,), doubtful=True)
    yield Heard("words", (volts("5"), volts("8.4")))
    yield Heard("words", (Command("go-ahead"),), certain=True, at_s=9999.0)
    yield Heard("not yet", (Answer("negative"),), certain=True)
    yield Heard("words", guess=Command("repeat"))
    yield from (Heard("words"), Heard("words", let_pass=True))
    yield from (TimeUp(9999.0), NoReply(), NoMore())
    yield from (Returned(1.0), Returned(9999.0), Interrupted(("blades", "edge")))


def explore(bench: Bench, *first: Meaning | str) -> None:
    """Try everything at so many places, always in the state that was tried least so far."""
    tried: Counter[State] = Counter()
    waiting = [bench.session, *(bench.after(one).session for one in first)]
    known = {place(session) for session in waiting}
    while waiting and tried.total() < _PLACES:
        bench.session = min(waiting, key=lambda session: tried[session.state])
        waiting.remove(bench.session)
        tried[bench.session.state] += 1
        for event in events(bench):
            turn = bench.engine.handle(bench.session, event)
            bench.look_at(turn)
            after = turn.session
            if place(after) not in known and after.state is not State.CLOSED:
                known.add(place(after))
                waiting.append(after)


def place(session: Session) -> tuple[object, ...]:
    """What makes two sessions differ here."""
    inner = session.resume.state if session.resume else None
    kept = (
        len(session.points),
        bool(session.ledger),
        bool(session.unheard_cautions),
        "plug" in session.touched,
        bool(session.left),
    )
    return (session.state, session.step, session.stage, inner, session.correcting, *kept)


@pytest.fixture(scope="module")
def used() -> Counter[tuple[State, Cue, State]]:
    """Which entries were used, each with the state it led to."""
    counted: Counter[tuple[State, Cue, State]] = Counter()

    def watched(state: State, on: Cue, *, cut_off: bool = False) -> Then:
        then = entry(state, on, cut_off=cut_off)

        def action(setup: SessionSetup, session: Session, event: Event) -> Turn:
            turn = then.action(setup, session, event)
            after = turn.session.state
            assert after in then.states(state), (state, on, then, after)
            if not cut_off:
                counted[state, on, after] += 1
            return turn

        return Then(action, *then.next)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "entry", watched)
        for number, (steps, first) in enumerate(_PROCEDURES):
            more = _REPAIRED if number < 2 else FINDINGS
            carried = _CARRIED if number == len(_PROCEDURES) - 1 else ()
            explore(small(steps, head=_HEAD, more=more, meter=METER, carried=carried), *first)
    return counted


def test_every_entry_of_the_table_is_used(used: Counter[tuple[State, Cue, State]]) -> None:
    written = {(state, on) for state, row in TABLE.items() for on in row}
    assert written - {(state, on) for state, on, _ in used} == set()


def test_no_entry_tells_of_a_way_that_is_never_taken(
    used: Counter[tuple[State, Cue, State]],
) -> None:
    written = {
        (then.action, one) for row in TABLE.values() for then in row.values() for one in then.next
    }
    taken = {
        (then.action, one)
        for state, on, after in used
        for then in [entry(state, on)]
        for one in then.next
        if after in _of(one, state, then)
    }
    assert written - taken == set()


def _of(one: Next, here: State, then: Then) -> frozenset[State]:
    """What tells that the way ``one`` was taken; to stay is no other way where both are named."""
    if isinstance(one, State):
        return frozenset({one})
    if one is HERE:
        return frozenset({here})
    return GROUPS[one] - ({here} if HERE in then.next else frozenset())
