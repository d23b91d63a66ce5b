"""All states of a session in one table. Read this file first.

A row is a state, what may happen in it, and the action that follows (a function of that
name in ``session/actions``). What a row does not list is answered by ``not_expected``,
which speaks and changes nothing. An event that no session could get there raises.
"""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from voiceassist.session.events import On


class State(StrEnum):
    """Where a session stands."""

    NEW = "new"
    CAUTION = "caution"
    CONDITION = "condition"
    MEASURE = "measure"
    SWEEP = "sweep"
    LAMP = "lamp"
    ASK = "ask"
    IDENTIFY = "identify"
    COMPUTE = "compute"
    WAIT = "wait"
    DO = "do"
    FORGOTTEN = "forgotten"
    STILL = "still"
    PICK = "pick"
    CONFIRM = "confirm"
    WHICH = "which"
    WHOSE = "whose"
    MEANT = "meant"
    SKIP = "skip"
    NOTE = "note"
    OFFER = "offer"
    RETRY = "retry"
    FINISH = "finish"
    AFTER = "after"
    PUT_BACK = "put-back"
    STAND_BY = "stand-by"
    CLOSED = "closed"


Row = Mapping[On, str]

#: Understood wherever someone is listening.
ALWAYS: Row = MappingProxyType(
    {
        On.NOTHING: "not_understood",
        On.SEVERAL: "ask_which",
        On.UNSURE: "say_it_again",
        On.LIKELY: "offer_meaning",
        On.REPEAT: "repeat",
        On.WHY: "why",
        On.EXPLAIN: "explain",
        On.HOW: "how",
        On.LIMIT: "limit",
        On.WHERE: "where",
        On.HOW_FAR: "how_far",
        On.READ_BACK: "read_back",
        On.HELP: "help_now",
        On.NOTE: "ask_note",
        On.NOTE_TEXT: "take_note",
        On.IDENTIFIER: "take_fact",
        On.SLOWER: "adjust_voice",
        On.FASTER: "adjust_voice",
        On.LOUDER: "adjust_voice",
        On.SOFTER: "adjust_voice",
        On.STAND_BY: "stand_by",
        On.FINISH: "ask_finish",
        On.NEXT: "next_thing",
        On.NOT_SURE: "not_sure",
        On.READ_LAST: "read_last",
        On.READ_ONE: "read_one",
        On.HOW_OF: "how_of",
        On.TOOL: "tool",
        On.RANGE: "meter_range",
        On.CAUSE: "cause",
        On.LESS: "change_detail",
        On.MORE: "change_detail",
        On.DIFFERS: "note_difference",
        On.DANGER: "danger",
        On.RETURNED: "come_back",
        On.TIME_UP: "time_up_meanwhile",
        On.NO_REPLY: "remind",
        On.INTERRUPTED: "stay_silent",
        On.NO_MORE: "stay_silent",
    }
)

#: Ways back, wherever a step is under way.
BACK: Row = MappingProxyType(
    {
        On.GO_BACK: "go_back",
        On.CORRECTION: "correct",
        On.DISREGARD: "disregard",
        On.SKIP: "ask_skip",
        On.REVISE: "ask_which_reading",
        On.SKIP_BECAUSE: "skip_with_reason",
        On.MISTAKE: "reopen_last",
        On.CORRECT_NAMED: "correct_named",
        On.FORGOT: "forgot",
    }
)

#: Questions where the finding was just told speak of it.
TOLD: Row = MappingProxyType(
    {
        On.WHY: "why_found",
        On.EXPLAIN: "explain_found",
        On.HOW: "how_to_mend",
        On.LIMIT: "limit_of_last",
        On.WHERE: "where_now",
        On.HOW_FAR: "how_far_now",
    }
)

#: Ways out of a question that interrupts a step.
OUT: Row = MappingProxyType({On.NEGATIVE: "drop", On.DISREGARD: "drop", On.GO_BACK: "drop"})

#: A value given before its caution or condition is settled does not count.
TOO_EARLY: Row = MappingProxyType(
    {On.READING: "too_early", On.OVER_RANGE: "too_early", On.LAMP: "too_early"}
)

