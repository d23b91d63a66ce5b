"""A piece of work that was asked for, alone or before a question, and is done."""

from voiceassist.language.meanings import Answer
from voiceassist.procedure.model import PASS
from voiceassist.session.actions.enter import as_made, asked, not_expected, prompt_step, unmade
from voiceassist.session.actions.finding import follow, start_repairing
from voiceassist.session.actions.made_ready import affirmed, conditions_met
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.offered import holds, tells_repair
from voiceassist.session.outputs import ConditionChange, Output, Say, StepDone
from voiceassist.session.session import Result, Session, SessionSetup, Turn
from voiceassist.session.shown import parts_left


def work_done(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A DO step is done, with the changes asked for before it; what it sets now holds.

    Who names a state that is one part of it leaves the others, which are asked for.
    """
    words = event.words if isinstance(event, Heard) else ""
    all_done = setup.book.say(Answer("done")) in words.lower().replace(",", " ").split()
    rest = () if all_done else parts_left(setup.step(session).text, words)
    if rest:
        text = setup.book("work.left", parts=setup.book.join("list.and", rest))
        return Turn(session, (Say(step=session.step, text=text),))
    made = as_made(setup, session, said=True)
    session = made.session.practise("done")
    step = setup.step(session)
    shown = setup.book.plain("outcome.done")
    result = Result(step.name, session.stage, meaning_of(event), "done", True, shown)
    given: list[Output] = [StepDone(step=step.name, task=step.text)]
    given += [
        ConditionChange(step=step.name, name=name, state=state, met=True)
        for name, state in step.sets
    ]
    changed = session.with_conditions(step.sets)
    taken = replace(changed, ledger=(*session.ledger, result), previous=session)
    return Turn(taken, (*made.outputs, *given)).then(
        follow(setup, taken, result, step.routes[PASS])
    )


def work_affirmed(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes, it is done; or yes, the caution that was just told is understood."""
    return affirmed(setup, session) or work_done(setup, session, event)


def repair_done(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The repair that was told with its offer is done; else it is to begin."""
    first = start_repairing(setup, session)
    if not (tells_repair(setup, session) and holds(setup, session, first)):
        return first
    return work_done(setup, first.session, event)


def task_done(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The task before a question is done, or a change: the question is still to be answered.

    Where there was none, it was only heard.
    """
    if unmade(setup, session):
        task = bool(setup.step(session).task)
        return conditions_met(setup, replace(session, wait_over=task), event)
    step = setup.step(session)
    if not step.task and not any(reply.phrases for reply in step.replies):
        text = setup.book("meant.yes_or_no", prompt=asked(session))
        return Turn(session, (Say(step=step.name, text=text),))
    if session.wait_over or not step.task:
        return not_expected(setup, session, event)
    return prompt_step(setup, replace(session, wait_over=True))
