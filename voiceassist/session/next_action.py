"""What would come next if something was meant: the next-action map of the doubt policy."""

from collections.abc import Sequence

from voiceassist.language.meanings import (
    Command,
    CommandName,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Reading,
)
from voiceassist.session.actions.revise import last_answered
from voiceassist.session.actions.take import hardly_possible
from voiceassist.session.judge import fits, judge
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import ANSWERING, State
from voiceassist.session.table import QUESTIONS

#: What answers a question or changes the voice, and moves nothing.
MOVE_NOTHING = QUESTIONS.keys() | {CommandName.UNSTABLE}
#: Here a value that was said before may be said again.
_ASKED = frozenset({State.CONFIRM, State.WHICH})


def next_action(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> str:
    """A name for what comes next if ``meanings`` were meant; equal names, the same next thing.

    Answers to a step lead by its route, readings by their verdict too, so that two passing ones
    lead to the same place, also where one is asked about; a reading that the step rules out cannot
    be; commands that move nothing lead aside, all else by itself, several meanings to a question.
    """
    if len(meanings) != 1:
        return "question"
    meaning = meanings[0]
    if isinstance(meaning, Correction):
        return _corrects(setup, session, meaning)
    if session.state in _ASKED and isinstance(meaning, Reading | OverRange | Lamp):
        session = session.at_step
    if session.state in ANSWERING and fits(setup.step(session), meaning):
        return _answers(setup, session, meaning)
    if isinstance(meaning, Command) and meaning.name in MOVE_NOTHING:
        return "aside"
    return repr(meaning)


def _answers(setup: SessionSetup, at_step: Session, meaning: Meaning) -> str:
    judged = judge(setup, at_step, meaning)
    outcome = judged.result.outcome if judged.result is not None else "refused"
    if isinstance(meaning, Reading):
        ruled_out = judged.result and hardly_possible(setup, at_step, judged.result)
        return "not here" if ruled_out else f"step {judged.target} {outcome}"
    return f"step {judged.target} {outcome if not judged.target else ''}".strip()


def _corrects(setup: SessionSetup, session: Session, said: Correction) -> str:
    """By what it would come to at the last answer, and at the step at hand if it fits there."""
    earlier = last_answered(setup, session)
    at = [each for each in (earlier, session.at_step) if each and each.state in ANSWERING]
    at = [each for each in at if fits(setup.step(each), said.meaning)]
    if said.of or not at or not isinstance(said.meaning, Reading):
        return repr(said)
    leads = [_answers(setup, each, said.meaning) for each in at]
    return "not here" if {*leads} == {"not here"} else f"correction {leads}"


def is_only_read_back(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> bool:
    """Whether it is a reading that is read back with its verdict, and that no other step uses."""
    meaning, at = meanings[0], [session.at_step]
    if len(meanings) != 1 or session.at_step.state is State.SWEEP:
        return False
    if isinstance(meaning, Correction):
        earlier = last_answered(setup, session)
        meaning, at = meaning.meaning, [*at, *([earlier] if earlier else [])]
    steps = [step for step in map(setup.step, at) if fits(step, meaning)]
    used = frozenset().union(*(step.values_used for step in setup.procedure.steps.values()))
    rests = any(step.fact or step.name in used for step in steps)
    return isinstance(meaning, Reading) and bool(steps) and not rests
