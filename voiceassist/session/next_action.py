"""What would come next if something was meant: the next-action map of the doubt policy."""

from collections.abc import Sequence

from voiceassist.language.meanings import Command, CommandName, Meaning, Reading
from voiceassist.session.actions.take import hardly_possible
from voiceassist.session.judge import fits, judge
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import ANSWERING
from voiceassist.session.table import QUESTIONS

#: What answers a question or changes the voice, and moves nothing.
MOVE_NOTHING = QUESTIONS.keys() | {CommandName.UNSTABLE}


def next_action(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> str:
    """A name for what comes next if ``meanings`` were meant; equal names, the same next thing.

    Answers to a step lead by its route, readings by their verdict too, so that two passing ones
    lead to the same place; a reading that the step rules out cannot be;
    commands that move nothing lead aside, all else by itself, several meanings to a question.
    """
    if len(meanings) != 1:
        return "question"
    meaning = meanings[0]
    if session.state in ANSWERING and fits(setup.step(session), meaning):
        judged = judge(setup, session, meaning)
        outcome = judged.result.outcome if judged.result is not None else "refused"
        if isinstance(meaning, Reading):
            ruled_out = judged.result and hardly_possible(setup, session, judged.result)
            return "not here" if ruled_out else f"step {judged.target} {outcome}"
        return f"step {judged.target} {outcome if not judged.target else ''}".strip()
    if isinstance(meaning, Command) and meaning.name in MOVE_NOTHING:
        return "aside"
    return repr(meaning)
