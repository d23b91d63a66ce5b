"""What a question, or a word that was to be said again, was about."""

from voiceassist.app.ears.judgement import Judgement, decided_at
from voiceassist.doubt.policy import Accept, AskAmong
from voiceassist.session.copying import replace
from voiceassist.session.next_action import next_action
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

_PLACES = {
    **dict.fromkeys((State.MEASURE, State.LAMP), "value"),
    **dict.fromkeys((State.CONFIRM, State.WHICH), "said again"),
    State.ASK: "yes, no or a choice",
    State.CAUTION: "caution",
    State.WHOSE: "whose value",
}


def asked_about(setup: SessionSetup, session: Session, heard: Judgement) -> str:
    """Where ``heard`` was said, and why it was not simply taken.

    by rule          it sounds like another number, or has more digits than a meter shows
    same verdict     all that it may have been comes to the same
    other verdict    it does not
    turns the path   it was taken for right, but what it leads to is confirmed first
    not understood   no phrase was likely
    """
    place = _PLACES.get(session.state, "done, and what else goes on")
    return f"{place}, {_why(setup, session, heard)}"


def _why(setup: SessionSetup, session: Session, heard: Judgement) -> str:
    decision = decided_at(heard, setup, session)
    if isinstance(decision, Accept):
        return "turns the path"
    if not isinstance(decision, AskAmong):
        return "not understood"
    if isinstance(decided_at(replace(heard, alike=None), setup, session), Accept):
        return "by rule"
    leads = {next_action(setup, session, key) for key in decision.keys}
    return "same verdict" if len(decision.keys) > 1 and len(leads) == 1 else "other verdict"
