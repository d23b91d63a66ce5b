"""All that a session does, in one table. Read this file first.

A row is a state: what may happen in it, the action that follows, and where the action can leave
the session. An action is a function of ``session/actions``; it takes a session and returns
another. One that only says a sentence is made by ``inform.answer``. What a row does not list is
answered as ``OTHERWISE`` says, mostly by ``not_expected``, which speaks and changes nothing. An
event that no session could get there raises.

The engine asks in this order what to do, and nothing else decides:

1. Words that were only guessed at, and hold one answer of the question that was just asked: that
   answer is offered (``own_answer.py``). Doubtful words (``doubting.py``): where the state is among
   ``ASKED_IF_DOUBTFUL`` they go on to its row, which asks about them; elsewhere they are UNSURE,
   until the same is heard twice.
2. In MEANT, *affirm* is what was offered, said at the state that was interrupted; where a question
   of yes or no was asked once more (``meant.asks_again``), both answer it there; a value where it
   was asked whether the last was read wrong is a correction there; anything else that the row of
   MEANT does not list lets the offer go, and is said there too. In SKIP and FINISH,
   what answers the step (``ANSWERS``) lets the question go in the same way.
3. Once a caution of the step was cut off (``cutting.py``), ``CAUTION_CUT_OFF`` goes before the
   row: nothing that the caution guards goes on before it was heard.
4. The row of the state, ``TABLE``, then ``OTHERWISE``; to what is ``ASKED_MEANWHILE`` in STAND_BY,
   that of the state that was left.
5. A wait whose time ran out meanwhile (``Session.wait_over``) is over as soon as the session stands
   in WAIT again: ``time_up`` follows at once.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from voiceassist.language.meanings import ANSWERED, CommandName
from voiceassist.session.actions import (
    advised,
    asked,
    asked_after,
    back,
    carrying,
    closing_up,
    confirm,
    enter,
    facts,
    forgotten,
    inform,
    made_ready,
    meant,
    metering,
    not_heard,
    own_find,
    parking,
    repairing,
    revise,
    spoken,
    sweep,
    take,
    told,
    vehicle,
    waiting,
    whose,
    work,
)
from voiceassist.session.events import Cue, Event, EventKind
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import AT_A_STEP, State

Action = Callable[[SessionSetup, Session, Event], Turn]


class Group(Enum):
    """Where an action can lead when the procedure or the past decides which state it is."""

    HERE = "here"
    STEP = "step"
    LED = "led"
    WEIGHED = "weighed"
    RESUMED = "resumed"


HERE, STEP, LED, WEIGHED, RESUMED = Group
Next = State | Group

_LED = AT_A_STEP | {State.OFFER, State.RETRY, State.AFTER}
_WEIGHED = _LED | {State.CONFIRM, State.WHICH, State.FORGOTTEN}
GROUPS: Mapping[Group, frozenset[State]] = MappingProxyType(
    {
        # A step: its caution, a change to the vehicle, or its answer is awaited.
        STEP: AT_A_STEP,
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


Row = Mapping[Cue, Then]


def row(own: Row, *shared: Row) -> Row:
    """A state's ``own`` entries, and those it shares with others; its own win, then the first."""
    joined: dict[Cue, Then] = {}
    for entries in reversed((own, *shared)):
        joined |= entries
    return MappingProxyType(joined)


#: Questions to the assistant, and how it speaks. They move nothing, so what was said before them
#: is still what was said last.
QUESTIONS: Row = MappingProxyType(
    {
        CommandName.REPEAT: Then(enter.repeat, HERE),
        CommandName.WHY: Then(inform.why, HERE),
        CommandName.EXPLAIN: Then(asked_after.explain_asked, HERE),
        CommandName.HOW: Then(asked.how_or_where, HERE),
        CommandName.LIMIT: Then(asked_after.limit_asked, HERE),
        CommandName.WHERE: Then(inform.where, HERE),
        CommandName.HOW_FAR: Then(inform.how_far, HERE),
        CommandName.READ_BACK: Then(inform.read_back, HERE),
        CommandName.HELP: Then(inform.help_now, HERE),
        CommandName.SLOWER: Then(inform.adjust_voice, HERE),
        CommandName.FASTER: Then(inform.adjust_voice, HERE),
        CommandName.LOUDER: Then(inform.adjust_voice, HERE),
        CommandName.SOFTER: Then(inform.adjust_voice, HERE),
        CommandName.NEXT: Then(enter.repeat, HERE),
        CommandName.READ_LAST: Then(asked.read_last, HERE),
        EventKind.READ_ONE: Then(asked.read_one, HERE),
        EventKind.HOW_OF: Then(asked.how_of, HERE),
        CommandName.TOOL: Then(asked.tool, HERE),
        CommandName.RANGE: Then(metering.meter_range, HERE),
        CommandName.CAUSE: Then(advised.cause, HERE),
        CommandName.SURE: Then(advised.how_sure, HERE),
        CommandName.ADVISE: Then(advised.what_tells_most, HERE),
        CommandName.AGAINST: Then(advised.against, HERE),
        CommandName.UNSAFE: Then(asked.unsafe, HERE),
        **{name: Then(inform.answer(f"reply.{name}"), HERE) for name in ANSWERED},
    }
)

