"""All that a session does, in one table. Read this file first.

A row is a state: what may happen in it, the action that follows, and where the action can leave
the session. An action is a function of ``session/actions``; it takes a session and returns
another. What a row does not list is answered as ``OTHERWISE`` says, mostly by ``not_expected``,
which speaks and changes nothing. An event that no session could get there raises.

The engine asks in this order what to do, and nothing else decides:

1. Doubtful words (``doubting.py``): where the state is among ``ASKED_IF_DOUBTFUL`` they go on to
   its row, which asks about them; elsewhere they are UNSURE, until the same is heard twice.
2. In MEANT, *affirm* is what was offered, said at the state that was interrupted; anything that
   the row of MEANT does not list lets the offer go, and is said there too.
3. Once a caution of the step was cut off (``cutting.py``), ``CAUTION_CUT_OFF`` goes before the
   row: nothing that the caution guards goes on before it was heard.
4. The row of the state, ``TABLE``, then ``OTHERWISE``.
5. A wait whose time ran out meanwhile (``Session.over``) is over as soon as the session stands
   in WAIT again: ``time_up`` follows at once.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from voiceassist.session.actions import (
    asked,
    asked_after,
    back,
    closing_up,
    confirm,
    enter,
    facts,
    finding,
    forgotten,
    inform,
    meant,
    revise,
    spoken,
    sweep,
    take,
    vehicle,
    waiting,
    whose,
    work,
)
from voiceassist.session.events import Event, On
from voiceassist.session.session import Desk, Session, Turn
from voiceassist.session.states import State

Action = Callable[[Desk, Session, Event], Turn]


class Group(Enum):
    """Where an action can lead when the procedure or the past decides which state it is."""

    HERE = "here"
    STEP = "step"
    LED = "led"
    WEIGHED = "weighed"
    RESUMED = "resumed"


HERE, STEP, LED, WEIGHED, RESUMED = Group
Next = State | Group

_STEP = frozenset(
    {State.CAUTION, State.CONDITION, State.MEASURE, State.SWEEP, State.LAMP, State.ASK}
    | {State.IDENTIFY, State.COMPUTE, State.WAIT, State.DO}
)
_LED = _STEP | {State.OFFER, State.RETRY, State.AFTER}
_WEIGHED = _LED | {State.CONFIRM, State.WHICH, State.FORGOTTEN}
GROUPS: Mapping[Group, frozenset[State]] = MappingProxyType(
    {
        # A step: its caution, a change to the vehicle, or its answer is awaited.
        STEP: _STEP,
        # Where a result leads: another step, a finding with its repair, the end of the job.
        LED: _LED,
        # A value was given: taken, or asked about first.
        WEIGHED: _WEIGHED,
        # Back to what a question or pause interrupted.
        RESUMED: frozenset(State) - {State.NEW, State.STAND_BY, State.NOTE, State.CLOSED},
    }
)


@dataclass(frozen=True, slots=True, init=False)
class Then:
    """What follows from an event.

    Parts:
        action: does it.
        next: where it can leave the session.
    """

    action: Action
    next: tuple[Next, ...]

    def __init__(self, action: Action, *following: Next) -> None:
        object.__setattr__(self, "action", action)
        object.__setattr__(self, "next", following)

    def states(self, here: State) -> frozenset[State]:
        """Every state that may follow when the session is ``here``."""
        return frozenset(state for one in self.next for state in _states(one, here))


def _states(one: Next, here: State) -> Iterator[State]:
    if isinstance(one, State):
        yield one
    elif one is HERE:
        yield here
    else:
        yield from GROUPS[one]


Row = Mapping[On, Then]


def row(own: Row, *shared: Row) -> Row:
    """A state's ``own`` entries, and those it shares with others; its own win, then the first."""
    joined: dict[On, Then] = {}
    for entries in reversed((own, *shared)):
        joined |= entries
    return MappingProxyType(joined)


