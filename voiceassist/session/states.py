"""Where a session can stand. What leads from one state to another is in ``table.py``."""

from enum import StrEnum


class State(StrEnum):
    """Where a session stands."""

    NEW = "new"
    CARRIED = "carried"
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
    TO_PARK = "to-park"
    PARKED = "parked"
    STAND_BY = "stand-by"
    CLOSED = "closed"


#: A step is under way: its caution, a change to the vehicle or its answer is awaited.
AT_A_STEP = frozenset(
    {State.CARRIED, State.CAUTION, State.CONDITION, State.MEASURE, State.SWEEP, State.LAMP}
    | {State.ASK, State.IDENTIFY, State.COMPUTE, State.WAIT, State.DO}
)
#: One value or word answers the step.
ANSWERING = frozenset({State.MEASURE, State.LAMP, State.ASK, State.IDENTIFY})