#: Answered while it stands by too, as where it was left.
ASKED_MEANWHILE: frozenset[Cue] = frozenset({*QUESTIONS, EventKind.NOTE_TEXT}) - {
    CommandName.UNSAFE
}

#: Understood wherever someone is listening.
ALWAYS = row(
    {
        EventKind.NOTHING: Then(not_heard.not_understood, HERE),
        EventKind.LET_PASS: Then(not_heard.let_pass, HERE),
        EventKind.SEVERAL: Then(vehicle.told_with_value, WEIGHED, HERE),
        EventKind.UNSURE: Then(not_heard.say_it_again, HERE),
        EventKind.LIKELY: Then(meant.offer_meaning, State.MEANT, HERE),
        CommandName.NOTE: Then(inform.ask_note, State.NOTE),
        EventKind.NOTE_TEXT: Then(inform.take_note, HERE),
        EventKind.IDENTIFIER: Then(facts.take_fact, HERE),
        CommandName.STAND_BY: Then(waiting.stand_by, State.STAND_BY),
        CommandName.PARK: Then(parking.park, State.TO_PARK, State.PARKED),
        CommandName.FINISH: Then(closing_up.ask_finish, State.FINISH),
        CommandName.LESS: Then(spoken.change_detail, HERE),
        CommandName.MORE: Then(spoken.change_detail, HERE),
        CommandName.FOUND: Then(own_find.found, LED, State.MEANT, HERE),
        CommandName.DIFFERS: Then(spoken.note_difference, HERE),
        CommandName.DANGER: Then(spoken.danger, State.STAND_BY),
        EventKind.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
        EventKind.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
        EventKind.NO_REPLY: Then(waiting.remind, HERE),
        EventKind.INTERRUPTED: Then(inform.stay_silent, HERE),
        EventKind.NO_MORE: Then(inform.stay_silent, HERE),
    },
    QUESTIONS,
)

#: Ways back, wherever a step is under way.
BACK: Row = MappingProxyType(
    {
        CommandName.GO_BACK: Then(back.go_back, LED, HERE),
        EventKind.CORRECTION: Then(whose.correct, WEIGHED, State.WHOSE, HERE),
        CommandName.DISREGARD: Then(back.disregard, LED, HERE),
        CommandName.SKIP: Then(back.ask_skip, LED, State.SKIP, HERE),
        CommandName.REVISE: Then(revise.ask_which_reading, State.PICK, HERE),
        EventKind.SKIP_BECAUSE: Then(spoken.skip_with_reason, LED, HERE),
        CommandName.MISTAKE: Then(spoken.reopen_last, STEP, HERE),
        EventKind.CORRECT_NAMED: Then(spoken.correct_named, WEIGHED, HERE),
        CommandName.FORGOT: Then(vehicle.forgot, STEP, HERE),
        CommandName.GO_TO: Then(advised.go_to, LED, HERE),
    }
)

#: One cannot tell, or it comes and goes: where the step says, else it is asked to look again.
IN_DOUBT: Row = MappingProxyType(
    {
        CommandName.NOT_SURE: Then(take.take_doubt, WEIGHED, HERE),
        CommandName.COMES_AND_GOES: Then(take.take_doubt, WEIGHED, HERE),
    }
)

#: Questions where the finding was just told speak of it.
TOLD: Row = MappingProxyType(
    {
        CommandName.WHY: Then(asked_after.why_found, HERE),
        CommandName.EXPLAIN: Then(asked_after.explain_found, HERE),
        CommandName.HOW: Then(asked_after.how_to_mend, HERE),
        CommandName.LIMIT: Then(asked_after.limit_of_last, HERE),
        CommandName.WHERE: Then(asked_after.where_now, HERE),
        CommandName.HOW_FAR: Then(asked_after.how_far_now, HERE),
    }
)

