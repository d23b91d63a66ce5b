"""Questions to the assistant, the voice, notes and pauses. None of these moves the job."""

from collections.abc import Callable

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Command, Lamp, Note, OverRange, Reading, Series, Spread
from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Kind, Procedure
from voiceassist.procedure.parts.leads import LEADS, VOLTS
from voiceassist.session.actions.enter import asked
from voiceassist.session.actions.finding import arrive
from voiceassist.session.actions.metering import setting
from voiceassist.session.actions.needed import without_it
from voiceassist.session.actions.not_heard import not_understood, tell, what_to_say
from voiceassist.session.copying import replace
from voiceassist.session.events import Begin, Event, Heard, about_of, kind_of
from voiceassist.session.judge import fits
from voiceassist.session.lessons import taught
from voiceassist.session.limits import missing
from voiceassist.session.naming import UNASKED, step_called
from voiceassist.session.outputs import (
    Ask,
    CautionSpoken,
    ConditionChange,
    NoteTaken,
    Output,
    Say,
    VoiceAdjusted,
)
from voiceassist.session.session import Detail, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import show, spoken_name
from voiceassist.session.spans import show_about, show_time
from voiceassist.session.states import State
from voiceassist.session.to_come import ToCome, of_steps, to_a_finding
from voiceassist.session.worded import (
    explanation,
    how_text,
    limit_text,
    source_text,
    states_text,
)

#: Commands that *help* tells, the most useful first.
_TOLD = (
    *("repeat", "why", "how", "limit", "go-back", "skip", "read-back", "disregard", "revise"),
    *("note", "stand-by", "finish"),
)
#: A wire of our own, which no vehicle comes with.
_BRIDGE = "bridge"
#: What a question how far it is asks as well: whether it is mended.
FIXED = "fixed"