#: Understood wherever someone is listening.
ALWAYS: Row = MappingProxyType(
    {
        On.NOTHING: Then(inform.not_understood, HERE),
        On.SEVERAL: Then(confirm.ask_which, WEIGHED, HERE),
        On.UNSURE: Then(inform.say_it_again, HERE),
        On.LIKELY: Then(meant.offer_meaning, State.MEANT, HERE),
        On.REPEAT: Then(enter.repeat, HERE),
        On.WHY: Then(inform.why, HERE),
        On.EXPLAIN: Then(inform.explain, HERE),
        On.HOW: Then(inform.how, HERE),
        On.LIMIT: Then(inform.limit, HERE),
        On.WHERE: Then(inform.where, HERE),
        On.HOW_FAR: Then(inform.how_far, HERE),
        On.READ_BACK: Then(inform.read_back, HERE),
        On.HELP: Then(inform.help_now, HERE),
        On.NOTE: Then(inform.ask_note, State.NOTE),
        On.NOTE_TEXT: Then(inform.take_note, HERE),
        On.IDENTIFIER: Then(facts.take_fact, HERE),
        On.SLOWER: Then(inform.adjust_voice, HERE),
        On.FASTER: Then(inform.adjust_voice, HERE),
        On.LOUDER: Then(inform.adjust_voice, HERE),
        On.SOFTER: Then(inform.adjust_voice, HERE),
        On.STAND_BY: Then(waiting.stand_by, State.STAND_BY),
        On.FINISH: Then(closing_up.ask_finish, State.FINISH),
        On.NEXT: Then(asked.next_thing, HERE),
        On.NOT_SURE: Then(asked.not_sure, HERE),
        On.READ_LAST: Then(asked.read_last, HERE),
        On.READ_ONE: Then(asked.read_one, HERE),
        On.HOW_OF: Then(asked.how_of, HERE),
        On.TOOL: Then(asked.tool, HERE),
        On.RANGE: Then(asked.meter_range, HERE),
        On.CAUSE: Then(asked.cause, HERE),
        On.LESS: Then(spoken.change_detail, HERE),
        On.MORE: Then(spoken.change_detail, HERE),
        On.DIFFERS: Then(spoken.note_difference, HERE),
        On.DANGER: Then(spoken.danger, State.STAND_BY),
        On.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
        On.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
        On.NO_REPLY: Then(waiting.remind, HERE),
        On.INTERRUPTED: Then(inform.stay_silent, HERE),
        On.NO_MORE: Then(inform.stay_silent, HERE),
    }
)

#: Ways back, wherever a step is under way.
BACK: Row = MappingProxyType(
    {
        On.GO_BACK: Then(back.go_back, LED, HERE),
        On.CORRECTION: Then(whose.correct, WEIGHED, State.WHOSE, HERE),
        On.DISREGARD: Then(back.disregard, LED, HERE),
        On.SKIP: Then(back.ask_skip, LED, State.SKIP, HERE),
        On.REVISE: Then(revise.ask_which_reading, State.PICK, HERE),
        On.SKIP_BECAUSE: Then(spoken.skip_with_reason, LED, HERE),
        On.MISTAKE: Then(spoken.reopen_last, STEP, HERE),
        On.CORRECT_NAMED: Then(spoken.correct_named, WEIGHED, HERE),
        On.FORGOT: Then(vehicle.forgot, STEP, HERE),
    }
)

#: Questions where the finding was just told speak of it.
TOLD: Row = MappingProxyType(
    {
        On.WHY: Then(asked_after.why_found, HERE),
        On.EXPLAIN: Then(asked_after.explain_found, HERE),
        On.HOW: Then(asked_after.how_to_mend, HERE),
        On.LIMIT: Then(asked_after.limit_of_last, HERE),
        On.WHERE: Then(asked_after.where_now, HERE),
        On.HOW_FAR: Then(asked_after.how_far_now, HERE),
    }
)

#: Ways out of a question that interrupts a step.
OUT: Row = MappingProxyType(
    {
        On.NEGATIVE: Then(confirm.drop, RESUMED),
        On.DISREGARD: Then(confirm.drop, RESUMED),
        On.GO_BACK: Then(confirm.drop, RESUMED),
    }
)

#: A value given before its caution or condition is settled does not count.
TOO_EARLY: Row = MappingProxyType(
    {
        On.READING: Then(enter.too_early, HERE),
        On.OVER_RANGE: Then(enter.too_early, HERE),
        On.LAMP: Then(enter.too_early, HERE),
    }
)