#: Ways out of a question that interrupts a step.
OUT: Row = MappingProxyType(
    {
        EventKind.NEGATIVE: Then(confirm.drop, RESUMED),
        CommandName.DISREGARD: Then(confirm.drop, RESUMED),
        CommandName.GO_BACK: Then(confirm.drop, RESUMED),
    }
)

#: What an instrument shows.
VALUES: frozenset[Cue] = frozenset({EventKind.READING, EventKind.OVER_RANGE, EventKind.LAMP})
#: What a step is answered with: said where it is asked why the step is skipped, it is not.
ANSWERS: frozenset[Cue] = VALUES | {
    *(EventKind.CORRECTION, EventKind.CORRECT_NAMED, EventKind.DONE, CommandName.SAME)
}

#: A value given before its caution or condition is settled does not count.
TOO_EARLY: Row = MappingProxyType(dict.fromkeys(VALUES, Then(made_ready.too_early, HERE)))

#: A value where none is awaited is noted.
UNASKED: Row = MappingProxyType(dict.fromkeys(VALUES, Then(inform.value_unasked, HERE)))

#: What neither answers an offer nor speaks of anything else: the offer still waits.
_LEAVES_THE_OFFER: tuple[Cue, ...] = (
    *(EventKind.NOTHING, EventKind.LET_PASS, EventKind.UNSURE, EventKind.LIKELY),
    EventKind.RETURNED,
    *(EventKind.TIME_UP, EventKind.NO_REPLY, EventKind.INTERRUPTED, EventKind.NO_MORE),
    *(CommandName.REPEAT, CommandName.HELP, CommandName.SLOWER, CommandName.FASTER),
    *(CommandName.LOUDER, CommandName.SOFTER),
)