def begin(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Open the job: the title, the standing notice once a day, the first step."""
    assert isinstance(event, Begin)
    book, procedure = setup.book, setup.procedure
    said: tuple[Output, ...] = (Say(text=book("start.title", title=procedure.title)),)
    if not event.familiar:
        said += (Say(text=book("start.notice", source=procedure.source)),)
    if setup.detail is Detail.TEACHING:
        said += (Say(text=book("start.subject", subject=procedure.subject)),)
    opened = replace(
        session, facts=event.facts, conditions=_at_first(procedure), carried=event.carried
    )
    opened = taught(opened) if event.taught else opened
    return Turn(opened, said).then(arrive(setup, opened, procedure.first))


def _at_first(procedure: Procedure) -> tuple[tuple[str, str], ...]:
    """The leads of the meter, and what guards them, are as one finds them; no bridge is in yet."""
    rest = procedure.at_rest
    bridge = ((_BRIDGE, rest[_BRIDGE]),) if _BRIDGE in rest else ()
    if LEADS not in procedure.conditions:
        return bridge
    guards = procedure.before_changing.get(LEADS, ())
    return (*bridge, (LEADS, VOLTS), *((need.condition, need.state) for need in guards))


def answer(key: str) -> Callable[[SessionSetup, Session, Event], Turn]:
    """An action that says the sentence ``key`` and changes nothing."""

    def saying(setup: SessionSetup, session: Session, event: Event) -> Turn:
        return tell(setup, session, key)

    return saying


#: Of these, the ones that tell that nothing was said that could be a note.
_NO_WORDS = frozenset({"no speech", "the listener failed"})


def why(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Why this step is done, or what it needs."""
    return without_it(setup, session, event) or reason_told(setup, session)


def reason_told(setup: SessionSetup, session: Session) -> Turn:
    """The reason for the step."""
    reason = setup.step(session).why
    key = "inform.why" if reason else "inform.no_why"
    return tell(setup, session, key, why=reason)


def explained(setup: SessionSetup, session: Session) -> Turn:
    """All there is to tell: where, how, why, and what each result would mean."""
    text = explanation(setup, session, setup.step(session)) or setup.book("inform.no_more")
    return Turn(session, (Say(step=session.step, text=text),))


def caution_explained(setup: SessionSetup, session: Session) -> Turn:
    """The cautions in full, and why the step that they guard is done."""
    told = tuple(output for output in session.prompt if isinstance(output, CautionSpoken))
    return Turn(session, told).then(reason_told(setup, session))


def how(setup: SessionSetup, session: Session) -> Turn:
    """How to go about this step: its test points, the leads, and the changes it was told with.

    Where the file tells nothing, how the meter is set is said instead; what current is read tells
    the place.
    """
    step = setup.step(session)
    told = {output.name for output in session.prompt if isinstance(output, ConditionChange)}
    asked_for = replace(step, needs=tuple(n for n in step.needs if n.condition in told))
    parts = [how_text(setup, step)] if how_text(setup, step) else setting(setup, session, step)
    if step.unit is not None and step.unit.quantity == "current" and not step.points:
        parts = [capitalised(f"{step.text}."), *parts]
    said = " ".join(filter(None, [*parts, states_text(setup, asked_for)]))
    return Turn(session, (Say(step=session.step, text=said or setup.book("inform.no_how")),))


def told_limit(setup: SessionSetup, session: Session) -> Turn:
    """The step's limit and where it comes from."""
    step = setup.step(session)
    try:
        text = limit_text(setup, session, step)
    except MeasureError:
        joined = setup.book.join("list.and", missing(setup, session, step) or (step.name,))
        return tell(setup, session, "verdict.no_limit", missing=joined)
    if not text:
        return tell(setup, session, "limit.none")
    key = "limit.should" if step.kind in {Kind.LAMP, Kind.SWEEP} else "limit.say"
    said = f"{setup.book(key, limit=text)} {source_text(setup, step)}"
    return Turn(session, (Say(step=session.step, text=said),))


def where(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Which step this is, and what it waits for."""
    prompt = " ".join(output.text for output in session.prompt)
    return tell(setup, session, "inform.where", step=spoken_name(session.step), prompt=prompt)


def how_far(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """How many steps are still to come, at most; in the proof, what is not proved yet."""
    if session.stage is Stage.PROVE:
        names = [spoken_name(name) for name in (session.step, *session.queue)]
        still = tell(setup, session, "inform.unproved", steps=setup.book.join("list.and", names))
        left = of_steps(setup.procedure, (session.step, *session.queue))
        return still.then(told_to_come(setup, session, "repair", left))
    if about_of(event) != FIXED:
        return _still_to_come(setup, session)
    key = "fixed.no_cause" if session.stage is Stage.DIAGNOSE else "fixed.not_yet"
    return tell(setup, session, key).then(_still_to_come(setup, session))


def _still_to_come(setup: SessionSetup, session: Session) -> Turn:
    if session.stage is not Stage.DIAGNOSE:
        steps = (session.step, *session.queue, *_later_stages(setup, session))
        return told_to_come(setup, session, "repair", of_steps(setup.procedure, steps))
    return told_to_come(setup, session, "", to_a_finding(setup.procedure, session.step))


def _later_stages(setup: SessionSetup, session: Session) -> tuple[str, ...]:
    """The steps of the stages that follow the one under way."""
    finding = setup.procedure.findings.get(session.finding)
    if finding is None:
        return ()
    repair = finding.repair if session.stage is Stage.BEFORE_FITTING else ()
    return (*repair, *(finding.prove_with if session.stage is not Stage.PROVE else ()))


def told_to_come(setup: SessionSetup, session: Session, of: str, left: ToCome) -> Turn:
    """How many steps, about how long they take, and how much of it is waiting."""
    name = "_".join(part for part in ("how_far", of, "one" if left.steps == 1 else "") if part)
    said = setup.book(f"inform.{name}", count=left.steps, time=show_about(setup, left.time_s))
    if left.wait_s:
        said = f"{said} {setup.book('inform.waiting', time=show_time(setup, left.wait_s))}"
    return Turn(session, (Say(step=session.step, text=said),))


def read_back(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Every reading that counts, in order."""
    book = setup.book
    readings = [
        book.plain("inform.one_reading", step=spoken_name(r.step), shown=r.shown)
        for r in session.ledger
        if not r.superseded and r.outcome != "done"
    ]
    if not readings:
        return tell(setup, session, "inform.no_readings")
    return tell(setup, session, "inform.read_back", readings="; ".join(readings))


def adjust_voice(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Speak slower, faster, louder or softer from now on."""
    changed = VoiceAdjusted(
        step=session.step, text=setup.book("inform.voice"), change=kind_of(event).value
    )
    return Turn(session, (changed,))


def ask_note(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Wait for the words of a note."""
    ask = Ask(step=session.step, text=setup.book("note.ask"))
    waiting = replace(session, state=State.NOTE, resume=session, prompt=(ask,))
    return Turn(waiting, (ask,))


def take_note(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Keep a note, whatever its words, and go on as before."""
    assert isinstance(event, Heard)
    if not event.meanings and event.reason in _NO_WORDS:
        return not_understood(setup, session, event)
    first = event.meanings[0] if event.meanings else None
    words = first.text if isinstance(first, Note) else event.words
    about = about_of(event) if event.meanings else ""
    text = setup.book("note.taken")
    if about.startswith(UNASKED):
        text = unasked_text(setup, session, about.removeprefix(UNASKED))
    note = NoteTaken(step=session.step, text=text, words=words, verified=event.certain)
    if session.state is not State.NOTE:
        return Turn(session, (note,))
    return Turn(session.at_step, (note, *session.at_step.prompt))


def value_unasked(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A value where none is awaited: it is noted, and counts for nothing.

    A time, or a number without its unit, may be anything.
    """
    assert isinstance(event, Heard)
    if any(isinstance(said, Reading) and not _is_measured(said) for said in event.meanings):
        return not_understood(setup, session, event)
    text = f"{setup.book('unasked.noted')} {asked(session)}".rstrip()
    note = NoteTaken(step=session.step, text=text, words=event.words, verified=event.certain)
    return Turn(session, (note,))


def _is_measured(said: Reading) -> bool:
    return said.unit is not None and said.unit.quantity != "time"


def unasked_text(setup: SessionSetup, session: Session, name: str) -> str:
    """That a value of what is named is noted, and what would have it count."""
    step = step_called(setup.procedure, session, name)
    taken = session.latest(step) if step else None
    called = spoken_name(name)
    if taken is not None:
        shown, of = taken.shown, capitalised(spoken_name(step))
        return setup.book("unasked.behind", step=of, called=called, shown=shown)
    ahead = step and session.stage is Stage.DIAGNOSE and not session.finding
    key = "unasked.ahead" if ahead else "unasked.noted"
    return setup.book(key, step=called)


#: What an instrument shows.
_SHOWN = Reading | Spread | Series | OverRange | Lamp


def stay_silent(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Not spoken to; but who types while it stands by is told so, and how his value is taken."""
    if session.state is not State.STAND_BY or not isinstance(event, Heard) or not event.certain:
        return Turn(session)
    values = tuple(meaning for meaning in event.meanings if isinstance(meaning, _SHOWN))
    if len(values) == 1 and fits(setup.step(session), values[0]):
        shown = show(values[0], setup.step(session), setup.book)
        return tell(setup, replace(session, pending=values), "inform.value_by", shown=shown)
    return tell(setup, session, "inform.stand_by")


def tell_again(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A caution was cut off, so what was said does not count: cautions and prompt once more."""
    cut = Say(step=session.step, text=setup.book("caution.cut"))
    return Turn(session, (cut, *session.prompt))


def help_now(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Tell what is awaited here, then what can be said at any time."""
    awaited: tuple[Output, ...] = tuple(o for o in session.prompt if isinstance(o, Ask))
    if can_say := what_to_say(setup, session):
        awaited += (Say(step=session.step, text=setup.book("inform.can_say", options=can_say)),)
    words = setup.book.join("list.or", (setup.book.say(Command(n)) for n in _TOLD))
    return Turn(
        session, (*awaited, Say(step=session.step, text=setup.book("inform.help", options=words)))
    )