TABLE: Mapping[State, Row] = MappingProxyType(
    {
        State.NEW: {On.BEGIN: "begin"},
        State.CAUTION: {
            On.AFFIRM: "acknowledge",
            On.DONE: "acknowledge",
            On.NEGATIVE: "caution_refused",
            **TOO_EARLY,
            **BACK,
            **ALWAYS,
        },
        State.CONDITION: {
            On.DONE: "conditions_met",
            On.AFFIRM: "conditions_met",
            On.GO_AHEAD: "conditions_met",
            On.NEGATIVE: "take_your_time",
            **TOO_EARLY,
            **BACK,
            **ALWAYS,
        },
        State.MEASURE: {
            On.READING: "take_reading",
            On.OVER_RANGE: "take_over_range",
            On.DONE: "changes_made",
            On.SAME: "take_same",
            On.UNSTABLE: "unstable",
            **BACK,
            **ALWAYS,
        },
        State.SWEEP: {
            **BACK,
            **ALWAYS,
            On.READING: "take_point",
            On.CORRECTION: "correct_point",
            On.DISREGARD: "drop_point",
            On.DONE: "sweep_done",
        },
        State.LAMP: {
            On.LAMP: "take_lamp",
            On.SAME: "take_same",
            On.DONE: "changes_made",
            **BACK,
            **ALWAYS,
        },
        State.ASK: {
            On.AFFIRM: "take_answer",
            On.NEGATIVE: "take_answer",
            On.CHOICE: "take_answer",
            **BACK,
            **ALWAYS,
        },
        State.IDENTIFY: {**BACK, **ALWAYS, On.IDENTIFIER: "take_answer"},
        State.COMPUTE: {**BACK, **ALWAYS},
        State.WAIT: {
            **BACK,
            **ALWAYS,
            On.TIME_UP: "time_up",
            On.AFFIRM: "stay_silent",
            On.DONE: "not_yet",
            On.HOW_FAR: "not_yet",
            On.NO_REPLY: "stay_silent",
        },
        State.DO: {
            On.DONE: "work_done",
            On.AFFIRM: "work_done",
            On.GO_AHEAD: "work_done",
            On.NEGATIVE: "take_your_time",
            **BACK,
            **ALWAYS,
        },
        State.FORGOTTEN: {
            **ALWAYS,
            **OUT,
            On.AFFIRM: "condition_was_right",
            On.NEGATIVE: "condition_was_wrong",
            On.DONE: "condition_put_right",
            On.READING: "take_again",
        },
        State.STILL: {
            **ALWAYS,
            On.AFFIRM: "still_so",
            On.NEGATIVE: "not_so_any_more",
        },
        State.PICK: {**ALWAYS, **OUT, On.CHOICE: "pick"},
        State.CONFIRM: {
            **ALWAYS,
            On.AFFIRM_READING: "confirm",
            On.AFFIRM: "affirm_is_not_enough",
            On.READING: "say_again_to_confirm",
            On.OVER_RANGE: "say_again_to_confirm",
            On.LAMP: "say_again_to_confirm",
            On.CHOICE: "say_again_to_confirm",
            On.IDENTIFIER: "say_again_to_confirm",
            On.CORRECTION: "correct_pending",
            On.SAME: "confirm",
            On.MISTAKE: "mistaken",
            **OUT,
        },
        State.WHICH: {
            **ALWAYS,
            On.READING: "choose_which",
            On.OVER_RANGE: "choose_which",
            On.LAMP: "choose_which",
            On.CHOICE: "choose_which",
            On.IDENTIFIER: "choose_which",
            On.CORRECTION: "correct_pending",
            On.MISTAKE: "mistaken",
            **OUT,
        },
        State.WHOSE: {**ALWAYS, **OUT, On.CHOICE: "of_that_step"},
        State.SKIP: {
            On.CHOICE: "skip_because",
            On.SKIP_BECAUSE: "skip_with_reason",
            **OUT,
            **ALWAYS,
        },
        State.NOTE: {
            On.DISREGARD: "drop",
            On.DANGER: "danger",
            On.RETURNED: "come_back",
            On.TIME_UP: "time_up_meanwhile",
            On.NO_REPLY: "remind",
            On.INTERRUPTED: "stay_silent",
        },
        State.OFFER: {
            On.AFFIRM: "start_repair",
            On.GO_AHEAD: "start_repair",
            On.NEGATIVE: "leave_repair",
            **ALWAYS,
            **TOLD,
            **BACK,
            On.SKIP: "not_expected",
            On.SKIP_BECAUSE: "not_expected",
        },
        State.RETRY: {
            On.AFFIRM: "prove_again",
            On.NEGATIVE: "look_further",
            **ALWAYS,
            **TOLD,
            **BACK,
            On.SKIP: "not_expected",
            On.SKIP_BECAUSE: "not_expected",
        },
        State.FINISH: {**ALWAYS, **OUT, On.AFFIRM: "finish", On.FINISH: "finish"},
        State.AFTER: {
            **ALWAYS,
            **TOLD,
            **BACK,
            On.SKIP: "not_expected",
            On.AFFIRM: "end_job",
            On.FINISH: "end_job",
            On.DONE: "all_put_back",
            On.NO_MORE: "leave_as_it_is",
            On.NEGATIVE: "stay_open",
        },
        State.PUT_BACK: {
            **ALWAYS,
            **TOLD,
            **OUT,
            On.DONE: "all_put_back",
            On.FINISH: "leave_as_it_is",
            On.NO_MORE: "leave_as_it_is",
        },
        State.STAND_BY: {
            On.GO_AHEAD: "wake",
            On.DANGER: "danger",
            On.UNSURE: "doze",
            On.RETURNED: "come_back",
            On.TIME_UP: "time_up_meanwhile",
        },
        State.MEANT: {**ALWAYS, On.NEGATIVE: "let_go", On.DISREGARD: "let_go"},
        State.CLOSED: {},
    }
)


def action_for(state: State, on: On) -> str:
    """Name of the action for ``on`` in ``state``.

    In STAND_BY all but *go ahead* and danger is let pass unheard; in NOTE all else is the note.
    """
    if on in TABLE[state]:
        return TABLE[state][on]
    return {State.STAND_BY: "stay_silent", State.NOTE: "take_note"}.get(state, "not_expected")