TABLE: Mapping[State, Row] = MappingProxyType(
    {
        State.NEW: row({EventKind.BEGIN: Then(inform.begin, LED)}),
        State.CARRIED: row(
            {
                EventKind.AFFIRM: Then(carrying.still_holds, LED),
                EventKind.NEGATIVE: Then(carrying.holds_no_more, STEP),
                EventKind.READING: Then(carrying.read_anew, WEIGHED),
                EventKind.OVER_RANGE: Then(carrying.read_anew, WEIGHED),
                EventKind.LAMP: Then(carrying.read_anew, WEIGHED),
                EventKind.CORRECTION: Then(carrying.read_anew, WEIGHED),
                CommandName.SAME: Then(carrying.still_holds, LED),
            },
            BACK,
            ALWAYS,
        ),
        State.CAUTION: row(
            {
                EventKind.AFFIRM: Then(made_ready.acknowledge, STEP),
                EventKind.DONE: Then(made_ready.acknowledge_by_done, STEP),
                EventKind.NEGATIVE: Then(made_ready.caution_refused, HERE),
                EventKind.CHOICE: Then(told.answer_told, LED, HERE),
                CommandName.WHY: Then(asked_after.explain_asked, HERE),
                CommandName.NOT_SURE: Then(asked_after.explain_asked, HERE),
            },
            TOO_EARLY,
            BACK,
            ALWAYS,
        ),
        State.CONDITION: row(
            {
                EventKind.DONE: Then(made_ready.conditions_met, STEP),
                EventKind.AFFIRM: Then(made_ready.changes_affirmed, STEP),
                CommandName.GO_AHEAD: Then(made_ready.conditions_met, STEP),
                EventKind.NEGATIVE: Then(inform.answer("unsure.not_yet"), HERE),
                EventKind.CHOICE: Then(told.answer_told, LED, HERE),
            },
            TOO_EARLY,
            BACK,
            ALWAYS,
        ),
        State.MEASURE: row(
            {
                EventKind.READING: Then(take.take_reading, WEIGHED, HERE),
                EventKind.OVER_RANGE: Then(take.take_over_range, WEIGHED),
                EventKind.AFFIRM: Then(made_ready.affirmed_instead, HERE),
                EventKind.DONE: Then(made_ready.changes_made, STEP),
                CommandName.GO_AHEAD: Then(made_ready.changes_made, STEP),
                CommandName.SAME: Then(spoken.take_same, WEIGHED, HERE),
                CommandName.UNSTABLE: Then(inform.answer("unsure.moving"), HERE),
                EventKind.CHOICE: Then(told.answer_told, HERE),
            },
            IN_DOUBT,
            BACK,
            ALWAYS,
        ),
        State.SWEEP: row(
            {
                EventKind.READING: Then(sweep.take_point, HERE),
                EventKind.CORRECTION: Then(sweep.correct_point, HERE),
                CommandName.DISREGARD: Then(sweep.drop_point, HERE),
                EventKind.DONE: Then(sweep.sweep_done, WEIGHED, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.LAMP: row(
            {
                EventKind.LAMP: Then(take.take_lamp, WEIGHED),
                EventKind.AFFIRM: Then(inform.answer("nothing.no_lamp"), HERE),
                CommandName.SAME: Then(spoken.take_same, WEIGHED, HERE),
                EventKind.DONE: Then(made_ready.changes_made, STEP),
                CommandName.GO_AHEAD: Then(made_ready.changes_made, STEP),
            },
            IN_DOUBT,
            BACK,
            ALWAYS,
        ),
        State.ASK: row(
            {
                EventKind.AFFIRM: Then(take.take_answer, WEIGHED, HERE),
                EventKind.NEGATIVE: Then(take.take_answer, WEIGHED, HERE),
                EventKind.CHOICE: Then(take.take_answer, WEIGHED, HERE),
                EventKind.DONE: Then(work.task_done, HERE),
                CommandName.GO_AHEAD: Then(work.task_done, HERE),
            },
            IN_DOUBT,
            BACK,
            UNASKED,
            ALWAYS,
        ),
        State.IDENTIFY: row(
            {EventKind.IDENTIFIER: Then(take.take_answer, WEIGHED, HERE)}, BACK, ALWAYS
        ),
        State.COMPUTE: row({}, BACK, ALWAYS),
        State.WAIT: row(
            {
                EventKind.TIME_UP: Then(waiting.time_up, LED),
                EventKind.AFFIRM: Then(inform.stay_silent, HERE),
                EventKind.DONE: Then(waiting.not_yet, HERE),
                EventKind.NEGATIVE: Then(waiting.not_yet, HERE),
                CommandName.HOW_FAR: Then(waiting.not_yet, HERE),
                **dict.fromkeys(VALUES, Then(waiting.value_too_soon, HERE)),
                EventKind.NO_REPLY: Then(inform.stay_silent, HERE),
            },
            BACK,
            ALWAYS,
        ),
        State.DO: row(
            {
                EventKind.DONE: Then(work.work_done, LED),
                EventKind.AFFIRM: Then(work.work_affirmed, LED),
                CommandName.GO_AHEAD: Then(work.work_done, LED),
                EventKind.NEGATIVE: Then(inform.answer("unsure.not_yet"), HERE),
            },
            BACK,
            UNASKED,
            ALWAYS,
        ),
        State.FORGOTTEN: row(
            {
                EventKind.AFFIRM: Then(confirm.condition_was_right, WEIGHED),
                EventKind.NEGATIVE: Then(forgotten.condition_was_wrong, STEP),
                CommandName.FORGOT: Then(forgotten.told_forgotten, STEP, HERE),
                EventKind.DONE: Then(forgotten.condition_put_right, STEP),
                EventKind.READING: Then(take.take_again, WEIGHED, HERE),
                EventKind.OVER_RANGE: Then(take.take_again, WEIGHED, HERE),
                EventKind.LAMP: Then(take.take_again, WEIGHED, HERE),
                EventKind.CORRECTION: Then(take.take_again, WEIGHED, HERE),
                CommandName.MISTAKE: Then(spoken.mistaken, RESUMED),
            },
            OUT,
            ALWAYS,
        ),
        State.STILL: row(
            {
                EventKind.AFFIRM: Then(waiting.still_so, RESUMED),
                EventKind.NEGATIVE: Then(waiting.not_so_any_more, STEP, RESUMED),
            },
            ALWAYS,
        ),
        State.PICK: row({EventKind.CHOICE: Then(revise.pick, STEP, HERE)}, OUT, ALWAYS),
        State.CONFIRM: row(
            {
                EventKind.AFFIRM_READING: Then(confirm.confirm, LED),
                EventKind.AFFIRM: Then(confirm.affirm_may_be_enough, LED, HERE),
                EventKind.READING: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                EventKind.OVER_RANGE: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                EventKind.LAMP: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                EventKind.CHOICE: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                EventKind.IDENTIFIER: Then(confirm.say_again_to_confirm, WEIGHED, HERE),
                EventKind.CORRECTION: Then(confirm.correct_pending, WEIGHED, HERE),
                EventKind.CORRECT_NAMED: Then(confirm.correct_named_pending, WEIGHED, HERE),
                EventKind.DONE: Then(confirm.made_as_asked, RESUMED),
                CommandName.SAME: Then(confirm.confirm, LED),
                CommandName.MISTAKE: Then(spoken.mistaken, RESUMED),
                CommandName.FORGOT: Then(vehicle.forgot, STEP, RESUMED),
            },
            OUT,
            ALWAYS,
        ),
        State.WHICH: row(
            {
                EventKind.READING: Then(confirm.choose_which, WEIGHED, HERE),
                EventKind.OVER_RANGE: Then(confirm.choose_which, WEIGHED, HERE),
                EventKind.LAMP: Then(confirm.choose_which, WEIGHED, HERE),
                EventKind.CHOICE: Then(confirm.choose_which, WEIGHED, HERE),
                EventKind.IDENTIFIER: Then(confirm.choose_which, WEIGHED, HERE),
                EventKind.CORRECTION: Then(confirm.correct_pending, WEIGHED, HERE),
                EventKind.CORRECT_NAMED: Then(confirm.correct_named_pending, WEIGHED, HERE),
                EventKind.AFFIRM: Then(confirm.choose_answer, WEIGHED, HERE),
                EventKind.NEGATIVE: Then(confirm.choose_answer, WEIGHED, RESUMED),
                CommandName.MISTAKE: Then(spoken.mistaken, RESUMED),
            },
            OUT,
            ALWAYS,
        ),
        State.WHOSE: row({EventKind.CHOICE: Then(whose.of_that_step, WEIGHED, HERE)}, OUT, ALWAYS),
        State.SKIP: row(
            {
                EventKind.CHOICE: Then(back.skip_because, LED, HERE),
                EventKind.SKIP_BECAUSE: Then(spoken.skip_with_reason, LED, HERE),
            },
            OUT,
            ALWAYS,
        ),
        State.NOTE: row(
            {
                CommandName.DISREGARD: Then(confirm.drop, RESUMED),
                CommandName.DANGER: Then(spoken.danger, State.STAND_BY),
                EventKind.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
                EventKind.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
                EventKind.NO_REPLY: Then(waiting.remind, HERE),
                EventKind.INTERRUPTED: Then(inform.stay_silent, HERE),
                EventKind.NO_MORE: Then(inform.stay_silent, HERE),
            }
        ),
        State.OFFER: row(
            {
                EventKind.AFFIRM: Then(repairing.accept_repair, LED),
                EventKind.DONE: Then(work.repair_done, LED),
                CommandName.GO_AHEAD: Then(repairing.start_repair, LED),
                EventKind.NEGATIVE: Then(repairing.leave_repair, State.AFTER, HERE),
                CommandName.SKIP: Then(enter.not_expected, HERE),
                EventKind.SKIP_BECAUSE: Then(enter.not_expected, HERE),
            },
            BACK,
            TOLD,
            UNASKED,
            ALWAYS,
        ),
        State.RETRY: row(
            {
                EventKind.AFFIRM: Then(repairing.prove_again, LED),
                EventKind.DONE: Then(repairing.prove_again, LED),
                **dict.fromkeys(VALUES, Then(repairing.is_over, HERE)),
                EventKind.NEGATIVE: Then(repairing.look_further, LED),
                CommandName.SKIP: Then(enter.not_expected, HERE),
                EventKind.SKIP_BECAUSE: Then(enter.not_expected, HERE),
            },
            BACK,
            TOLD,
            ALWAYS,
        ),
        State.FINISH: row(
            {
                EventKind.AFFIRM: Then(closing_up.finish, State.PUT_BACK, State.CLOSED),
                CommandName.FINISH: Then(closing_up.finish, State.PUT_BACK, State.CLOSED),
            },
            OUT,
            ALWAYS,
        ),
        State.AFTER: row(
            {
                CommandName.SKIP: Then(enter.not_expected, HERE),
                EventKind.AFFIRM: Then(closing_up.ask_for_the_end, HERE),
                CommandName.FINISH: Then(closing_up.end_job, State.PUT_BACK, State.CLOSED),
                EventKind.DONE: Then(closing_up.all_put_back, State.CLOSED),
                EventKind.NO_MORE: Then(closing_up.leave_as_it_is, State.CLOSED),
                EventKind.NEGATIVE: Then(inform.answer("inform.all_right"), HERE),
            },
            BACK,
            TOLD,
            UNASKED,
            ALWAYS,
        ),
        State.PUT_BACK: row(
            {
                EventKind.DONE: Then(closing_up.all_put_back, State.CLOSED),
                EventKind.AFFIRM: Then(closing_up.all_put_back, State.CLOSED),
                CommandName.FINISH: Then(closing_up.leave_as_it_is, State.CLOSED),
                EventKind.NO_MORE: Then(closing_up.leave_as_it_is, State.CLOSED),
            },
            OUT,
            TOLD,
            UNASKED,
            ALWAYS,
        ),
        State.STAND_BY: row(
            {
                CommandName.GO_AHEAD: Then(waiting.wake, RESUMED, State.STILL),
                CommandName.DANGER: Then(spoken.danger, State.STAND_BY),
                CommandName.UNSAFE: Then(asked.unsafe, HERE),
                EventKind.UNSURE: Then(not_heard.doze, HERE),
                EventKind.RETURNED: Then(waiting.come_back, RESUMED, State.STILL),
                EventKind.TIME_UP: Then(waiting.time_up_meanwhile, HERE),
            }
        ),
        State.TO_PARK: row(
            {
                EventKind.DONE: Then(parking.put_back, State.PARKED),
                EventKind.AFFIRM: Then(parking.put_back, State.PARKED),
                CommandName.FINISH: Then(parking.leave_it_so, State.PARKED),
                EventKind.NO_MORE: Then(parking.leave_it_so, State.PARKED),
            },
            OUT,
            ALWAYS,
        ),
        State.PARKED: row(
            {EventKind.RETURNED: Then(parking.take_up, STEP, State.OFFER, State.RETRY, State.AFTER)}
        ),
        State.MEANT: row(
            {
                EventKind.NEGATIVE: Then(meant.let_go, RESUMED),
                CommandName.DISREGARD: Then(meant.let_go, RESUMED),
            },
            {on: ALWAYS[on] for on in _LEAVES_THE_OFFER},
        ),
        State.CLOSED: row({}),
    }
)

#: Before the row of the state, once a caution of its step was cut off.
CAUTION_CUT_OFF: Row = MappingProxyType(
    dict.fromkeys(
        {
            EventKind.READING,
            EventKind.OVER_RANGE,
            EventKind.LAMP,
            EventKind.IDENTIFIER,
            EventKind.SEVERAL,
            EventKind.CHOICE,
            EventKind.AFFIRM,
        }
        | {EventKind.AFFIRM_READING, EventKind.NEGATIVE, EventKind.DONE, EventKind.CORRECTION},
        Then(inform.tell_again, HERE),
    )
)

_VALUES = VALUES | {EventKind.CORRECTION}
#: What each state asks about when it is doubtful, instead of having it said again.
ASKED_IF_DOUBTFUL: Mapping[State, frozenset[Cue]] = MappingProxyType(
    {
        State.MEASURE: _VALUES,
        State.LAMP: _VALUES,
        State.CONFIRM: _VALUES,
        State.WHICH: _VALUES | {EventKind.AFFIRM, EventKind.NEGATIVE, EventKind.CHOICE},
        State.IDENTIFY: _VALUES | {EventKind.IDENTIFIER},
        State.ASK: _VALUES | {EventKind.AFFIRM, EventKind.NEGATIVE, EventKind.CHOICE},
    }
)

#: What else is heard: nothing while standing by, and any words are the note that was asked for.
OTHERWISE: Mapping[State, Then] = MappingProxyType(
    {
        State.STAND_BY: Then(inform.stay_silent, HERE),
        State.PARKED: Then(inform.stay_silent, HERE),
        State.NOTE: Then(inform.take_note, RESUMED, HERE),
    }
)
_NOT_EXPECTED = Then(enter.not_expected, HERE)


def entry(state: State, on: Cue, *, cut_off: bool = False) -> Then:
    """What follows from ``on`` in ``state``; ``cut_off`` when a caution of the step was."""
    if cut_off and on in CAUTION_CUT_OFF:
        return CAUTION_CUT_OFF[on]
    return TABLE[state].get(on) or OTHERWISE.get(state, _NOT_EXPECTED)
