"""What reads on in what was said once its words are weighed: each may take it otherwise."""

from collections.abc import Callable

from voiceassist.app.live.answer_taken_back import right_at_once, shown_after_all
from voiceassist.app.live.asides import with_asides
from voiceassist.app.live.clauses import by_clause
from voiceassist.app.live.for_others import told_a_mate
from voiceassist.app.live.heeding import tells_of_heeding
from voiceassist.app.live.named_values import told_by_name
from voiceassist.app.live.of_those_asked import of_those_asked
from voiceassist.app.live.read_otherwise import read_otherwise
from voiceassist.app.live.repair_told import with_repair
from voiceassist.app.live.second_look import off_meter, second_look
from voiceassist.app.live.told_beside import with_states
from voiceassist.app.live.told_complaint import with_complaint
from voiceassist.app.live.told_find import with_find
from voiceassist.app.live.told_work import with_work
from voiceassist.app.live.told_works import with_trial
from voiceassist.language.step import StepGrammar
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup

Reader = Callable[[Heard, StepGrammar, SessionSetup, Session], Heard]

#: In this order: what puts something right or names a step, before what tells of the vehicle and of
#: the work, before what is nobody's business here.
READERS: tuple[Reader, ...] = (
    shown_after_all,
    of_those_asked,
    right_at_once,
    told_by_name,
    with_trial,
    with_complaint,
    with_find,
    with_states,
    off_meter,
    read_otherwise,
    second_look,
    with_work,
    with_repair,
    by_clause,
    with_asides,
    told_a_mate,
    tells_of_heeding,
)


def read_on(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as all readers leave it."""
    for reader in READERS:
        event = reader(event, grammar, setup, session)
    return event