TABLE: Mapping[State, Row] = MappingProxyType(
    {
        State.NEW: row({On.BEGIN: Then(inform.begin, LED)}),
        State.CAUTION: row(
            {
                On.AFFIRM: Then(enter.acknowledge, STEP),
                On.DONE: Then(enter.acknowledge, STEP),
                On.NEGATIVE: Then(enter.caution_refused, HERE),
            },
            TOO_EARLY,
            BACK,
            ALWAYS,
        ),
        State.CONDITION: row(
            {
                On.DONE: Then(enter.conditions_met, STEP),
                On.AFFIRM: Then(enter.conditions_met, STEP),
                On.GO_AHEAD: Then(enter.conditions_met, STEP),
                On.NEGATIVE: Then(asked.take_your_time, HERE),
            },
            TOO_EARLY,
            BACK,
            ALWAYS,
        ),
        State.MEASURE: row(
            {
                On.READING: Then(take.take_reading, WEIGHED, HERE),
                On.OVER_RANGE: Then(take.take_over_range, WEIGHED),
                On.DONE: Then(enter.changes_made, STEP),
                On.SAME: Then(spoken.take_same, WEIGHED, HERE),
                On.UNSTABLE: Then(asked.unstable, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.SWEEP: row(
            {
                On.READING: Then(sweep.take_point, HERE),
                On.CORRECTION: Then(sweep.correct_point, HERE),
                On.DISREGARD: Then(sweep.drop_point, HERE),
                On.DONE: Then(sweep.sweep_done, WEIGHED, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.LAMP: row(
            {
                On.LAMP: Then(take.take_lamp, WEIGHED),
                On.SAME: Then(spoken.take_same, WEIGHED, HERE),
                On.DONE: Then(enter.changes_made, STEP),
            },
            BACK,
            ALWAYS,
        ),
        State.ASK: row(
            {
                On.AFFIRM: Then(take.take_answer, WEIGHED, HERE),
                On.NEGATIVE: Then(take.take_answer, WEIGHED, HERE),
                On.CHOICE: Then(take.take_answer, WEIGHED, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.IDENTIFY: row({On.IDENTIFIER: Then(take.take_answer, WEIGHED, HERE)}, BACK, ALWAYS),
        State.COMPUTE: row({}, BACK, ALWAYS),
        State.WAIT: row(
            {
                On.TIME_UP: Then(waiting.time_up, LED),
                On.AFFIRM: Then(inform.stay_silent, HERE),
                On.DONE: Then(waiting.not_yet, HERE),
                On.HOW_FAR: Then(waiting.not_yet, HERE),
                On.NO_REPLY: Then(inform.stay_silent, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.DO: row(
            {
                On.DONE: Then(work.work_done, LED),
                On.AFFIRM: Then(work.work_done, LED),
                On.GO_AHEAD: Then(work.work_done, LED),
                On.NEGATIVE: Then(asked.take_your_time, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.FORGOTTEN: row(
            {
                On.AFFIRM: Then(confirm.condition_was_right, WEIGHED),
                On.NEGATIVE: Then(forgotten.condition_was_wrong, STEP),
                On.DONE: Then(forgotten.condition_put_right, STEP),
                On.READING: Then(take.take_again, WEIGHED),
            },
            OUT,
            ALWAYS,
        ),
        State.STILL: row(
            {
                On.AFFIRM: Then(waiting.still_so, RESUMED),
                On.NEGATIVE: Then(waiting.not_so_any_more, STEP, RESUMED),
            },
            ALWAYS,
        ),
        State.PICK: row({On.CHOICE: Then(revise.pick, STEP, HERE)}, OUT, ALWAYS),
        State.CONFIRM: row(
            {
                On.AFFIRM_READING: Then(confirm.confirm, LED),
                On.AFFIRM: Then(confirm.affirm_is_not_enough, HERE),
                On.READING: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                On.OVER_RANGE: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                On.LAMP: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                On.CHOICE: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                On.IDENTIFIER: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                On.CORRECTION: Then(confirm.correct_pending, WEIGHED, HERE),
                On.SAME: Then(confirm.confirm, LED),
                On.MISTAKE: Then(spoken.mistaken, RESUMED),
            },
            OUT,
            ALWAYS,
        ),
        State.WHICH: row(
            {
                On.READING: Then(confirm.choose_which, WEIGHED, HERE),
                On.OVER_RANGE: Then(confirm.choose_which, WEIGHED, HERE),
                On.LAMP: Then(confirm.choose_which, WEIGHED, HERE),
                On.CHOICE: Then(confirm.choose_which, WEIGHED, HERE),
                On.IDENTIFIER: Then(confirm.choose_which, WEIGHED, HERE),
                On.CORRECTION: Then(confirm.correct_pending, WEIGHED, HERE),
                On.MISTAKE: Then(spoken.mistaken, RESUMED),
            },
            OUT,
            ALWAYS,
        ),
        State.WHOSE: row({On.CHOICE: Then(whose.of_that_step, WEIGHED, HERE)}, OUT, ALWAYS),
        State.SKIP: row(
            {
                On.CHOICE: Then(back.skip_because, LED, HERE),
                On.SKIP_BECAUSE: Then(spoken.skip_with_reason, LED, HERE),
            },
            OUT,
            ALWAYS,
        ),
        State.NOTE: row(
            {
                On.DISREGARD: Then(confirm.drop, RESUMED),
                On.DANGER: Then(spoken.danger, State.STAND_BY),
                On.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
                On.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
                On.NO_REPLY: Then(waiting.remind, HERE),
                On.INTERRUPTED: Then(inform.stay_silent, HERE),
                On.NO_MORE: Then(inform.stay_silent, HERE),
            }
        ),
        State.OFFER: row(
            {
                On.AFFIRM: Then(finding.start_repair, LED),
                On.GO_AHEAD: Then(finding.start_repair, LED),
                On.NEGATIVE: Then(finding.leave_repair, State.AFTER),
                On.SKIP: Then(enter.not_expected, HERE),
                On.SKIP_BECAUSE: Then(enter.not_expected, HERE),
            },
            BACK,
            TOLD,
            ALWAYS,
        ),
        State.RETRY: row(
            {
                On.AFFIRM: Then(finding.prove_again, LED),
                On.NEGATIVE: Then(finding.look_further, LED),
                On.SKIP: Then(enter.not_expected, HERE),
                On.SKIP_BECAUSE: Then(enter.not_expected, HERE),
            },
            BACK,
            TOLD,
            ALWAYS,
        ),
        State.FINISH: row(
            {
                On.AFFIRM: Then(closing_up.finish, State.PUT_BACK, State.CLOSED),
                On.FINISH: Then(closing_up.finish, State.PUT_BACK, State.CLOSED),
            },
            OUT,
            ALWAYS,
        ),
        State.AFTER: row(
            {
                On.SKIP: Then(enter.not_expected, HERE),
                On.AFFIRM: Then(closing_up.end_job, State.PUT_BACK, State.CLOSED),
                On.FINISH: Then(closing_up.end_job, State.PUT_BACK, State.CLOSED),
                On.DONE: Then(closing_up.all_put_back, State.CLOSED),
                On.NO_MORE: Then(closing_up.leave_as_it_is, State.CLOSED),
                On.NEGATIVE: Then(closing_up.stay_open, HERE),
            },
            BACK,
            TOLD,
            ALWAYS,
        ),
        State.PUT_BACK: row(
            {
                On.DONE: Then(closing_up.all_put_back, State.CLOSED),
                On.FINISH: Then(closing_up.leave_as_it_is, State.CLOSED),
                On.NO_MORE: Then(closing_up.leave_as_it_is, State.CLOSED),
            },
            OUT,
            TOLD,
            ALWAYS,
        ),
        State.STAND_BY: row(
            {
                On.GO_AHEAD: Then(waiting.wake, RESUMED, State.STILL),
                On.DANGER: Then(spoken.danger, State.STAND_BY),
                On.UNSURE: Then(inform.doze, HERE),
                On.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
                On.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
            }
        ),
        State.MEANT: row(
            {
                On.NEGATIVE: Then(meant.let_go, RESUMED),
                On.DISREGARD: Then(meant.let_go, RESUMED),
            },
            ALWAYS,
        ),
        State.CLOSED: row({}),
    }
)

#: Before the row of the state, once a caution of its step was cut off.
CAUTION_CUT_OFF: Row = MappingProxyType(
    dict.fromkeys(
        {On.READING, On.OVER_RANGE, On.LAMP, On.IDENTIFIER, On.SEVERAL, On.CHOICE, On.AFFIRM}
        | {On.AFFIRM_READING, On.NEGATIVE, On.DONE, On.CORRECTION},
        Then(inform.tell_again, HERE),
    )
)

_VALUES = frozenset({On.READING, On.OVER_RANGE, On.LAMP, On.CORRECTION})
#: What each state asks about when it is doubtful, instead of having it said again.
ASKED_IF_DOUBTFUL: Mapping[State, frozenset[On]] = MappingProxyType(
    {
        State.MEASURE: _VALUES,
        State.LAMP: _VALUES,
        State.IDENTIFY: _VALUES | {On.IDENTIFIER},
        State.ASK: _VALUES | {On.AFFIRM, On.NEGATIVE, On.CHOICE},
    }
)

#: What else is heard: nothing while standing by, and any words are the note that was asked for.
OTHERWISE: Mapping[State, Then] = MappingProxyType(
    {
        State.STAND_BY: Then(inform.stay_silent, HERE),
        State.NOTE: Then(inform.take_note, RESUMED, HERE),
    }
)
_NOT_EXPECTED = Then(enter.not_expected, HERE)


def entry(state: State, on: On, *, cut_off: bool = False) -> Then:
    """What follows from ``on`` in ``state``; ``cut_off`` when a caution of the step was."""
    if cut_off and on in CAUTION_CUT_OFF:
        return CAUTION_CUT_OFF[on]
    return TABLE[state].get(on) or OTHERWISE.get(state, _NOT_EXPECTED)
